"""Shop files: what they say, and everything that can be wrong with one."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.files.shop_file import read_shop
from fitcheck.files.toml_places import TomlPath, lines_of
from fitcheck.things.metals import METALS
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Fault, InputFault

INCH = 25.4
GOOD = """[shop]
name = "Quayside finishing bay"
show = "ft-in"
[rules]
side_clearance = "1 in"
bottom_clearance = "2 in"
cover = "2 in"
freeboard = "4 in"
part_gap = "1 in"
overlap = "4 in"
tape_part = "1/16 in"
tape_tank = "1/8 in"
[liquids.etch]
specific_gravity = 1.03
[tanks.long]
inside = ["24 ft", "1 ft 4 in", "2 ft"]
liquid = "etch"
rim_height = "2 ft 10 in"
hook_height = "8 ft"
lip = "3/4 in"
side_clearance = "3/4 in"
[[tanks.long.fittings]]
name = "drain"
size = ["6 in", "4 in", "3 in"]
at = ["0 in", "0 in", "0 in"]
[[tanks.long.blocks]]
name = "B1"
size = ["94 in", "8 in", "22 in"]
at = ["194 in", "8 in", "0 in"]
mass = "88.5 lb"
[parts.boom]
shape = "tube"
size = ["15 ft 6 in", "6 in", "4 in"]
wall = "1/8 in"
ends = "open"
metal = "aluminium"
count = 2
tilt_at_most = "30 deg"
picks = [["1 ft", "3 in", "4 in"], ["14 ft", "3 in", "4 in"]]
air_at_most = "1 gal"
[parts.rail]
shape = "block"
size = ["1000 mm", "50 mm", "10 mm"]
mass = "11 lb"
tape_part = "0 mm"
holes = [{ at = ["100 mm", "25 mm", "10 mm"], along = "z", diameter = "20 mm" }]
[racks.dry]
kind = "rail"
rails = [{ length = "20 ft", height = "7 ft" }]
"""


def read(folder: Path, text: str) -> Shop:
    path = folder / "yard.toml"
    path.write_text(text, encoding="utf-8")
    return read_shop(path)


def faults_of(folder: Path, text: str) -> tuple[Fault, ...]:
    with pytest.raises(InputFault) as caught:
        read(folder, text)
    for fault in caught.value.faults:
        assert fault.place
        assert fault.problem
        assert fault.cure
        assert "\n" not in str(fault)
    return caught.value.faults


def the_fault(folder: Path, text: str) -> str:
    (fault,) = faults_of(folder, text)
    return str(fault)


def line_with(text: str, words: str) -> int:
    (line,) = (i for i, row in enumerate(text.split("\n"), start=1) if words in row)
    return line


def box_obj(low: tuple[float, float, float], high: tuple[float, float, float]) -> str:
    corners = [(x, y, z) for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])]
    quads = ((1, 2, 4, 3), (5, 7, 8, 6), (1, 5, 6, 2), (3, 4, 8, 7), (1, 3, 7, 5), (2, 6, 8, 4))
    faces = [face for a, b, c, d in quads for face in ((a, b, c), (a, c, d))]
    lines = [f"v {x} {y} {z}" for x, y, z in corners] + [f"f {a} {b} {c}" for a, b, c in faces]
    return "\n".join(lines) + "\n"


def test_a_shop_file_is_read_as_it_is_written(tmp_path: Path) -> None:
    shop = read(tmp_path, GOOD)
    assert (shop.name, shop.show) == ("Quayside finishing bay", "ft-in")
    assert shop.rules.tape_tank_mm == pytest.approx(INCH / 8)
    tank = shop.tanks["long"]
    assert tank.size_mm == pytest.approx((288 * INCH, 16 * INCH, 24 * INCH))
    assert tank.is_box
    assert tank.liquid.specific_gravity == 1.03
    assert tank.rules.side_clearance_mm == pytest.approx(0.75 * INCH)
    assert tank.rules.bottom_clearance_mm == pytest.approx(2 * INCH)
    assert (tank.rim.height_mm, tank.rim.hook_height_mm) == pytest.approx((34 * INCH, 96 * INCH))
    assert [thing.name for thing in tank.standing] == ["drain", "B1"]
    assert tank.fittings[0].mass_kg is None
    assert tank.blocks[0].mass_kg == pytest.approx(88.5 * 0.45359237)
    assert np.ptp(tank.blocks[0].solid.vertices_mm, axis=0) == pytest.approx(np.array([94, 8, 22]) * INCH)
    assert tank.blocks[0].solid.vertices_mm.min(axis=0) == pytest.approx(np.array([194, 8, 0]) * INCH)


def test_parts_are_read_with_their_weight_and_limits(tmp_path: Path) -> None:
    parts = read(tmp_path, GOOD).parts
    boom, rail = parts["boom"], parts["rail"]
    metal_in3 = 186 * (6 * 4 - 5.75 * 3.75)
    assert boom.mass_kg == pytest.approx(metal_in3 * INCH**3 / 1e6 * METALS["aluminium"])
    assert (boom.count, boom.tape_mm) == (2, None)
    assert boom.attitude.tilt_rad == pytest.approx(math.radians(30))
    assert boom.attitude.roll_rad == pytest.approx(math.pi)
    assert boom.picks_mm == pytest.approx(np.array([[12, 3, 4], [168, 3, 4]]) * INCH)
    assert rail.mass_kg == pytest.approx(11 * 0.45359237)
    assert rail.tape_mm == 0.0
    assert rail.size_mm == pytest.approx((1000, 50, 10))
    # The hole at x = 100 of 1000 takes its weight away from there: a disc of 20 mm in a plate of 50 x 1000.
    disc = math.pi * 10**2
    assert rail.centre_mm[0] == pytest.approx((500 * 50_000 - 100 * disc) / (50_000 - disc), rel=1e-9)


def test_what_a_file_leaves_out_is_not_made_up(tmp_path: Path) -> None:
    shop = read(
        tmp_path, '[parts.p]\nshape = "rod"\ndiameter = "1 in"\nlength = "1 m"\ndensity = "2.7 g/cm3"\n'
    )
    assert (shop.name, shop.show, dict(shop.tanks)) == ("yard", "mm", {})
    assert shop.parts["p"].tape_mm is None
    assert shop.parts["p"].chord_mm > 0.0


def test_a_mark_at_the_start_and_windows_line_ends_are_taken(tmp_path: Path) -> None:
    path = tmp_path / "yard.toml"
    path.write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert read_shop(str(path)).parts["boom"].count == 2
    path.write_bytes(GOOD.replace("\n", "\r\n").replace('"2 in"', "2").encode())
    with pytest.raises(InputFault) as caught:
        read_shop(path)
    assert [fault.place.split(", ")[1] for fault in caught.value.faults] == ["line 6", "line 7"]


# What is changed in GOOD; the words by which its line is found; what the one fault must name.
SPOILT = [
    ('cover = "2 in"', "cover = 2", "cover = 2", ["[rules] cover", "no unit", '"2 in"']),
    ('cover = "2 in"', "cover = nan", "cover = nan", ["[rules] cover", "nan"]),
    ('cover = "2 in"', "cover = true", "cover = true", ["true", "not a quantity"]),
    ('cover = "2 in"', 'cover = "-2 in"', 'cover = "-2', ["below 0"]),
    ('cover = "2 in"', 'covers = "2 in"', "covers", ["covers", "did you mean cover?"]),
    ('cover = "2 in"', "cover = 1979-05-27", "1979", ["1979-05-27"]),
    ('show = "ft-in"', 'show = "furlongs"', "furlongs", ["ft-in, mm"]),
    ('name = "Quayside finishing bay"', 'name = "a\\nb"', 'name = "a', ["cannot be a name"]),
    ("[racks.dry]", "[rack.dry]", "[rack.dry]", ["rack", "did you mean racks?"]),
    (
        "specific_gravity = 1.03",
        'specific_gravity = "1.03"',
        "1.03",
        ["[liquids.etch] specific_gravity", "not a number"],
    ),
    ("specific_gravity = 1.03", "specific_gravity = true", "true", ["true", "not a number"]),
    ("specific_gravity = 1.03", "specific_gravity = inf", "= inf", ["inf", "not a number"]),
    ("specific_gravity = 1.03", f"specific_gravity = 0x{'f' * 5000}", "0xff", ["a very large number"]),
    ("specific_gravity = 1.03", "specific_gravity = 9", "= 9", ["etch", "water is 1.0"]),
    ("specific_gravity = 1.03", "", "[liquids.etch]", ["specific_gravity is missing"]),
    ('liquid = "etch"', 'liquid = "tar"', "tar", ["[tanks.long] liquid", '"tar"', "known are etch"]),
    ('liquid = "etch"', "", "[tanks.long]", ["liquid is missing", "etch"]),
    ('inside = ["24 ft", "1 ft 4 in", "2 ft"]', "", "[tanks.long]", ["inside is missing"]),
    ('["24 ft", "1 ft 4 in", "2 ft"]', '["24 ft", "1 ft 4 in"]', "inside", ["2 values where 3 are needed"]),
    ('["24 ft", "1 ft 4 in", "2 ft"]', '["24 ft", "1 ft 4 in", "0 ft"]', "inside", ["item 3", "above 0"]),
    ('["24 ft", "1 ft 4 in", "2 ft"]', '"24 ft"', "inside", ["not a list"]),
    ('side_clearance = "3/4 in"', 'side_clearance = "9 in"', "inside", ["long", "side_clearance"]),
    ('side_clearance = "3/4 in"', 'cover = "19 in"', "inside", ["long", "cover", "depth"]),
    ('side_clearance = "3/4 in"', 'fillet = "9 in"', "fillet", ["[tanks.long] fillet"]),
    ('lip = "3/4 in"', 'lip = "8 in"', "lip", ["[tanks.long] lip", "closes the tank"]),
    (
        '"6 in", "4 in", "3 in"',
        '"6 in", "0 in", "3 in"',
        '"0 in", "3 in"',
        ["[tanks.long.fittings 1] size, item 2"],
    ),
    (
        'at = ["194 in", "8 in", "0 in"]',
        'at = ["195 in", "8 in", "0 in"]',
        "[[tanks.long.blocks]]",
        ["B1", "outside"],
    ),
    (
        'at = ["194 in", "8 in", "0 in"]',
        'at = ["-1 in", "8 in", "0 in"]',
        "[[tanks.long.blocks]]",
        ["B1", "outside"],
    ),
    ('at = ["194 in", "8 in", "0 in"]', "", "[[tanks.long.blocks]]", ["at is missing"]),
    ('name = "B1"', 'name = "drain"', 'name = "drain"', ["two things"]),
    (
        "[[tanks.long.fittings]]",
        "[tanks.long.fittings]",
        "[tanks.long.fittings]",
        ["not a list", "[[tanks.long.fittings]]"],
    ),
    ('"15 ft 6 in", "6 in"', '"15 cubits", "6 in"', "cubits", ["[parts.boom] size, item 1", "cubits"]),
    ('"15 ft 6 in", "6 in"', '"-15 ft", "6 in"', "-15 ft", ["[parts.boom] size, item 1", "not above 0"]),
    (
        '"15 ft 6 in", "6 in"',
        '"0 in", "6 in"',
        '"0 in", "6 in"',
        ["[parts.boom] size, item 1", "not above 0"],
    ),
    ('"15 ft 6 in", "6 in"', '"1/0 in", "6 in"', "1/0", ["divides by zero"]),
    ('wall = "1/8 in"', 'wall = "3 in"', "wall", ["[parts.boom] wall", "wall"]),
    ('wall = "1/8 in"', "", "[parts.boom]", ["wall is missing", '"1/8 in"']),
    ('wall = "1/8 in"', 'wal = "1/8 in"', "wal =", ["wal", "did you mean wall?"]),
    ('shape = "tube"', 'shape = "tubing"', "tubing", ["[parts.boom] shape", "did you mean tube?"]),
    ('shape = "tube"', "shape = 3", "shape = 3", ["[parts.boom] shape", "block, plate"]),
    ('ends = "open"', 'ends = "shut"', "shut", ["[parts.boom] ends", "open, closed, one"]),
    ('metal = "aluminium"', 'metal = "unobtainium"', "unobtainium", ["[parts.boom] metal", "unobtainium"]),
    ('metal = "aluminium"', 'mettle = "aluminium"', "mettle", ["a tube has no key", "did you mean metal?"]),
    ('metal = "aluminium"', "", "[parts.boom]", ["weight", "metal", "density", "mass"]),
    ('metal = "aluminium"', 'metal = "steel"\nmass = "3 lb"', 'mass = "3 lb"', ["metal and mass"]),
    ('mass = "11 lb"', 'mass = "0 lb"', "0 lb", ["[parts.rail] mass", "not above 0"]),
    ('mass = "11 lb"', 'mass = "11 in"', "11 in", ["length, not mass"]),
    ("count = 2", "count = 0", "count = 0", ["[parts.boom] count"]),
    ("count = 2", "count = true", "count = true", ["[parts.boom] count", "true"]),
    ("count = 2", "count = 2.0", "count = 2.0", ["[parts.boom] count"]),
    ("count = 2", 'count = 2\ndiameter = "2 in"', 'diameter = "2 in"', ["a tube has no key"]),
    ('"30 deg"', '"120 deg"', "120 deg", ["tilt_at_most", "90 deg"]),
    ('"30 deg"', '"-3 deg"', "-3 deg", ["tilt_at_most", "below 0"]),
    (
        '["1 ft", "3 in", "4 in"], [',
        '["1 ft", "3 in"], [',
        "picks",
        ["[parts.boom] picks, item 1", "2 values"],
    ),
    ('"100 mm", "25 mm", "10 mm"', '"100 mm", "25 mm"', "holes", ["[parts.rail.holes 1] at", "2 values"]),
    ('"100 mm", "25 mm", "10 mm"', '"9 m", "25 mm", "10 mm"', "holes", ["[parts.rail.holes 1]", "misses"]),
    ('along = "z"', 'along = "w"', "holes", ["[parts.rail.holes 1] along", "x, y, z"]),
    ('diameter = "20 mm"', "through = true", "holes", ["[parts.rail.holes 1]", "diameter is missing"]),
    ('diameter = "20 mm"', 'diameter = "20 mm", through = 1', "holes", ["through", "neither true nor false"]),
]


@pytest.mark.parametrize(
    ("old", "new", "where", "named"), SPOILT, ids=[f"{case[1][:40]!r}" for case in SPOILT]
)
def test_one_thing_wrong_is_told_once_with_its_line(
    tmp_path: Path, old: str, new: str, where: str, named: list[str]
) -> None:
    assert GOOD.count(old) >= 1
    text = GOOD.replace(old, new, 1)
    fault = the_fault(tmp_path, text)
    lines = [i for i, row in enumerate(text.split("\n"), start=1) if where in row]
    assert fault.startswith(tuple(f"yard.toml, line {line}, " for line in lines)), fault
    assert all(word in fault for word in named), fault


def test_all_faults_are_told_together_in_the_order_of_the_file(tmp_path: Path) -> None:
    text = (
        GOOD.replace('"15 ft 6 in"', '"15 cubits"').replace("count = 2", "count = 0").replace("1.03", "true")
    )
    text = text.replace('"6 in", "4 in", "3 in"', '"6 in", 4, "-3 in"').replace("metal =", "mettle =")
    told = [str(fault) for fault in faults_of(tmp_path, text)]
    assert len(told) == 6
    places = [int(fault.split(", ")[1].removeprefix("line ")) for fault in told]
    assert places == sorted(places)
    words = ("specific_gravity", "item 2", "item 3", "cubits", "mettle", "count")
    assert all(word in fault for word, fault in zip(words, told, strict=True))


BEFORE_PARTS = [case for case in SPOILT if GOOD.index(case[0]) < GOOD.index("[parts.boom]")]
IN_PARTS = [case for case in SPOILT if case not in BEFORE_PARTS]


def test_a_fault_in_a_tank_never_hides_one_in_a_part(tmp_path: Path) -> None:
    for one, other in zip(BEFORE_PARTS, IN_PARTS, strict=False):
        text = GOOD.replace(one[0], one[1], 1).replace(other[0], other[1], 1)
        told = [str(fault) for fault in faults_of(tmp_path, text)]
        assert len(told) == 2
        for words in (one[3], other[3]):
            assert any(all(word in fault for word in words) for fault in told), (words, told)


def test_a_missing_rule_table_or_odd_things_in_place_of_tables(tmp_path: Path) -> None:
    told = faults_of(tmp_path, 'rules = 3\nracks = "none"\n[parts]\nboom = "long"\n[tanks]\nlong = [1]\n')
    assert [fault.place for fault in told] == [
        "yard.toml, line 1, rules",
        "yard.toml, line 2, racks",
        "yard.toml, line 4, [parts] boom",
        "yard.toml, line 6, [tanks] long",
    ]
    assert "[parts.boom]" in told[2].cure


def test_names_that_could_break_a_line_are_refused(tmp_path: Path) -> None:
    for name in ('"a\\nb"', '""', '" a"', f'"{"x" * 90}"', '"a\\u001b[31m"'):
        fault = the_fault(
            tmp_path, f'[parts.{name}]\nshape = "block"\nsize = ["1 m", "1 m", "1 m"]\nmetal = "steel"\n'
        )
        assert "cannot be a name" in fault
        assert "\x1b" not in fault
    part = '[parts."Rib No. 3, ½ in"]\nshape = "block"\nsize = ["1 m", "1 m", "1 m"]\nmetal = "steel"\n'
    assert "Rib No. 3, ½ in" in read(tmp_path, part).parts


@pytest.mark.parametrize(
    "name", ["../out.obj", "/etc/hostname", "a/../../out.obj", "C:\\\\out.obj", "link/out.obj"]
)
def test_no_file_outside_the_folder_is_opened(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "shop"
    folder.mkdir()
    (tmp_path / "out.obj").write_text(box_obj((0, 0, 0), (1, 2, 3)))
    (folder / "link").symlink_to(tmp_path)
    mesh = f'mesh = "{name}"\nunit = "mm"\n'
    told = faults_of(folder, GOOD + f'[parts.p]\n{mesh}metal = "steel"\n[tanks.t]\n{mesh}liquid = "etch"\n')
    assert [fault.place.split(", ")[2] for fault in told] == ["[parts.p] mesh", "[tanks.t] mesh"]
    assert all("outside the folder" in fault.problem for fault in told)


def test_mesh_parts_keep_their_place_and_are_weighed(tmp_path: Path) -> None:
    (tmp_path / "meshes").mkdir()
    (tmp_path / "meshes" / "rib.obj").write_text(box_obj((10, 20, 30), (12, 23, 34)))
    part = read(tmp_path, '[parts.rib]\nmesh = "meshes/rib.obj"\nunit = "in"\nmetal = "steel"\n').parts["rib"]
    assert part.size_mm == pytest.approx((2 * INCH, 3 * INCH, 4 * INCH))
    assert part.solid.vertices_mm.min(axis=0) == pytest.approx(np.array([10, 20, 30]) * INCH)
    assert part.mass_kg == pytest.approx(24 * INCH**3 / 1e6 * METALS["steel"])


def test_a_mesh_tank_stands_on_its_floor_at_the_origin(tmp_path: Path) -> None:
    (tmp_path / "trough.obj").write_text(box_obj((-500, -300, 40), (500, 300, 540)))
    tank = read(
        tmp_path,
        GOOD + '[tanks.t]\nmesh = "trough.obj"\nunit = "mm"\nliquid = "etch"\n'
        '[[tanks.t.fittings]]\nsize = ["1 m", "20 mm", "20 mm"]\nat = ["0 mm", "0 mm", "480 mm"]\n',
    ).tanks["t"]
    assert tank.size_mm == pytest.approx((1000, 600, 500))
    assert tank.inside.vertices_mm.min(axis=0) == pytest.approx(np.zeros(3))
    assert tank.is_box
    assert tank.fittings[0].name == "fitting 1"


def test_a_tank_that_tapers_is_no_box_and_things_outside_its_walls_are_refused(tmp_path: Path) -> None:
    # A wedge: 1000 wide at the rim, an edge at the floor.
    rows = ["v 0 500 0", "v 900 500 0", "v 0 0 700", "v 900 0 700", "v 0 1000 700", "v 900 1000 700"]
    faces = ["1 3 5", "2 6 4", "1 4 3", "1 2 4", "1 6 2", "1 5 6", "3 6 5", "3 4 6"]
    (tmp_path / "vee.obj").write_text("\n".join(rows + [f"f {face}" for face in faces]) + "\n")
    text = GOOD + '[tanks.t]\nmesh = "vee.obj"\nunit = "mm"\nliquid = "etch"\n'
    assert not read(tmp_path, text).tanks["t"].is_box
    strap = (
        '[[tanks.t.fittings]]\nname = "strap"\n'
        'size = ["20 mm", "1 m", "20 mm"]\nat = ["0 mm", "0 mm", "680 mm"]\n'
    )
    assert read(tmp_path, text + strap).tanks["t"].fittings[0].name == "strap"
    low = strap.replace('"1 m", "20 mm"]', '"100 mm", "20 mm"]').replace("680 mm", "0 mm")
    assert "strap stands outside" in the_fault(tmp_path, text + low)


def test_a_rounded_tank_keeps_its_drawn_size_and_says_how_far_its_flats_reach(tmp_path: Path) -> None:
    tank = read(tmp_path, GOOD.replace('lip = "3/4 in"', 'fillet = "1 1/4 in"')).tanks["long"]
    assert tank.size_mm == pytest.approx((288 * INCH, 16 * INCH, 24 * INCH))
    assert tank.fillet_mm == pytest.approx(1.25 * INCH)
    assert 0.0 < tank.chord_mm < 0.02 * tank.fillet_mm
    assert not tank.is_box


def test_faulty_meshes_are_told_with_the_rest(tmp_path: Path) -> None:
    (tmp_path / "open.obj").write_text("v 0 0 0\nv 10 0 0\nv 0 10 0\nf 1 2 3\n")
    ell = [(0, 0), (40, 0), (40, 10), (10, 10), (10, 40), (0, 40)]
    rows = [f"v {x} {y} {z}" for z in (0, 5) for x, y in ell]
    sides = [(i + 1, (i + 1) % 6 + 1, (i + 1) % 6 + 7, i + 7) for i in range(6)]
    caps = [(1, 4, 3, 2), (1, 6, 5, 4), (7, 8, 9, 10), (7, 10, 11, 12)]
    faces = [f"f {a} {b} {c}\nf {a} {c} {d}" for a, b, c, d in sides + caps]
    (tmp_path / "ell.obj").write_text("\n".join(rows + faces) + "\n")
    text = GOOD + (
        '[parts.open]\nmesh = "open.obj"\nunit = "mm"\nmetal = "steel"\n'
        '[parts.none]\nmesh = "none.stl"\nunit = "mm"\nmetal = "steel"\n'
        '[parts.folder]\nmesh = "."\nunit = "mm"\nmetal = "steel"\n'
        '[parts.unit]\nmesh = "ell.obj"\nmetal = "steel"\n'
        '[parts.odd]\nmesh = "ell.docx"\nunit = "mm"\nmetal = "steel"\n'
        '[parts.both]\nmesh = "ell.obj"\nunit = "mm"\nshape = "block"\nmetal = "steel"\n'
        '[tanks.both]\nmesh = "ell.obj"\nunit = "mm"\ninside = ["1 m", "1 m", "1 m"]\nliquid = "etch"\n'
        "side_clearance = 0\n"
    )
    told = {
        fault.place.split(", ")[2]: f"{fault.problem}; {fault.cure}" for fault in faults_of(tmp_path, text)
    }
    assert "open" in told["[parts.open] mesh"]
    assert "none.stl" in told["[parts.none] mesh"]
    assert "[parts.folder] mesh" in told
    assert "unit" in told["[parts.unit] mesh"]
    assert "docx" in told["[parts.odd] mesh"]
    assert "both given" in told["[parts.both] shape"]
    assert "both given" in told["[tanks.both] inside"]
    assert "no unit" in told["[tanks.both] side_clearance"]


@pytest.mark.parametrize(
    ("added", "where", "named"),
    [
        ("[[[", 1, "not TOML"),
        ("[parts.boom]", 1, "twice"),
        ("a = 1\na = 2", 2, "once"),
        ("size = 15 ft", 1, "quotes"),
        ('size = "24\'-4 1/2""', 1, "backslash"),
        ('size = ["1 in",', 1, "not TOML"),
    ],
)
def test_what_is_not_toml_is_told_with_its_line(tmp_path: Path, added: str, where: int, named: str) -> None:
    fault = the_fault(tmp_path, f"{GOOD}{added}\n")
    assert fault.startswith(f"yard.toml, line {GOOD.count(chr(10)) + where}: ")
    assert named in fault


def test_an_empty_file_and_a_deep_or_endless_one(tmp_path: Path) -> None:
    assert "nothing" in the_fault(tmp_path, "# only this\n")
    assert "deep" in the_fault(tmp_path, "a = " + "[" * 100_000)
    assert "number" in the_fault(tmp_path, "a = " + "9" * 10_000)
    assert "too large" in the_fault(tmp_path, "# " + "x" * 10_000_000)


def test_what_is_no_readable_file_is_one_clear_fault(tmp_path: Path) -> None:
    (tmp_path / "yard.toml").write_bytes(b'[shop]\nname = "caf\xe9"\n')
    cases = {
        tmp_path / "none.toml": "no such file",
        tmp_path: "folder; name the shop file in it, as yard.toml",
        tmp_path / "yard.toml": "yard.toml, line 2: this is not UTF-8",
        Path("/dev/zero"): "not a plain file",
        Path("a\0b"): "",
        tmp_path / ("x" * 5000): "cannot be read",
    }
    for path, words in cases.items():
        with pytest.raises(InputFault) as caught:
            read_shop(path)
        (fault,) = caught.value.faults
        assert words in str(fault)
        assert str(fault).isprintable()


# Any TOML file that the standard reader takes, written in every way that tables and keys may be.
KEYS = st.sampled_from(["a", "b-1", '"c d"', "'e.f'", '"\\u00e9"', "size"])
SCALARS = st.sampled_from(["1", "true", '"x"', "'#'", "1979-05-27", '"""\nm\n"""', "2.5", "'''\n[a]\n'''"])
VALUES = st.recursive(
    SCALARS,
    lambda inner: (
        st.lists(inner, max_size=3).map(lambda items: "[" + ", # [x]\n ".join(items) + "]")
        | st.lists(st.tuples(KEYS, inner), max_size=2, unique_by=lambda pair: pair[0]).map(
            lambda pairs: "{ " + ", ".join(f"{key} = {value}" for key, value in pairs) + " }"
        )
    ),
    max_leaves=6,
)
DOTTED = st.lists(KEYS, min_size=1, max_size=3).map(".".join)
ROWS = st.lists(
    st.one_of(
        st.tuples(DOTTED, VALUES).map(lambda pair: f"{pair[0]} = {pair[1]} # = 3"),
        DOTTED.map(lambda key: f"[{key}]"),
        DOTTED.map(lambda key: f"[[ {key} ]]"),
        st.sampled_from(["", "# [a]"]),
    ),
    max_size=12,
)


def paths_in(value: object, path: TomlPath = ()) -> Iterator[TomlPath]:
    if path:
        yield path
    steps = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, inner in steps:
        yield from paths_in(inner, (*path, step))


@given(ROWS)
def test_every_key_has_the_line_it_stands_on(rows: list[str]) -> None:
    kept: list[str] = []
    for row in rows:
        try:
            tomllib.loads("\n".join([*kept, row]))
        except tomllib.TOMLDecodeError:
            continue
        kept.append(row)
    text = "\n".join(kept)
    lines = lines_of(text)
    seen = text.split("\n")
    assert set(lines) == set(paths_in(tomllib.loads(text)))
    for path, line in lines.items():
        words = [step for step in path if isinstance(step, str)]
        if words and not isinstance(path[-1], int):
            assert words[-1].replace("é", "\\u00e9") in seen[line - 1]


def test_a_table_stands_at_its_own_heading() -> None:
    assert lines_of("[a.b]\n[a]\nk = 1\n")[("a",)] == 2
    assert lines_of("[a.b]\n[a.c]\n")[("a",)] == 1


def test_only_the_mesh_of_the_part_asked_for_is_opened(tmp_path: Path) -> None:
    (tmp_path / "broken.obj").write_text("v 0 0 0\nv 10 0 0\nv 0 10 0\nf 1 2 3\n")
    file = tmp_path / "yard.toml"
    more = '\n[parts.odd]\nmesh = "broken.obj"\nunit = "mm"\nmetal = "aluminium"\n'
    file.write_text(GOOD + more)
    shop = read_shop(file, "rail")
    assert "rail" in shop.parts
    assert "odd" not in shop.parts
    for asked in (None, "odd", "nothing of the name"):
        with pytest.raises(InputFault, match=r"broken\.obj"):
            read_shop(file, asked)
