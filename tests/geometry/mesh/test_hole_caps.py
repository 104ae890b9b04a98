"""Narrow holes shut: what is filled, what is lidded, and what is none."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import CrossSection, Manifold, OpType
from strategies.solids import bumpy, turn

from fitcheck.geometry.liquid.pockets import UPSIDE_DOWN, Vessel
from fitcheck.geometry.mesh.hole_caps import holes_capped
from fitcheck.geometry.mesh.measure import measures
from fitcheck.shapes.catalogue import build
from fitcheck.shapes.holes import Axis, Hole, drilled
from fitcheck.shapes.manifold import manifold_of, solid_of
from fitcheck.shapes.shape import Shape
from fitcheck.things.solid import Solid

NARROW_MM = 3.0
# Sums over some hundred triangles of coordinates that manifold3d has cut, of a part of 300 mm: twelve digits.
EXACT_MM3 = 1e-5
# A lid with both sides kept takes a hundredth of its width from the space behind it.
SETBACK = 0.01

PLATE_MM3 = 60.0 * 40.0 * 10.0
MIDDLE = (30.0, 20.0)


def plate() -> Manifold:
    """Return a plate without a hole."""
    return Manifold.cube((60.0, 40.0, 10.0))


def bit(
    diameter: float, low: float = -5.0, high: float = 15.0, sides: int = 72, wider: float = 1.0
) -> Manifold:
    """Return an upright bar through the middle of the plate; its upper end is `wider` times as wide."""
    bar = Manifold.cylinder(high - low, diameter / 2.0, wider * diameter / 2.0, sides)
    return bar.translate((*MIDDLE, low))


def leaning(diameter: float, lean_deg: float, sides: int = 72) -> Manifold:
    """Return a long bar through the middle of the plate that leans so far from square to it."""
    bar = Manifold.cylinder(400.0, diameter / 2.0, diameter / 2.0, sides, True)
    return bar.rotate((0.0, lean_deg, 0.0)).translate((*MIDDLE, 5.0))


def rounded(steps: int) -> Manifold:
    """Return an upright 2 mm bar whose upper rim in the plate is rounded to 0.5 mm, in so many steps."""
    turns = np.linspace(0.0, math.pi / 2.0, steps + 1)
    arc = np.column_stack([1.5 - 0.5 * np.cos(turns), 9.5 + 0.5 * np.sin(turns)])
    profile = np.vstack([[[0.0, -5.0], [1.0, -5.0]], arc, [[1.5, 15.0], [0.0, 15.0]]])
    return CrossSection([profile]).revolve(72).translate((*MIDDLE, 0.0))


def volume_mm3(solid: Solid) -> float:
    return measures(solid).volume_mm3


def made(manifold: Manifold) -> Solid:
    return solid_of(manifold, "made")


def with_hole(shape: Shape, at: tuple[float, float, float], diameter: float, through: bool = False) -> Solid:
    along: Axis = "z"
    return drilled(shape, Hole(at, along, diameter, through)).solid


def pan() -> Shape:
    """Return a pan that holds 296 x 196 x 48 mm."""
    return build("pan", {"size": (300.0, 200.0, 50.0), "wall": 2.0})


PAN_MM3 = 296.0 * 196.0 * 48.0


def caught_mm3(solid: Solid) -> tuple[float, float]:
    """Return the air held as drawn and the liquid held as drawn."""
    air, liquid = Vessel(solid).air_mm3(np.stack([np.eye(3), UPSIDE_DOWN]))
    return float(air), float(liquid)


# Made when asked for: manifold3d complains about solids that outlive it.
BORES: dict[str, Callable[[], Manifold]] = {
    "2 mm": lambda: bit(2.0),
    "2.9 mm": lambda: bit(2.9),
    "of 12 sides": lambda: bit(2.9, sides=12),
    "of 8 sides": lambda: bit(2.9, sides=8),
    "of 5 sides": lambda: bit(2.9, sides=5),
    "of 3 sides": lambda: bit(2.9, sides=3),
    "blind": lambda: bit(2.0, low=4.0),
    "blind, of 8 sides": lambda: bit(2.0, low=4.0, sides=8),
    "leaning 30": lambda: leaning(2.0, 30.0),
    "leaning 45": lambda: leaning(2.9, 45.0),
    "leaning 60, of 8 sides": lambda: leaning(2.9, 60.0, sides=8),
    "leaning 70": lambda: leaning(2.0, 70.0),
    "stepped": lambda: bit(1.5) + bit(2.5, low=5.0),
    "with the drill's point": lambda: bit(2.0, low=4.0) + bit(0.01, low=3.0, high=4.0, wider=200.0),
    "crossing": lambda: leaning(2.0, 0.0) + leaning(1.5, 90.0),
    "several": lambda: (
        bit(2.0) + bit(2.5).translate((6.0, 3.0, 0.0)) + bit(1.0, low=7.0).translate((-9.0, 0.0, 0.0))
    ),
}
NO_NARROW_HOLES: dict[str, Callable[[], Manifold]] = {
    "plain": plate,
    "3.1 mm": lambda: plate() - bit(3.1),
    "3 mm": lambda: plate() - bit(3.0),
    "3 mm, of 9 sides": lambda: plate() - bit(3.0, sides=9),
    "3.1 mm leaning": lambda: plate() - leaning(3.1, 60.0),
    "pin": lambda: plate() + bit(2.0, low=9.0),
    "pin of 8 sides": lambda: plate() + bit(2.0, low=9.0, sides=8),
    "pointed pin": lambda: plate() + bit(2.0, low=9.0, wider=0.5),
    "headed pin": lambda: plate() + bit(2.0, low=9.0) + bit(2.8, low=15.0, high=16.0),
    "slit": lambda: plate() - Manifold.cube((20.0, 2.0, 20.0)).translate((*MIDDLE, -5.0)),
    "notch": lambda: plate() - bit(2.0).translate((-30.0, 0.0, 0.0)),
    "overlapping": lambda: plate() - bit(2.0) - bit(2.0).translate((1.0, 0.0, 0.0)),
}


@pytest.mark.parametrize("name", BORES)
def test_bore_in_a_plate_is_filled_whatever_its_way_and_sides(name: str) -> None:
    part = made(plate() - BORES[name]())
    missing = PLATE_MM3 - volume_mm3(part)
    assert missing > 1.0
    filled = holes_capped(part, NARROW_MM)
    assert volume_mm3(filled) - volume_mm3(part) == pytest.approx(missing, abs=EXACT_MM3)
    assert filled.vertices_mm.min(axis=0) == pytest.approx([0.0, 0.0, 0.0], abs=1e-9)
    assert filled.vertices_mm.max(axis=0) == pytest.approx([60.0, 40.0, 10.0], abs=1e-9)
    assert Vessel(filled).shut_mm3 == 0.0
    assert filled.source == "made"


@pytest.mark.parametrize("name", NO_NARROW_HOLES)
def test_what_is_no_narrow_hole_comes_back_itself(name: str) -> None:
    solid = made(NO_NARROW_HOLES[name]())
    assert holes_capped(solid, NARROW_MM) is solid


def test_a_smooth_mesh_of_twenty_thousand_triangles_comes_back_itself() -> None:
    solid = bumpy(70)
    assert len(solid.triangles) > 19_000
    assert holes_capped(solid, NARROW_MM) is solid


def test_the_limit_itself_is_open_though_its_file_was_rounded() -> None:
    """A 3 mm hole in single precision, far from the origin, is sometimes a little less than 3 mm wide."""
    for seed in range(6):
        moved = made(plate() - bit(3.0, sides=12)).moved(turn(seed), np.array([2000.0, 900.0, -700.0]))
        stored = Solid(moved.vertices_mm.astype(np.float32).astype(float), moved.triangles)
        far = Solid(
            np.vstack([stored.vertices_mm, made(plate()).vertices_mm]),
            np.vstack([stored.triangles, made(plate()).triangles + len(stored.vertices_mm)]),
        )
        assert holes_capped(far, NARROW_MM) is far


@settings(max_examples=60, deadline=None)
@given(
    diameter=st.floats(0.5, 6.0).filter(lambda d: abs(d - NARROW_MM) > 0.01),
    lean_deg=st.floats(0.0, 65.0),
    sides=st.sampled_from([6, 8, 12, 24, 72]),
    seed=st.integers(0, 1000),
)
def test_the_width_across_alone_decides(diameter: float, lean_deg: float, sides: int, seed: int) -> None:
    straight = made(
        plate().scale((2.0, 2.0, 1.0)) - leaning(diameter, lean_deg, sides).translate((*MIDDLE, 0.0))
    )
    part = straight.moved(turn(seed), np.array([100.0, -50.0, 20.0]))
    after = holes_capped(part, NARROW_MM)
    if diameter > NARROW_MM:
        assert after is part
    else:
        assert volume_mm3(after) == pytest.approx(4.0 * PLATE_MM3, abs=EXACT_MM3)


@pytest.mark.parametrize(
    "drawn", [build("plate", {"size": (300.0, 200.0, 2.0)}), pan()], ids=["plate", "pan"]
)
@pytest.mark.parametrize(("diameter", "is_shut"), [(2.0, True), (2.9, True), (3.0, False), (3.1, False)])
def test_drawn_holes(drawn: Shape, diameter: float, is_shut: bool) -> None:
    part = with_hole(drawn, (50.0, 60.0, 0.0), diameter)
    after = holes_capped(part, NARROW_MM)
    assert (after is not part) == is_shut
    if is_shut:
        assert volume_mm3(after) == pytest.approx(volume_mm3(drawn.solid), abs=EXACT_MM3)


def test_a_pan_with_a_narrow_hole_holds_all_and_with_a_wide_one_nothing() -> None:
    narrow = with_hole(pan(), (50.0, 60.0, 0.0), 2.0)
    assert caught_mm3(narrow)[1] == pytest.approx(0.0, abs=EXACT_MM3)
    assert caught_mm3(holes_capped(narrow, NARROW_MM)) == pytest.approx((0.0, PAN_MM3))
    wide = with_hole(pan(), (50.0, 60.0, 0.0), 4.0)
    assert caught_mm3(holes_capped(wide, NARROW_MM))[1] == pytest.approx(0.0, abs=EXACT_MM3)


@pytest.mark.parametrize("way", [1.0, -1.0], ids=["wide inside", "wide outside"])
def test_a_flared_hole_is_lidded_where_it_is_narrow(way: float) -> None:
    """It is 2 mm wide at one face of the bottom of the pan and 6 mm at the other."""
    cone = Manifold.cylinder(2.002, 1.0, 3.003, 72).translate((0.0, 0.0, -1.0)).scale((1.0, 1.0, way))
    part = made(manifold_of(pan().solid) - cone.translate((50.0, 60.0, 1.0)))
    after = holes_capped(part, NARROW_MM)
    # Its wall is drawn back with the lid at the narrow end: as much as a cone of that height over both ends.
    lid_mm3 = 2.0 * SETBACK * math.pi * (1.0 + 3.0 + 9.0) / 3.0
    assert volume_mm3(after) - volume_mm3(part) == pytest.approx(lid_mm3, rel=0.01)
    cup_mm3 = volume_mm3(pan().solid) - volume_mm3(after)
    held = (0.0, PAN_MM3 + cup_mm3) if way > 0.0 else (cup_mm3, PAN_MM3)
    assert caught_mm3(after) == pytest.approx(held, abs=0.01)


@pytest.mark.parametrize("long_mm", [6.0, 8.0], ids=["stepped", "countersunk"])
def test_a_narrow_bore_below_a_wide_one_is_filled_alone(long_mm: float) -> None:
    wide = bit(8.0, low=6.0) if long_mm == 6.0 else bit(2.0, 8.0, 11.0, wider=4.0)
    part = made(plate() - bit(2.0) - wide)
    after = holes_capped(part, NARROW_MM)
    area_mm2 = 36.0 * math.sin(math.radians(5.0))
    assert volume_mm3(after) - volume_mm3(part) == pytest.approx(long_mm * area_mm2, abs=EXACT_MM3)


@pytest.mark.parametrize("steps", [1, 2, 4])
def test_a_rounded_rim_in_coarse_steps_is_found(steps: int) -> None:
    part = made(plate() - rounded(steps))
    bore_mm3 = 9.5 * 36.0 * math.sin(math.radians(5.0))
    after = holes_capped(part, NARROW_MM)
    assert volume_mm3(part) + bore_mm3 - EXACT_MM3 < volume_mm3(after) < PLATE_MM3


def test_a_rim_rounded_finely_leaves_the_other_to_be_lidded() -> None:
    part = made(plate() - rounded(9))
    after = holes_capped(part, NARROW_MM)
    assert volume_mm3(after) - volume_mm3(part) == pytest.approx(2.0 * SETBACK * math.pi, rel=0.1)
    # The bore is now a cup, open upward: what it held before was nothing.
    assert caught_mm3(part)[1] == pytest.approx(0.0, abs=EXACT_MM3)
    assert caught_mm3(after)[1] == pytest.approx(PLATE_MM3 - volume_mm3(after), abs=EXACT_MM3)


@pytest.mark.parametrize(
    ("shape", "at"),
    [
        (build("tube", {"size": (600.0, 60.0, 40.0), "wall": 2.0, "ends": "closed"}), (50.0, 30.0, 0.0)),
        (
            build("pipe", {"diameter": 40.0, "length": 500.0, "wall": 2.0, "ends": "closed"}),
            (100.0, 20.0, 0.0),
        ),
        (
            build("pipe", {"diameter": 40.0, "length": 500.0, "wall": 2.0, "ends": "closed"}),
            (100.0, 9.0, 0.0),
        ),
    ],
    ids=["square", "round", "beside-the-middle-of-a-round"],
)
@pytest.mark.parametrize("through", [False, True], ids=["one", "two"])
def test_a_space_with_narrow_holes_alone_is_shut(
    shape: Shape, at: tuple[float, float, float], through: bool
) -> None:
    part = with_hole(shape, at, 2.0, through)
    inside_mm3 = Vessel(shape.solid).shut_mm3
    assert inside_mm3 > 1e5
    assert Vessel(part).shut_mm3 == 0.0
    after = holes_capped(part, NARROW_MM)
    assert Vessel(after).shut_mm3 == pytest.approx(inside_mm3, rel=1e-6)
    # A flat lid on a round wall lies under it by up to its sagitta, 1^2 / (2 x 18) mm on 3 mm2, and more where
    # the hole runs along the wall.
    assert volume_mm3(after) == pytest.approx(volume_mm3(shape.solid), abs=0.1)
    assert after.vertices_mm.max(axis=0) == pytest.approx(shape.solid.vertices_mm.max(axis=0))
    assert after.vertices_mm.min(axis=0) == pytest.approx(shape.solid.vertices_mm.min(axis=0))


def test_a_space_with_a_wide_hole_besides_stays_open() -> None:
    tube = build("tube", {"size": (600.0, 60.0, 40.0), "wall": 2.0, "ends": "closed"})
    narrow = drilled(tube, Hole((50.0, 30.0, 0.0), "z", 2.0))
    part = drilled(narrow, Hole((400.0, 30.0, 0.0), "z", 6.0))
    after = holes_capped(part.solid, NARROW_MM)
    assert Vessel(after).shut_mm3 == 0.0
    wide = drilled(tube, Hole((400.0, 30.0, 0.0), "z", 6.0))
    assert volume_mm3(after) == pytest.approx(volume_mm3(wide.solid), abs=EXACT_MM3)


def test_a_hole_along_a_wall_inside_is_lidded_at_its_outer_rims() -> None:
    """It cuts a groove into the side of the tube from bottom to top, so the bores end at no rim inside."""
    tube = build("tube", {"size": (600.0, 60.0, 40.0), "wall": 2.0, "ends": "closed"})
    part = with_hole(tube, (50.0, 2.5, 0.0), 2.0)
    bored_mm3 = volume_mm3(tube.solid) - volume_mm3(part)
    lids_mm3 = 2.0 * 2.0 * SETBACK * math.pi
    found = Vessel(holes_capped(part, NARROW_MM)).shut_mm3
    assert found == pytest.approx(Vessel(tube.solid).shut_mm3 + bored_mm3 - lids_mm3, abs=0.001)


def test_a_hole_through_an_edge_of_a_box_is_lidded_within_it() -> None:
    tube = build("tube", {"size": (600.0, 60.0, 40.0), "wall": 2.0, "ends": "closed"}).solid
    bar = Manifold.cylinder(20.0, 1.0, 1.0, 24, True).rotate((45.0, 0.0, 0.0))
    part = made(manifold_of(tube) - bar.translate((300.0, 0.0, 0.0)))
    after = holes_capped(part, NARROW_MM)
    assert Vessel(after).shut_mm3 == pytest.approx(Vessel(tube).shut_mm3, rel=1e-4)
    assert (after.vertices_mm >= -1e-9).all()


def test_a_pin_is_left_and_the_hole_in_it_filled() -> None:
    pin = made(plate() + bit(2.5, low=9.0))
    drilled_pin = made(plate() + bit(2.5, low=9.0) - bit(1.0, low=12.0))
    after = holes_capped(drilled_pin, NARROW_MM)
    assert volume_mm3(after) == pytest.approx(volume_mm3(pin), abs=EXACT_MM3)
    assert after.vertices_mm[:, 2].max() == pytest.approx(15.0)


def test_a_hole_with_something_in_it_is_left_open() -> None:
    bolt = bit(2.0, low=-20.0, high=20.0, sides=24)
    solid = made((plate() - bit(2.8)) + bolt)
    assert measures(solid).volume_mm3 > PLATE_MM3
    assert holes_capped(solid, NARROW_MM) is solid


def test_a_bent_bore_becomes_a_shut_space() -> None:
    ring = CrossSection.circle(1.5, 36) - CrossSection.circle(1.0, 36)
    elbow = made(ring.translate((20.0, 0.0)).revolve(72, 90.0))
    bore_mm3 = CrossSection.circle(1.0, 36).translate((20.0, 0.0)).revolve(72, 90.0).volume()
    found = Vessel(holes_capped(elbow, NARROW_MM)).shut_mm3
    lids_mm3 = 2.0 * 2.0 * SETBACK * math.pi
    assert found == pytest.approx(bore_mm3 - lids_mm3, rel=1e-3)


def test_a_mesh_from_a_file_turned_and_rounded_is_shut_as_well() -> None:
    """STL files keep single precision: some 1e-4 mm at 2 m from the origin, over 30 mm2 of rims."""
    bores = (
        bit(2.0)
        + leaning(2.5, 50.0).translate((12.0, 0.0, 0.0))
        + bit(1.0, low=6.0).translate((-9.0, 0.0, 0.0))
    )
    for seed in range(8):
        drawn = made(plate() - bores).moved(turn(seed), np.array([2000.0, -900.0, 700.0]))
        part = Solid(drawn.vertices_mm.astype(np.float32).astype(float), drawn.triangles)
        grown_mm3 = volume_mm3(holes_capped(part, NARROW_MM)) - volume_mm3(part)
        assert grown_mm3 == pytest.approx(PLATE_MM3 - volume_mm3(drawn), abs=0.01)


def test_holes_by_the_hundred_are_all_filled() -> None:
    bar = Manifold.cylinder(20.0, 1.0, 1.0, 8).translate((0.0, 0.0, -5.0))
    bars = [bar.translate((x, y, 0.0)) for x in np.arange(3.0, 60.0, 5.0) for y in np.arange(3.0, 40.0, 5.0)]
    part = made(Manifold.batch_boolean([plate(), *bars], OpType.Subtract))
    assert len(bars) == 96
    assert volume_mm3(holes_capped(part, NARROW_MM)) == pytest.approx(PLATE_MM3, abs=EXACT_MM3)
