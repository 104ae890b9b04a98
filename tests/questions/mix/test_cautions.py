"""What is dangerous about mixing reaches whoever asks, with the tank's own cautions after it."""

from __future__ import annotations

import fitcheck as fc


def test_cautions_in_their_order() -> None:
    shop = fc.demo_shop()
    answer = fc.mix(shop.tanks["T1"], 300.0)
    kinds = ["acid into water", "chromium", "drag-out rates", "low rim", "water test", "outranked"]
    assert [caution.kind for caution in answer.cautions] == kinds
    said = answer.to_dict()["cautions"]
    assert "never water into acid" in said[0]
    assert "hexavalent chromium" in said[1]
    assert "40 CFR 433" in said[1]
    assert "from memory, of plating handbooks" in said[2]
    assert all(sentence in " ".join(answer.text().split()) for sentence in said)
