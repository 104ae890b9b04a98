"""What codes ask of a room reaches whoever asks, in the order of its danger and with its source."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from strategies.rooms import FT, IN, build_room, fixture, rectangle, south_door

import fitcheck as fc
from fitcheck.things.room import KeepClear, Room


def kinds(room: Room) -> list[str]:
    return [caution.kind for caution in fc.room(room).cautions]


def test_all_of_them_in_their_order() -> None:
    """A low room with a narrow, low door, a small panel and a heater, and a bench behind a gap of 2 ft."""
    heater = fixture("unit heater", (1, 1), (6, 6))
    bench = fixture("bench", (2, 1), (2, 8), None)
    door = replace(south_door(0.5, 2.5), height_mm=6.0 * FT)
    room = Room(
        "r", rectangle(8, 12), 7.0 * FT, 1.0, (door,), (heater, bench), (KeepClear("panel", rectangle(2, 2)),)
    )
    told = fc.room(room)
    assert [caution.kind for caution in told.cautions] == [
        "low ceiling", "narrow door", "low door", "small panel", "heater", "no work sides", "local code",
    ]  # fmt: skip
    said = " ".join(fc.room(room).to_dict("ft-in")["cautions"])
    for words in (
        "The ceiling is 7 ft high: over an exit route it is at least 7 ft 6 in (29 CFR 1910.36(g)(1)).",
        "is 2 ft 6 in clear: an accessible door is at least 32 in with its leaf at 90 deg (2010 ADA Standards "
        "404.2.3), and an exit access 28 in (29 CFR 1910.36(g)(2)).",
        "is 6 ft high: 80 in is the least (2010 ADA Standards 404.2.3).",
        "panel: 2 ft x 2 ft is less than its working space, which is 36 in deep at up to 150 V to ground (more "
        "above), 30 in wide or as wide as the equipment, 6 ft 6 in high, its door opening to 90 deg, and never "
        "a place for storage (29 CFR 1910.303(g)(1)).",
        "unit heater: what burns stays 36 in off unless its label says otherwise (common practice).",
    ):
        assert words in said


def test_a_narrow_way_out_comes_first() -> None:
    answer = fc.room(build_room((4.0, 8)))
    assert answer.best is not None
    assert answer.best.least_aisle_mm is not None
    assert answer.best.least_aisle_mm < 28.0 * IN
    assert answer.cautions[0].kind == "narrow way out"
    assert "an exit access is at least 28 in wide at every point (29 CFR 1910.36(g)(2))" in " ".join(
        answer.text().split()
    )


@pytest.mark.parametrize(
    ("change", "kind"),
    [({"doors": ()}, "no door"), ({"aisle_mm": 0.0}, "no aisle"), ({"ceiling_mm": None}, "no ceiling")],
)
def test_what_was_not_checked_is_told(change: dict[str, Any], kind: str) -> None:
    room = replace(build_room(), ceiling_mm=8.0 * FT)
    assert kind not in kinds(room)
    assert kind in kinds(replace(room, **change))
    assert kinds(replace(room, **change))[-1] == "local code"


def test_a_panel_with_room_enough_is_told_its_rule() -> None:
    room = Room("r", rectangle(8, 12), keep_clear=(KeepClear("panel", rectangle(3, 3)),))
    assert "panel" in kinds(room)
    low = replace(room, keep_clear=(replace(room.keep_clear[0], height_mm=6.0 * FT),))
    assert "small panel" in kinds(low)


def test_arrange_tells_them_too() -> None:
    cautions = fc.arrange(build_room(placed=False)).cautions
    assert cautions[-1].kind == "local code"
    tight = Room("shed", rectangle(2, 2), fixtures=(fixture("bench", (6, 2), None),))
    assert [each.kind for each in fc.arrange(tight).cautions] == ["no door", "no ceiling", "local code"]
