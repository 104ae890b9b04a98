"""Racks and rooms in a shop file: what is read, and one line for each thing that is wrong."""

from __future__ import annotations

import json
import math
from pathlib import Path

import ezdxf
import pytest

from fitcheck.cli.main import run
from fitcheck.files.shop_file import read_shop
from fitcheck.things.rack import BayRack, RailRack
from fitcheck.words.errors import InputFault
from fitcheck.words.units import MM_PER_FOOT, MM_PER_INCH

FT, IN = MM_PER_FOOT, MM_PER_INCH
YARD = """
[shop]
show = "ft-in"
[parts.rib]
shape = "block"
size = ["30 in", "2 in", "20 in"]
metal = "aluminium"
count = 3
[racks.dry]
kind = "rail"
rails = [{ length = "10 ft", height = "7 ft" }]
part_gap = "3 in"
load = "150 lb"
[racks.wall]
kind = "bay"
bays = [{ name = "A1", inside = ["5 ft", "14 in", "2 ft"], supports = "2 ft" }]
[rooms.build]
size = ["14 ft", "20 ft"]
ceiling = "8 ft 6 in"
aisle = "36 in"
[[rooms.build.doors]]
wall = "south"
at = "1 ft"
width = "3 ft"
clear = "34 in"
height = "80 in"
hinge = "low"
swings = "in"
[[rooms.build.fixtures]]
name = "jig"
size = ["4 ft", "6 ft", "36 in"]
at = ["5 ft", "8 ft"]
turn = "90 deg"
work = { front = "3 ft" }
[[rooms.build.keep_clear]]
name = "panel"
size = ["2 ft 6 in", "3 ft", "6 ft 6 in"]
at = ["9 ft 6 in", "0 ft"]
"""


def faults(folder: Path, text: str) -> str:
    path = folder / "yard.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputFault) as caught:
        read_shop(path)
    return str(caught.value)


def test_racks_and_rooms_are_read(tmp_path: Path) -> None:
    path = tmp_path / "yard.toml"
    path.write_text(YARD)
    shop = read_shop(path)
    dry, wall, room = shop.racks["dry"], shop.racks["wall"], shop.rooms["build"]
    assert isinstance(dry, RailRack)
    assert isinstance(wall, BayRack)
    assert (dry.rails[0].length_mm, dry.part_gap_mm) == pytest.approx((10 * FT, 3 * IN))
    assert wall.bays[0].supports_mm == 2 * FT
    (door,), (jig,) = room.doors, room.fixtures
    assert (door.low_mm, door.high_mm, door.inward) == ((1 * FT, 0.0), (4 * FT, 0.0), (0.0, 1.0))
    # 34 in clear, next to the jamb without the hinge.
    assert door.opening_mm[0][0] == pytest.approx(4 * FT - 34 * IN)
    # Turned by 90 degrees about its front left corner: its front looks east, and it lies to the west.
    assert jig.ring_mm(jig.place)[1] == pytest.approx((5 * FT, 12 * FT))
    assert jig.ring_mm(jig.place)[3] == pytest.approx((-1 * FT, 8 * FT))
    front = jig.work_ring_mm("front", jig.place)
    assert max(x for x, _ in front) == pytest.approx(8 * FT)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (
            'size = ["14 ft", "20 ft"]',
            'outline = [["0 ft","0 ft"],["9 ft","9 ft"],["9 ft","0 ft"],["0 ft","9 ft"]]',
            ["crosses itself", "[rooms.build] outline"],
        ),
        (
            'size = ["14 ft", "20 ft"]',
            'outline = [["0 ft","0 ft"],["0 ft","9 ft"],["9 ft","9 ft"],["9 ft","0 ft"]]',
            ["clockwise", "other order"],
        ),
        (
            'size = ["14 ft", "20 ft"]',
            'outline = [["0 ft","0 ft"],["9 ft","0 ft"],["5 ft","0 ft"],["5 ft","9 ft"]]',
            ["crosses itself"],
        ),
        ('size = ["14 ft", "20 ft"]', 'outline = [["0 ft","0 ft"],["9 ft","0 ft"]]', ["2 corners"]),
        ('size = ["14 ft", "20 ft"]', 'size = ["14 ft", "0 ft"]', ["not above 0"]),
        ('at = "1 ft"', 'at = "12 ft"', ["door is off its wall", "[rooms.build.doors 1] at"]),
        ('at = "1 ft"', 'at = "-1 in"', ["door is off its wall"]),
        ('wall = "south"', 'wall = "sout"', ["did you mean south?"]),
        ('wall = "south"', "edge = 4", ["there is no wall 4", "0 to 3"]),
        ('clear = "34 in"', 'clear = "40 in"', ["clear of door is more than its width"]),
        ('height = "80 in"', 'height = "9 ft"', ["door is higher than the ceiling"]),
        ('hinge = "low"', 'hinge = "left"', ["low, high"]),
        ('"4 ft", "6 ft", "36 in"', '"4 ft", "6 ft", "9 ft"', ["jig is taller than the ceiling"]),
        ('"4 ft", "6 ft", "36 in"', '"4 ft", "6 ft"', ["2 values where 3 are needed"]),
        ('turn = "90 deg"', "turn = 90", ["90"]),
        ("front =", "frnt =", ["did you mean front?"]),
        ('name = "panel"', 'name = "jig"', ["two things in this room"]),
        ('kind = "rail"', 'kind = "rails"', ["did you mean rail?"]),
        ('height = "7 ft"', 'high = "7 ft"', ["did you mean height?"]),
        (
            'supports = "2 ft"',
            'uprights = [{ at = ["6 ft", "0 in"], size = ["1 in", "1 in"] }]',
            ["outside its bay"],
        ),
        ('load = "150 lb"', 'needed = ["rip"]', ["there is no part", "did you mean rib?"]),
        ('load = "150 lb"', "load = 150", ["150"]),
    ],
)
def test_what_is_wrong_is_named_with_its_place(tmp_path: Path, old: str, new: str, words: list[str]) -> None:
    assert old in YARD
    told = faults(tmp_path, YARD.replace(old, new))
    assert "yard.toml, line " in told
    for word in words:
        assert word in told


def test_doors_do_not_share_a_piece_of_wall(tmp_path: Path) -> None:
    more = YARD + '[[rooms.build.doors]]\nname = "hatch"\nwall = "south"\nat = "3 ft"\nwidth = "2 ft"\n'
    assert "hatch overlaps door" in faults(tmp_path, more)


def test_room_answers_as_json_and_draws(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "yard.toml"
    path.write_text(YARD.replace('"5 ft", "8 ft"', '"8 ft", "8 ft"'))
    plan, picture = tmp_path / "plan.dxf", tmp_path / "plan.svg"
    assert run(["room", str(path), "build", "--json", "--dxf", str(plan), "--picture", str(picture)]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["verdict"] == "fits"
    (placed,) = answer["placed"]
    assert (placed["at_mm"], placed["turn_deg"]) == ([8 * FT, 8 * FT], pytest.approx(90.0))
    assert answer["aisles"][0]["to"] == "jig front"
    assert picture.stat().st_size > 10_000
    drawing = ezdxf.readfile(plan)
    assert not drawing.audit().errors
    assert drawing.units == ezdxf.units.MM
    space = drawing.modelspace()
    (ring,) = space.query('LWPOLYLINE[layer=="FIXTURES"]')
    corners = [(x, y) for x, y, *_ in ring.get_points()]
    assert [pytest.approx(corner) for corner in corners] == [tuple(corner) for corner in placed["corners_mm"]]
    (arc,) = space.query("ARC")
    assert (arc.dxf.radius, tuple(arc.dxf.center)[:2]) == (pytest.approx(3 * FT), (1 * FT, 0.0))
    assert (arc.dxf.end_angle - arc.dxf.start_angle) % 360 == pytest.approx(90.0)
    assert math.isclose(arc.dxf.start_angle, 0.0, abs_tol=1e-9)
    tape = {text.dxf.text for text in space.query('TEXT[layer=="TAPE"]')}
    assert tape == {"8 ft, 8 ft", "8 ft, 12 ft", "2 ft, 12 ft", "2 ft, 8 ft"}


def test_store_answers_as_json_and_draws(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "yard.toml"
    path.write_text(YARD)
    picture = tmp_path / "rack.svg"
    for rack, key in (("dry", "rail"), ("wall", "bay")):
        assert run(["store", str(path), rack, "--json", "--picture", str(picture)]) == 0
        answer = json.loads(capsys.readouterr().out)
        assert (answer["verdict"], len(answer["places"]), answer["at_least_racks"]) == ("fits", 3, 1)
        assert all(key in place and "matrix" in place["pose"] for place in answer["places"])
    assert run(["store", str(path), "wall", "--parts", "rip"]) == 2
    assert "did you mean rib?" in capsys.readouterr().err
    assert run(["room", str(path), "bild"]) == 2
    assert "did you mean build?" in capsys.readouterr().err
    assert run(["room", str(path), "build", "--dxf", str(tmp_path / "plan.dwg")]) == 2
    assert ".dxf" in capsys.readouterr().err


def test_text_answers_start_with_the_verdict(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "yard.toml"
    path.write_text(YARD)
    assert run(["room", str(path), "build"]) == 1
    told = capsys.readouterr().out
    assert told.startswith("build: does not fit, ")
    assert "jig reaches beyond the west wall by 1 ft" in told
    assert "29 CFR 1910.303(g)(1)" in told
    assert run(["store", str(path), "dry"]) == 0
    assert capsys.readouterr().out.startswith("dry: fits, all 3 parts hang")
