"""The demo yard: its sizes as written down, and answers that were worked out without fitcheck.

"Closed form" is arithmetic that stands beside the number. "Computed" is a number from another search, which
shares nothing with fitcheck: the spare of a pose by its extents, maximised over three angles by scipy's
differential_evolution from several seeds and polished by the method of Nelder and Mead.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from scipy.optimize import brentq

import fitcheck as fc
from fitcheck.cli.demo import write_demo
from fitcheck.geometry.mesh.measure import measures, weighed
from fitcheck.shapes.block import block
from fitcheck.things.part import Attitude, Part
from fitcheck.things.pose import Angles
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.words.units import (
    KG_PER_POUND,
    LITRES_PER_GALLON,
    MM2_PER_M2,
    MM3_PER_LITRE,
    MM_PER_INCH,
    RAD_PER_DEGREE,
    read_length,
)

# Sums of a few sizes of metres, in mm: double precision leaves less.
ROUNDING_MM = 1e-6
# What a search may leave between the spare it has found and the one that it has proven.
SEARCHED_SHARE = 2e-3
# The tape rule of the yard: a part may be out by 1/16 in and a tank by 1/8 in, half of both at either side.
TAPE_IN = (1.0 / 16.0 + 1.0 / 8.0) / 2.0


@pytest.fixture(scope="module")
def shops(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Shop]:
    folder = tmp_path_factory.mktemp("demo") / "yard"
    write_demo(folder)
    return {name: fc.read_shop(folder / f"{name}.toml") for name in ("yard", "blocks")}


@pytest.fixture(scope="module")
def yard(shops: dict[str, Shop]) -> Shop:
    return shops["yard"]


@pytest.fixture(scope="module")
def blocks(shops: dict[str, Shop]) -> Shop:
    return shops["blocks"]


def inches(mm: float) -> float:
    return mm / MM_PER_INCH


def spare_in(part: Part, tank: Tank, tilt: float = 0.0, roll: float = 0.0, swing: float = 0.0) -> float:
    """Return the spare in inches at one attitude, angles in degrees."""
    angles = Angles(tilt * RAD_PER_DEGREE, roll * RAD_PER_DEGREE, swing * RAD_PER_DEGREE)
    return inches(fc.dip(part, tank, angles=angles).spare.mm)


# What stands in the files


# As the yard wrote it.
SIZES = {
    "P01": ["15'-6\"", "6 in", "4 in"],
    "P01s": ["15'-6\"", "6 in", "4 in"],
    "P02": ["24'-4\"", '7-1/4"', '4-1/8"'],
    "P03": ["1500 mm", "700 mm", "420 mm"],
    "P04": ["2100 mm", "700 mm", "420 mm"],
    "P05": ["700 mm", "420 mm", "30 mm"],
    "P06": ["1150 mm", "900 mm", "40 mm"],
    "P07": ["5'-10\"", "3'-4\"", '1-1/2"'],
    "P08": ["36 in", '19-1/2"', '1-1/2"'],
    "P09": ["700 mm", "500 mm", "45 mm"],
    "P10": ["600 mm", "600 mm", "60 mm"],
    "P11": ["1200 mm", "200 mm", "200 mm"],
    "P12": ["7'-2\"", "3 in", "3 in"],
    "P13": ["14'-6\"", '1-1/4"', '1-1/4"'],
    "P14": ["22'-9\"", "2 in", '1-1/4"'],
    "P15": ["300 mm", "200 mm", "150 mm"],
    "P16": ["20 in", "2 in", "3/8 in"],
    "P17": ["10 ft", "3 ft", "0.050 in"],
    "P18": ["8 ft", '1-1/2"', "1 in"],
    "P19": ["690 mm", "410 mm", "20 mm"],
    "P20": ["180 mm", "140 mm", "120 mm"],
    "P21": ["3'-9\"", "5 in", '1-3/8"'],
    "P22": ["11'-10\"", "5 in", "2 in"],
    "P23": ["8'-9\"", "9 in", "12 in"],
}


def test_the_yard_has_these_parts_and_no_others(yard: Shop) -> None:
    assert list(yard.parts) == list(SIZES)
    assert list(yard.tanks) == ["T1", "T2", "T3", "T4", "T5"]


@pytest.mark.parametrize("name", SIZES)
def test_size_as_written(name: str, yard: Shop) -> None:
    wanted = [read_length(text) for text in SIZES[name]]
    assert yard.parts[name].size_mm == pytest.approx(wanted, abs=ROUNDING_MM)


def test_counts(yard: Shop) -> None:
    counts = {name: part.count for name, part in yard.parts.items() if part.count > 1}
    assert counts == {"P14": 4, "P16": 16, "P18": 12, "P19": 4, "P21": 2}


# Closed form: length x width x depth; litres, then US gallons of 231 cubic inches.
BRIM = {"T1": (1812.3, 478.75), "T2": (1699.0, 448.83), "T3": (2300.7, 607.79), "T4": (360.0, 95.10)}


@pytest.mark.parametrize("name", BRIM)
def test_brim(name: str, yard: Shop) -> None:
    tank = yard.tanks[name]
    litres, gallons = BRIM[name]
    (row,) = fc.fill(tank, tank.depth_mm)
    assert row.liquid_l == pytest.approx(litres, abs=0.05)  # the digits given
    assert row.liquid_l / LITRES_PER_GALLON == pytest.approx(gallons, abs=0.005)


def test_blocks_stand_in_the_same_tanks(yard: Shop, blocks: Shop) -> None:
    for name, tank in blocks.tanks.items():
        assert tank.blocks
        assert (tank.size_mm, tank.rules) == (yard.tanks[name].size_mm, yard.tanks[name].rules)
    for name, part in blocks.parts.items():
        assert (part.size_mm, part.mass_kg) == (yard.parts[name].size_mm, yard.parts[name].mass_kg)


# Closed form, kg at 2.70 kg/l: the metal is the outside less the inside.
MASSES = {
    # 186 x (6 x 4 - 5 3/4 x 3 3/4) in3
    "P01": 186.0 * (24.0 - 5.75 * 3.75) * MM_PER_INCH**3 * 2.70e-6,
    # 1.6 mm floor, and sides over it: not four strips as long as the pan, which count its corners twice
    "P10": (600.0**2 * 1.6 + (600.0**2 - 596.8**2) * 58.4) * 2.70e-6,
    "P11": math.pi * (100.0**2 * 1200.0 - 98.0**2 * 1196.0) * 2.70e-6,
    "P15": 300.0 * 200.0 * 150.0 * 2.70e-6,
}


@pytest.mark.parametrize("name", MASSES)
def test_mass(name: str, yard: Shop) -> None:
    assert yard.parts[name].mass_kg == pytest.approx(MASSES[name], rel=1e-9)


def test_hollow_mast(yard: Shop) -> None:
    # Closed form: area of an ellipse of a polygon's share, n/2 sin(2 pi/n), less the inside's, times length.
    share = 36.0 * math.sin(math.pi / 36.0)
    ring_in2 = share * (7.25 * 4.125 - 7.0 * 3.875) / 4.0
    volume = measures(yard.parts["P02"].solid).volume_mm3
    assert volume == pytest.approx(292.0 * ring_in2 * MM_PER_INCH**3, rel=1e-6)  # nine digits in the file


def test_boom_is_wetted_inside_and_outside(yard: Shop) -> None:
    # Closed form: 186 in of (20 in round the outside + 19 in round the inside), and the two ends' metal.
    area_in2 = 186.0 * (20.0 + 19.0) + 2.0 * (24.0 - 5.75 * 3.75)
    assert fc.measure(yard.parts["P01"]).area_m2 == pytest.approx(
        area_in2 * MM_PER_INCH**2 / MM2_PER_M2, rel=1e-9
    )


# The mast in T1: tilting it gains nothing. Envelope 286 x 14 x 16 in, mast 292 x 7 1/4 x 4 1/8 in.


def test_longest_mast_that_tilts_in() -> None:
    # Closed form: both of L cos t + h sin t = 286 and L sin t + h cos t = 16 at the best tilt.
    h = 4.125

    def length(t: float) -> float:
        return (286.0 - h * math.sin(t)) / math.cos(t)

    best = brentq(lambda t: length(t) * math.sin(t) + h * math.cos(t) - 16.0, 0.0, 0.2)
    assert best / RAD_PER_DEGREE == pytest.approx(2.38, abs=0.005)
    assert length(best) == pytest.approx(286.075, abs=0.0005)


def _longer_in(tape_in: float) -> float:
    """Return by how much T1 must be longer for 292 x 4 1/8 in tilted, the tapes taken off both sides."""
    height = 16.0 - 2.0 * tape_in
    t = brentq(lambda t: 292.0 * math.sin(t) + 4.125 * math.cos(t) - height, 0.0, 0.2)
    return 292.0 * math.cos(t) + 4.125 * math.sin(t) + 2.0 * tape_in - 286.0


def test_mast_as_a_bar_that_may_only_tilt(yard: Shop) -> None:
    size = (292.0 * MM_PER_INCH, 7.25 * MM_PER_INCH, 4.125 * MM_PER_INCH)
    bar = weighed("bar", block(size).solid, 2.70)
    answer = fc.dip(replace(bar, attitude=Attitude(math.pi / 2.0, 0.0, 0.0)), yard.tanks["T1"])
    assert isinstance(answer, fc.DoesNotFit)
    cure = next(cure for cure in answer.cures if cure.what == "length")
    wanted = _longer_in(TAPE_IN)
    assert wanted == pytest.approx(6.1185, abs=0.0005)
    assert wanted - ROUNDING_MM <= inches(cure.by_mm) <= wanted + 1.0 / 16.0  # it is told to 1/16 in


def test_mast_does_not_fit_and_needs_six_inches(yard: Shop) -> None:
    answer = fc.dip(yard.parts["P02"], yard.tanks["T1"])
    assert isinstance(answer, fc.DoesNotFit)
    # Computed: -70.476 mm over all angles.
    assert answer.spare.mm <= -70.476 + 0.005
    assert answer.spare.at_most_mm >= -70.476
    # An oval goes in where the bar of its size does. And no mast is easier than its middle line, 292 in long,
    # of which 16 in go into its rise and 14 in into its swing at most.
    cure = inches(next(cure for cure in answer.cures if cure.what == "length").by_mm)
    assert math.sqrt(292.0**2 - 16.0**2 - 14.0**2) - 286.0 <= cure <= _longer_in(TAPE_IN) + 1.0 / 16.0


def test_mast_rinses_in_t3(yard: Shop) -> None:
    # Closed form: 25'-0" less an inch at both ends leaves 298 in, 6 in more than the mast.
    assert spare_in(yard.parts["P02"], yard.tanks["T3"]) == pytest.approx(3.0, abs=1e-9)


# The hatch frame in T1: 19 1/2 x 1 1/2 in in 14 x 16 in, rolled.


HATCH_DIAGONAL = math.hypot(19.5, 1.5)
HATCH_LEAN = math.atan(1.5 / 19.5)
# Closed form: 19.5 cos p + 1.5 sin p <= 14 from here on, and 19.5 sin p + 1.5 cos p <= 16 up to here.
HATCH_LOW = (math.acos(14.0 / HATCH_DIAGONAL) + HATCH_LEAN) / RAD_PER_DEGREE
HATCH_HIGH = (math.asin(16.0 / HATCH_DIAGONAL) - HATCH_LEAN) / RAD_PER_DEGREE


def test_hatch_roll_window(yard: Shop) -> None:
    hatch, tank = yard.parts["P08"], yard.tanks["T1"]
    assert pytest.approx(48.69, abs=0.005) == HATCH_LOW
    assert pytest.approx(50.50, abs=0.005) == HATCH_HIGH
    for end in (HATCH_LOW, HATCH_HIGH):
        assert spare_in(hatch, tank, roll=end) == pytest.approx(0.0, abs=1e-9)
    for outside in (0.0, HATCH_LOW - 0.1, HATCH_HIGH + 0.1, 90.0):
        assert spare_in(hatch, tank, roll=outside) < 0.0
    for inside in (HATCH_LOW + 0.1, HATCH_HIGH - 0.1):
        assert spare_in(hatch, tank, roll=inside) > 0.0


def test_hatch_roll_window_with_the_tapes_out(yard: Shop) -> None:
    # Closed form: the same with 13 13/16 x 15 13/16 in.
    low = (math.acos(13.8125 / HATCH_DIAGONAL) + HATCH_LEAN) / RAD_PER_DEGREE
    high = (math.asin(15.8125 / HATCH_DIAGONAL) - HATCH_LEAN) / RAD_PER_DEGREE
    assert low == pytest.approx(49.47, abs=0.005)
    assert high == pytest.approx(49.55, abs=0.005)
    for roll, verdict in ((low - 0.01, "measure again"), (49.5, "fits"), (high + 0.01, "measure again")):
        answer = fc.dip(yard.parts["P08"], yard.tanks["T1"], angles=Angles(0.0, roll * RAD_PER_DEGREE, 0.0))
        assert answer.verdict == verdict


def test_hatch_fits_by_a_tenth_of_an_inch(yard: Shop) -> None:
    answer = fc.dip(yard.parts["P08"], yard.tanks["T1"])
    assert isinstance(answer, fc.Fits)

    def differ(p: float) -> float:
        """Return by how much the room beside it is larger than the room over and under it."""
        beside = 14.0 - 19.5 * math.cos(p) - 1.5 * math.sin(p)
        return beside - (16.0 - 19.5 * math.sin(p) - 1.5 * math.cos(p))

    p = brentq(differ, HATCH_LOW * RAD_PER_DEGREE, HATCH_HIGH * RAD_PER_DEGREE)
    most = (14.0 - 19.5 * math.cos(p) - 1.5 * math.sin(p)) / 2.0
    assert most == pytest.approx(0.0983, abs=0.00005)
    assert most > TAPE_IN  # 0.0938: by a hair
    assert inches(answer.spare.mm) == pytest.approx(most, rel=SEARCHED_SHARE)
    assert answer.spare.at_most_mm >= most * MM_PER_INCH - ROUNDING_MM


def test_hatch_fill_line(yard: Shop) -> None:
    # Closed form: 2 in of sludge, the frame at the low end of its window, 2 in of cover.
    p = HATCH_LOW * RAD_PER_DEGREE
    level = 2.0 + 19.5 * math.sin(p) + 1.5 * math.cos(p) + 2.0
    assert level == pytest.approx(19.64, abs=0.005)
    (row,) = fc.fill(yard.tanks["T1"], level * MM_PER_INCH)
    assert row.liquid_l / LITRES_PER_GALLON == pytest.approx(391.7, abs=0.05)
    answer = fc.dip(yard.parts["P08"], yard.tanks["T1"])
    assert isinstance(answer, fc.Fits)
    assert inches(answer.least.at_least_mm) <= level <= inches(answer.least.level_mm) + 1e-6
    assert inches(answer.least.level_mm) == pytest.approx(level, rel=SEARCHED_SHARE)


# The fuel-tank section B: one pass nowhere. T2 leaves 1778.8 x 712 x 1019.2 mm for 2100 x 700 x 420 mm.


def test_section_tilted_as_far_as_its_length_asks_is_too_tall() -> None:
    # Closed form.
    tilt = math.acos(1778.8 / math.hypot(2100.0, 420.0)) + math.atan(420.0 / 2100.0)
    assert tilt / RAD_PER_DEGREE == pytest.approx(45.15, abs=0.005)
    assert 2100.0 * math.sin(tilt) + 420.0 * math.cos(tilt) == pytest.approx(1785.0, abs=0.5)


def test_section_needs_a_deeper_tank(yard: Shop) -> None:
    answer = fc.dip(yard.parts["P04"], yard.tanks["T2"])
    assert isinstance(answer, fc.DoesNotFit)
    assert answer.spare.mm <= -144.692 + 0.005  # computed
    assert answer.spare.at_most_mm >= -144.692
    # Closed form: the same with the tapes taken off, where the 700 mm stay across 712 mm.
    tape = TAPE_IN * MM_PER_INCH
    tilt = math.acos((1778.8 - 2.0 * tape) / math.hypot(2100.0, 420.0)) + math.atan(420.0 / 2100.0)
    deeper = 2100.0 * math.sin(tilt) + 420.0 * math.cos(tilt) - (1019.2 - 2.0 * tape)
    cure = next(cure for cure in answer.cures if cure.what == "depth")
    assert cure.by_mm == pytest.approx(deeper, rel=SEARCHED_SHARE)


def test_section_goes_under_nowhere(yard: Shop) -> None:
    for tank in yard.tanks.values():
        assert isinstance(fc.dip(yard.parts["P04"], tank, with_cures=False), fc.DoesNotFit)


# Rise: displaced over what surface is left.


def test_mast_step_lifts_the_liquid_in_t4(yard: Shop, blocks: Shop) -> None:
    # Closed form: 9.0 l over 1200 x 600 mm, and over 800 x 600 mm with the block standing proud.
    for shop, rise in ((yard, 9e6 / 720_000.0), (blocks, 9e6 / 480_000.0)):
        answer = fc.dip(shop.parts["P15"], shop.tanks["T4"])
        assert isinstance(answer, fc.Fits)
        assert answer.advice.fill.displaced_l == pytest.approx(9.0, rel=1e-12)
        assert answer.advice.fill.rise_mm == pytest.approx(rise, rel=1e-9)


def test_sealed_boom_lifts_the_liquid_in_t1(yard: Shop, blocks: Shop) -> None:
    # Closed form: 186 x 6 x 4 = 4464 in3 over 288 x 16 in, less three blocks of 94 x 8 in: 4608 and 2352 in2.
    # The same without its plugs: 186 x (24 - 5 3/4 x 3 3/4) = 453.4 in3.
    metal = 186.0 * (24.0 - 5.75 * 3.75)
    for shop, name, rise in (
        (yard, "P01s", 4464.0 / 4608.0),
        (blocks, "P01s", 4464.0 / 2352.0),
        (yard, "P01", metal / 4608.0),
        (blocks, "P01", metal / 2352.0),
    ):
        answer = fc.dip(shop.parts[name], shop.tanks["T1"])
        assert isinstance(answer, fc.Fits)
        assert inches(answer.advice.fill.rise_mm) == pytest.approx(rise, rel=1e-9)


def test_plugged_boom_must_be_held_down(yard: Shop) -> None:
    # Closed form: 4464 in3 of bath at 1.03, less 453.4 in3 of tube and 2 x 5 3/4 x 3 3/4 x 1/8 in3
    # of plugs at 2.70; the pound is 0.4536 kg.
    boom, tank = yard.parts["P01s"], yard.tanks["T1"]
    pushed_kg = measures(boom.skin).volume_mm3 / MM3_PER_LITRE * tank.liquid.specific_gravity
    plugs = 2.0 * 5.75 * 3.75 * 0.125
    metal = 186.0 * (24.0 - 5.75 * 3.75)
    wanted_kg = (4464.0 * 1.03 - (metal + plugs) * 2.70) * MM_PER_INCH**3 / MM3_PER_LITRE
    assert pushed_kg - boom.mass_kg == pytest.approx(wanted_kg, rel=1e-9)
    assert wanted_kg / KG_PER_POUND == pytest.approx(121.4, abs=0.05)


# The boom's fill line.


def test_dip_stick_of_t1(yard: Shop, blocks: Shop) -> None:
    # Closed form: 288 x 16 in, less 3 x 94 x 8 in with the blocks; cubic inches over 231.
    for shop, area in ((yard, 288.0 * 16.0), (blocks, 288.0 * 16.0 - 3.0 * 94.0 * 8.0)):
        for level in (8.0, 20.0):
            (row,) = fc.fill(shop.tanks["T1"], level * MM_PER_INCH)
            gallons = area * level / 231.0
            assert row.liquid_l / LITRES_PER_GALLON == pytest.approx(gallons, rel=1e-9)


@pytest.mark.parametrize(
    ("file", "level_in", "gallons"),
    [("yard", 8.0, 159.6), ("blocks", 8.0, 81.5), ("yard", 20.0, 399.0), ("blocks", 20.0, 203.6)],
)
def test_gallons_of_t1(file: str, level_in: float, gallons: float, shops: dict[str, Shop]) -> None:
    (row,) = fc.fill(shops[file].tanks["T1"], level_in * MM_PER_INCH)
    assert row.liquid_l / LITRES_PER_GALLON == pytest.approx(gallons, abs=0.05)  # the digits given


def test_boom_asks_for_eight_inches(yard: Shop) -> None:
    # Closed form: 2 in of sludge, the boom 4 in high, 2 in of cover; no box is lower than its least size.
    answer = fc.dip(yard.parts["P01"], yard.tanks["T1"])
    assert isinstance(answer, fc.Fits)
    assert inches(answer.least.level_mm) == pytest.approx(8.0, rel=SEARCHED_SHARE)
    assert inches(answer.least.at_least_mm) <= 8.0 + 1e-6
    assert inches(answer.advice.fill.level_mm) == pytest.approx(8.0, abs=1e-6)


def test_boom_laid_flat_beside_the_blocks_has_nothing_to_spare(blocks: Shop) -> None:
    # Closed form: 16 in less 8 in of block less an inch at both sides is 6 in, the width of the boom. On its
    # edge it is 4 in wide and an inch is left at both sides: 6 in high, so 10 in of liquid.
    boom, tank = blocks.parts["P01"], blocks.tanks["T1"]
    flat = Angles(0.0, 0.0, 0.0)
    assert fc.dip(boom, tank, angles=flat).verdict == "measure again"
    assert spare_in(boom, tank) == pytest.approx(0.0, abs=1e-9)
    answer = fc.dip(boom, tank)
    assert isinstance(answer, fc.Fits)
    assert inches(answer.advice.spare_mm) == pytest.approx(1.0, abs=1e-6)
    assert inches(answer.advice.fill.level_mm) == pytest.approx(10.0, abs=1e-6)
    metal = 186.0 * (24.0 - 5.75 * 3.75)
    gallons = (2352.0 * 10.0 - metal) / 231.0
    assert gallons == pytest.approx(99.9, abs=0.05)
    assert answer.advice.fill.liquid_l / LITRES_PER_GALLON == pytest.approx(gallons, rel=1e-6)


# Rib no. 2 in T2: 1778.0 x 1016.0 x 38.1 mm in 1778.8 x 712 x 1019.2 mm.

# Computed: the largest spare, at a swing of 16.18 and a roll of 80.05 deg.
RIB_MM = 5.9438


def test_rib_upright(yard: Shop) -> None:
    # Closed form: half of 1778.8 - 1778.0; a tape may be out by more.
    answer = fc.dip(yard.parts["P07"], yard.tanks["T2"], angles=Angles(0.0, 90.0 * RAD_PER_DEGREE, 0.0))
    assert isinstance(answer, fc.MeasureAgain)
    assert answer.spare.mm == pytest.approx(0.4, abs=ROUNDING_MM)


def test_rib_leaned_and_swung(yard: Shop) -> None:
    # Closed form for the witness: what a box takes up along, across and upright, rolled and then swung.
    s, r = 16.18 * RAD_PER_DEGREE, 80.05 * RAD_PER_DEGREE
    across = 1016.0 * math.cos(r) + 38.1 * math.sin(r)
    upright = 1016.0 * math.sin(r) + 38.1 * math.cos(r)
    witness = min(
        1778.8 - 1778.0 * math.cos(s) - across * math.sin(s),
        712.0 - 1778.0 * math.sin(s) - across * math.cos(s),
        1019.2 - upright,
    )
    assert witness / 2.0 == pytest.approx(RIB_MM, abs=0.02)  # the angles are given to 0.01 deg
    answer = fc.dip(yard.parts["P07"], yard.tanks["T2"])
    assert isinstance(answer, fc.Fits)
    assert witness / 2.0 <= answer.spare.at_most_mm
    assert answer.spare.mm == pytest.approx(RIB_MM, rel=SEARCHED_SHARE)
    assert answer.spare.mm <= RIB_MM + 0.0001


# Closed form, inches: half of what the tightest pair of sides leaves, square in the tank.
SQUARE = [
    ("P23", "T5", 0.0, 0.0),  # 20 - 8 - 12 = 0 in over and under it
    ("P23", "T1", 0.0, 2.0),  # 24 - 8 - 12 = 4 in
    ("P22", "T5", 0.0, 2.0),  # 148 - 2 - 142 = 4 in at the ends
    ("P06", "T2", 90.0, (1019.2 - 900.0) / 2.0 / MM_PER_INCH),
    ("P09", "T4", 0.0, (550.0 - 500.0) / 2.0 / MM_PER_INCH),
    ("P03", "T2", 90.0, (1778.8 - 1500.0) / 2.0 / MM_PER_INCH),
    ("P01", "T1", 0.0, 4.0),  # 16 - 2 - 6 = 8 in beside it
    ("P14", "T1", 0.0, 6.0),  # 16 - 2 - 2 = 12 in beside it
]


@pytest.mark.parametrize(("part", "tank", "roll", "spare"), SQUARE)
def test_spare_square_in_the_tank(part: str, tank: str, roll: float, spare: float, yard: Shop) -> None:
    assert spare_in(yard.parts[part], yard.tanks[tank], roll=roll) == pytest.approx(spare, abs=1e-6)


# Computed, over all angles: F fits, N does not, M where the tape decides; T1 to T5.
CHART = {
    "P01": "FNFNN",
    "P01s": "FNFNN",
    "P02": "NNFNN",
    "P03": "NFNNN",
    "P04": "NNNNN",
    "P05": "FFFFN",
    "P06": "NFNNN",
    "P07": "NFNNN",
    "P08": "FFFFN",
    "P09": "MFFFN",
    "P10": "NFNNN",
    "P11": "FFFNF",
    "P12": "FNFNF",
    "P13": "FNFNN",
    "P14": "FNFNN",
    "P15": "FFFFF",
    "P16": "FFFFF",
    "P17": "NNNNN",
    "P18": "FNFNF",
    "P19": "FFFFM",
    "P20": "FFFFF",
    "P21": "FFFFF",
    "P22": "FNFNF",
    "P23": "FNFNM",
}


def test_chart(yard: Shop) -> None:
    words = {"fits": "F", "does not fit": "N", "measure again": "M", "not found": "?"}
    rows = fc.chart(yard)
    told = {name: "".join(words[row.verdict] for row in rows if row.part == name) for name in yard.parts}
    assert told == CHART
