"""Rooms and halls joined by their doors, assemblies, and what is wrong in them, by place and cure."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import shapely

from fitcheck.files.shop_file import read_shop
from fitcheck.questions.carry.ask import carry
from fitcheck.things.shop import Shop
from fitcheck.words.errors import InputFault, Refused

YARD = """
[parts.rail]
shape = "block"
size = ["2400 mm", "40 mm", "40 mm"]
metal = "aluminium"
[parts.rung]
shape = "block"
size = ["500 mm", "40 mm", "40 mm"]
metal = "aluminium"
[rooms.build]
size = ["4 m", "5 m"]
ceiling = "2500 mm"
[[rooms.build.doors]]
wall = "south"
at = "500 mm"
width = "900 mm"
height = "2 m"
to = "hall"
to_at = "3 m"
thick = "150 mm"
[[rooms.build.fixtures]]
name = "jig"
size = ["1 m", "2 m", "900 mm"]
at = ["1500 mm", "2 m"]
[[rooms.build.fixtures]]
name = "bench"
size = ["600 mm", "2 m", "900 mm"]
at = ["3400 mm", "2 m"]
[halls.hall]
size = ["8 m", "2 m"]
ceiling = "2400 mm"
[assemblies.ladder]
parts = [
    { part = "rail", at = ["0 mm", "0 mm", "0 mm"] },
    { part = "rail", at = ["0 mm", "540 mm", "0 mm"] },
    { part = "rung", at = ["1 m", "40 mm", "0 mm"], swing = "90 deg" },
]
[routes.out]
through = ["build", "hall"]
from = { room = "build", on = "jig", swing = "90 deg" }
to = { room = "hall", at = ["1500 mm", "1 m"], swing = "0 deg" }
clearance = "10 mm"
"""


def shop(folder: Path, text: str = YARD) -> Shop:
    path = folder / "yard.toml"
    path.write_text(text, encoding="utf-8")
    return read_shop(path)


def test_rooms_are_laid_together_by_their_door(tmp_path: Path) -> None:
    """The hall's south-west corner: 500 - 3000 mm east, and a wall and the hall's depth south."""
    route = shop(tmp_path).routes["out"]
    floor = shapely.Polygon(route.floor)
    assert floor.bounds == pytest.approx((-2500.0, -2150.0, 5500.0, 5000.0))
    assert floor.area == pytest.approx(20e6 + 16e6 + 0.9e6 * 0.15, rel=1e-6)
    assert route.start.at_mm == pytest.approx((2000.0, 3000.0))
    assert route.goal.at_mm == pytest.approx((-1000.0, -1150.0))
    assert route.post_names == ("bench",)
    heights = {low.name: low.headroom_mm for low in route.lows}
    assert heights == {"the ceiling of build": 2500.0, "the ceiling of hall": 2400.0, "door of build": 2000.0}


def test_an_assembly_is_its_parts(tmp_path: Path) -> None:
    known = shop(tmp_path)
    ladder = known.assemblies["ladder"]
    alone = 2.0 * known.parts["rail"].mass_kg + known.parts["rung"].mass_kg
    assert ladder.mass_kg == pytest.approx(alone)
    size = ladder.solid.vertices_mm.max(axis=0) - ladder.solid.vertices_mm.min(axis=0)
    assert size.tolist() == pytest.approx([2400.0, 580.0, 40.0])


def test_an_assembly_is_carried_out_past_what_stands_there(tmp_path: Path) -> None:
    """Out by the door of 900 mm, not by one of 595 mm: it is 580 mm wide, and 10 mm are kept to each side."""
    known = shop(tmp_path)
    answer = carry(known.assemblies["ladder"], known.routes["out"])
    assert answer.verdict == "fits"
    assert answer.path[0].swing_rad == pytest.approx(math.pi / 2.0)
    narrow = shop(tmp_path, YARD.replace('"900 mm"\nheight = "2 m"', '"595 mm"\nheight = "2 m"'))
    assert carry(narrow.assemblies["ladder"], narrow.routes["out"]).verdict == "does not fit"


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('to = "hall"', 'to = "hal"', ["[rooms.build.doors 1] to", "did you mean hall?"]),
        ('to = "hall"', 'to = "build"', ["[rooms.build.doors 1] to", "write one of hall"]),
        ('to_at = "3 m"', 'to_at = "7500 mm"', ["[routes.out] through", "off its wall in hall"]),
        ('at = "500 mm"', 'at = "3500 mm"', ["[rooms.build.doors 1] at", "off its wall"]),
        ('["build", "hall"]', '["build", "hal"]', ["through, item 2", 'no room or hall "hal"']),
        ('on = "jig"', 'on = "jigg"', ["from] on", "did you mean jig?"]),
        ('room = "hall", at', "at", ["[routes.out.to]", "room"]),
        ('"1 m", "2 m", "900 mm"', '"1 m", "2 m", "2600 mm"', ["jig is taller than the ceiling"]),
        ('part = "rung"', 'part = "rang"', ["parts 3] part", "did you mean rung?"]),
        ("[halls.hall]", "[halls.build]", ["[halls.build]", "rename one"]),
    ],
)
def test_what_is_wrong_is_named_with_place_and_cure(
    old: str, new: str, words: list[str], tmp_path: Path
) -> None:
    assert old in YARD
    with pytest.raises(InputFault) as caught:
        shop(tmp_path, YARD.replace(old, new, 1))
    told = str(caught.value)
    assert "yard.toml, line " in told
    for word in words:
        assert word in told


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            'at = ["1500 mm", "1 m"], swing = "0 deg"',
            'at = ["1 m", "1 m"], swing = "0 deg"',
            "wall to its west at its end",
        ),
        (
            'at = ["1500 mm", "1 m"], swing = "0 deg"',
            'at = ["500 mm", "500 mm"]',
            "at every swing at its end",
        ),
        (
            '"1 m", "2 m", "900 mm"]\nat = ["1500 mm"',
            '"1 m", "2 m", "900 mm"]\nat = ["2600 mm"',
            "overlaps bench at its start",
        ),
    ],
)
def test_a_stand_without_room_is_named(old: str, new: str, said: str, tmp_path: Path) -> None:
    known = shop(tmp_path, YARD.replace(old, new, 1))
    assert old in YARD
    with pytest.raises(Refused, match=said):
        carry(known.assemblies["ladder"], known.routes["out"])
