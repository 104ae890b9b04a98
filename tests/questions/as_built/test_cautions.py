"""What is easily believed wrongly of a plain-water test reaches whoever asks."""

from __future__ import annotations

import fitcheck as fc


def test_cautions_in_their_order() -> None:
    shop = fc.demo_shop()
    answer = fc.as_built(shop.tanks["T4"], [fc.Reading(300.0, 219.0)])
    assert [caution.kind for caution in answer.cautions] == ["plan only", "outranked"]
    said = answer.to_dict()["cautions"]
    assert "Water tells the plan's area, not which side is off" in said[0]
    assert all(sentence in " ".join(answer.text().split()) for sentence in said)
