"""What is dangerous about a tank still to be built reaches whoever asks."""

from __future__ import annotations

import fitcheck as fc


def test_cautions_in_their_order() -> None:
    shop = fc.demo_shop()
    answer = fc.tank_for([shop.parts["P15"]], shop.rules)
    kinds = ["ask an engineer", "air of a new tank", "water test", "outranked"]
    assert [caution.kind for caution in answer.cautions] == kinds
    said = answer.to_dict()["cautions"]
    assert "approve no wall, board, strap or floor" in said[0]
    assert "ask fitcheck dip with the new tank before it is built" in said[1]
    assert all(sentence in " ".join(answer.text().split()) for sentence in said)
