"""Dip-stick, level of a volume, and the rise when a part goes in."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies.solids import box, bumpy, hollow, hulled, part_of, tank_of, turn

from fitcheck.geometry.liquid.fill_level import covering_level_mm, fill_at, room_for_liquid
from fitcheck.questions.fill.ask import fill
from fitcheck.shapes.basin import basin
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.tank import Rules, Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import LITRES_PER_GALLON, MM3_PER_LITRE, MM_PER_INCH

INCH = MM_PER_INCH


def inches(*sizes: float) -> tuple[float, ...]:
    return tuple(size * INCH for size in sizes)


def trough(**standing: object) -> Tank:
    """12 ft x 12 in x 20 in."""
    return tank_of(box(inches(144, 12, 20)), None, **standing)  # type: ignore[arg-type]


def placed(*shift: float, angles: Angles = Angles()) -> Pose:  # noqa: B008  (a frozen value)
    return Pose("tank", "part", rotation_from(angles), np.array(shift))


def gallons(litres: float) -> float:
    return litres / LITRES_PER_GALLON


def test_twelve_foot_trough() -> None:
    # 144 x 12 x 16 in3 at 231 in3 a gallon (NIST Handbook 44, appendix C).
    (row,) = fill(trough(), level_mm=16 * INCH)
    assert gallons(row.liquid_l) == pytest.approx(144 * 12 * 16 / 231, rel=1e-13)
    assert row.from_rim_mm == pytest.approx(4 * INCH, rel=1e-13)


def test_block_takes_up_liquid() -> None:
    tank = trough(b1=box(inches(36, 12, 20)))
    (row,) = fill(tank, level_mm=16 * INCH)
    assert gallons(row.liquid_l) == pytest.approx(108 * 12 * 16 / 231, rel=1e-11)
    (row,) = fill(tank, liquid_l=50 * LITRES_PER_GALLON)
    assert row.level_mm == pytest.approx(50 * 231 / (108 * 12) * INCH, rel=1e-11)
    assert row.liquid_l == 50 * LITRES_PER_GALLON


def test_three_side_blocks_of_the_long_tank() -> None:
    # Three blocks 94 x 8 x 22 in in a tank 288 x 16 x 24 in, filled to 20 in.
    blocks = {f"b{k}": box(inches(94, 8, 22), inches(95 * k, 0, 0)) for k in range(3)}
    (row,) = fill(tank_of(box(inches(288, 16, 24)), None, **blocks), level_mm=20 * INCH)
    assert gallons(row.liquid_l) == pytest.approx((288 * 16 - 3 * 94 * 8) * 20 / 231, rel=1e-11)


def test_only_what_is_inside_counts() -> None:
    """Proud of the rim, let into the floor and the wall, or in the fillets: the same as cut off there."""
    plain = fill(trough(b=box((100.0, 100.0, 20 * INCH))), level_mm=400.0)[0].liquid_l
    proud = fill(trough(b=box((100.0, 100.0, 900.0))), level_mm=400.0)[0].liquid_l
    sunk = fill(trough(b=box((130.0, 107.0, 905.0), (-30.0, -7.0, -5.0))), level_mm=400.0)[0].liquid_l
    assert proud == pytest.approx(plain, rel=1e-12)
    assert sunk == pytest.approx(plain, rel=1e-12)
    round_tank = basin((1000.0, 500.0, 400.0), 50.0)
    tank = tank_of(round_tank.solid, None, b=box((300.0, 500.0, 400.0)))
    rest = tank_of(round_tank.solid, None, b=box((700.0, 500.0, 400.0), (300.0, 0.0, 0.0)))
    whole = tank_of(round_tank.solid)
    for level in (10.0, 49.0, 51.0, 400.0):
        parts = [fill(t, level_mm=level)[0].liquid_l for t in (tank, rest)]
        assert sum(parts) == pytest.approx(fill(whole, level_mm=level)[0].liquid_l, rel=1e-11)


def test_hung_fitting_counts_from_its_underside() -> None:
    tank = tank_of(box((1000.0, 500.0, 400.0)), None, strap=box((50.0, 500.0, 100.0), (200.0, 0.0, 250.0)))
    rows = [fill(tank, level_mm=level)[0].liquid_l for level in (250.0, 300.0, 400.0)]
    assert rows == pytest.approx([125.0, 150.0 - 1.25, 200.0 - 2.5], rel=1e-12)


def test_lying_drum_of_a_tank() -> None:
    """A trough with a round bottom: the half circle, then straight up."""
    angle = np.pi * np.arange(721) / 720
    round_bottom = np.column_stack((300.0 - 300.0 * np.cos(angle), 300.0 - 300.0 * np.sin(angle)))
    outline = np.concatenate((round_bottom, [[600.0, 500.0], [0.0, 500.0]]))
    inside = hulled([(x, y, z) for x in (0.0, 2000.0) for y, z in outline])
    # Segment of a circle, r = 300, h = 100 (D. Jones, Chemical Processing, November 2002).
    segment = 300.0**2 * math.acos(200 / 300) - 200 * math.sqrt(2 * 300 * 100 - 100**2)
    tank = tank_of(inside)
    # The polygon of 720 sides lacks about 1e-5 of the half circle.
    assert fill(tank, level_mm=100.0)[0].liquid_l == pytest.approx(segment * 2000 / MM3_PER_LITRE, rel=1e-5)


def test_dip_stick() -> None:
    rows = fill(trough(), step_mm=INCH)
    assert len(rows) == 21
    assert [row.level_mm for row in rows] == pytest.approx([k * INCH for k in range(21)], abs=1e-9)
    assert rows[-1].level_mm == trough().depth_mm
    assert [gallons(row.liquid_l) for row in rows] == pytest.approx(
        [k * 1728 / 231 for k in range(21)], abs=1e-9
    )
    assert all(row.from_rim_mm + row.level_mm == pytest.approx(20 * INCH) for row in rows)
    uneven = fill(trough(), step_mm=200.0)
    assert [row.level_mm for row in uneven] == [0.0, 200.0, 400.0, trough().depth_mm]


def test_what_the_stick_says_is_found_again() -> None:
    tank = tank_of(basin((1000.0, 500.0, 400.0), 50.0).solid, None, b=box((200.0, 100.0, 300.0), (90, 80, 0)))
    for row in fill(tank):
        (again,) = fill(tank, liquid_l=row.liquid_l)
        assert again.level_mm == pytest.approx(row.level_mm, abs=1e-6)


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"level_mm": 10.0, "liquid_l": 10.0}, "both"),
        ({"level_mm": -1.0}, "heights over the tank floor"),
        ({"level_mm": math.nan}, "heights over the tank floor"),
        ({"level_mm": 20 * INCH + 1.0}, "over the rim.*508 mm"),
        ({"liquid_l": -0.1}, "holds from none"),
        ({"liquid_l": 600.0}, r"158\.5 gal.*holds from none to 566\.3 L \(149\.6 gal\)"),
        ({"step_mm": 0.0}, "1 mm or more"),
    ],
)
def test_refusals(asked: dict[str, float], words: str) -> None:
    with pytest.raises(Refused, match=words):
        fill(trough(), **asked)


def test_no_room_left_is_refused() -> None:
    with pytest.raises(Refused, match="plug"):
        fill(trough(plug=box(inches(150, 14, 22), inches(-1, -1, -1))))


def test_rise_beside_a_block_that_stands_proud() -> None:
    # 9 L over the free plan, 800 x 600 mm: 18.75 mm.
    tank = tank_of(box((1200.0, 600.0, 500.0)), None, b3=box((400.0, 600.0, 450.0)))
    step = part_of(box((300.0, 200.0, 150.0)))
    got = fill_at(step, placed(700.0, 200.0, 0.0), tank, 150.0)
    assert got.rise_mm == pytest.approx(18.75, rel=1e-9)
    assert got.displaced_l == pytest.approx(9.0, rel=1e-12)
    assert got.liquid_l == pytest.approx(0.8 * 0.6 * 150.0 - 9.0, rel=1e-11)
    assert got.level_before_mm == pytest.approx(131.25, rel=1e-9)
    assert (got.from_rim_mm, got.freeboard_mm, got.overflow_l) == (350.0, 350.0, 0.0)


def test_sealed_space_displaces_too() -> None:
    # A boom 186 x 6 x 4 in in a tank 288 x 16 in: plugged, all of it displaces; open, only its metal.
    outside, space = box(inches(186, 6, 4)), box(inches(185.75, 5.75, 3.75), inches(0.125, 0.125, 0.125))
    metal = hollow(outside, space)
    tank = tank_of(box(inches(288, 16, 24)))
    pose = placed(*inches(10, 5, 2))
    plugged = fill_at(part_of(metal, outside), pose, tank, 8 * INCH)
    assert plugged.rise_mm == pytest.approx(186 * 6 * 4 / (288 * 16) * INCH, rel=1e-9)
    assert gallons(plugged.displaced_l) == pytest.approx(186 * 6 * 4 / 231, rel=1e-12)
    flooded = fill_at(part_of(metal), pose, tank, 8 * INCH)
    assert gallons(flooded.displaced_l) == pytest.approx(
        (186 * 6 * 4 - 185.75 * 5.75 * 3.75) / 231, rel=1e-10
    )


def test_half_out_counts_only_what_is_under() -> None:
    tank = tank_of(box((1000.0, 500.0, 400.0)))
    post = part_of(box((100.0, 100.0, 900.0)))
    got = fill_at(post, placed(300.0, 200.0, 0.0), tank, 200.0)
    assert got.displaced_l == pytest.approx(2.0, rel=1e-13)
    assert got.rise_mm == pytest.approx(2e6 / (1000.0 * 500.0), rel=1e-10)


def test_what_runs_over() -> None:
    """A tank 400 mm deep, and a block in it so high that the level asked for is 30 mm over the rim."""
    tank = tank_of(box((1000.0, 500.0, 400.0)))
    block = part_of(box((100.0, 500.0, 350.0)))
    got = fill_at(block, placed(300.0, 0.0, 60.0), tank, 430.0)
    # Walls carried on up hold 215 L at 430 mm, less 17.5 L of block. Over the rim stand 30 mm of the plan
    # less 10 mm of block.
    assert got.liquid_l == pytest.approx(215.0 - 17.5, rel=1e-12)
    assert got.overflow_l == pytest.approx(15.0 - 0.5, rel=1e-12)
    assert got.level_before_mm == pytest.approx(395.0, rel=1e-12)
    assert (got.from_rim_mm, got.freeboard_mm) == (-30.0, 0.0)
    # With no part to speak of, the liquid alone would stand over the rim.
    speck = part_of(box((1.0, 1.0, 1.0)))
    assert fill_at(speck, placed(9.0, 9.0, 9.0), tank, 430.0).level_before_mm == pytest.approx(
        430.0, abs=1e-5
    )


def test_part_outside_the_tank_is_refused() -> None:
    tank = tank_of(box((1000.0, 500.0, 400.0)))
    with pytest.raises(Refused, match="more than tank has"):
        fill_at(part_of(box((3000.0, 600.0, 300.0))), placed(0.0, 0.0, 0.0), tank, 300.0)
    with pytest.raises(Refused, match="heights over the tank floor"):
        fill_at(part_of(box((10.0, 10.0, 10.0))), placed(5.0, 5.0, 5.0), tank, -1.0)


def test_covering_level() -> None:
    tank = tank_of(box((1000.0, 500.0, 400.0)), Rules(cover_mm=50.0))
    part = part_of(box((200.0, 100.0, 30.0)))
    pose = placed(100.0, 100.0, 25.0, angles=Angles(tilt_rad=math.radians(30.0)))
    want = 25.0 + 200.0 * math.sin(math.radians(30.0)) + 30.0 * math.cos(math.radians(30.0)) + 50.0
    assert covering_level_mm(part, pose, tank) == pytest.approx(want, rel=1e-14)


@given(st.integers(0, 10**6), st.floats(0.05, 1.0))
def test_liquid_is_neither_made_nor_lost(seed: int, share: float) -> None:
    """Liquid and part under the level together fill the room under it; and the part may come out again."""
    tank = tank_of(box((2000.0, 1500.0, 1600.0)), None, b=box((300.0, 1500.0, 900.0)))
    part = part_of(bumpy(6))
    pose = Pose("tank", "part", turn(seed), np.array([1100.0, 750.0, 800.0]))
    level = share * 1600.0
    got = fill_at(part, pose, tank, level)
    under = float(room_for_liquid(tank).volume_below_mm3(level)) / MM3_PER_LITRE
    assert got.liquid_l + got.displaced_l == pytest.approx(under, rel=1e-12)
    (before,) = fill(tank, liquid_l=got.liquid_l)
    assert before.level_mm == pytest.approx(got.level_before_mm, abs=1e-9)
    assert got.rise_mm >= -1e-9
