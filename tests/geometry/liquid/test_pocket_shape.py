"""The space that a pocket fills, cut out by solid modelling: an independent check of the exact finder.

The finder reads volumes off the surface alone; manifold3d cuts metal out of a box and measures what is left.
The two share no code.
"""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies.solids import box

from fitcheck.files.shop_file import read_shop
from fitcheck.geometry.liquid import pocket_shape
from fitcheck.geometry.liquid.attitude_map import vessel_of
from fitcheck.geometry.liquid.held_pockets import held_at
from fitcheck.geometry.liquid.pocket_shape import LIFT, SHOWN_L, pocket_shapes
from fitcheck.geometry.liquid.pockets import UPSIDE_DOWN
from fitcheck.geometry.mesh.measure import measures, weighed
from fitcheck.shapes.catalogue import build
from fitcheck.shapes.manifold import manifold_of, solid_of
from fitcheck.things.part import Part
from fitcheck.things.pockets import Held, Pocket, PocketShape
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.solid import Floats, Solid
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM3_PER_LITRE, RAD_PER_DEGREE

YARD = Path(__file__).resolve().parents[3] / "examples" / "yard" / "yard.toml"
# Level, on edge and on end, where lips and walls lie in one plane, and some ways between.
WAYS_DEG = [(0, 0), (0, 180), (0, 90), (90, 0), (-90, 30), (0, 170), (5, 180), (-8, 0), (30, 135), (-41, 77)]


def made(shape: str, **values: object) -> Part:
    built = build(shape, values)
    return replace(weighed(shape, built.solid, 2.7), chord_mm=built.chord_mm)


PARTS = {
    "pan": made("pan", size=(600.0, 400.0, 60.0), wall=1.6),
    "section": made("section", size=(1500.0, 700.0, 420.0), wall=1.6, open="+z", baffles=2),
    "cup": made("pipe", diameter=80.0, length=200.0, wall=3.0, ends="one"),
}


def turned(tilt_deg: float, roll_deg: float) -> Floats:
    return rotation_from(Angles(tilt_deg * RAD_PER_DEGREE, roll_deg * RAD_PER_DEGREE))


def expected(part: Part, rotation: Floats) -> list[float]:
    """Return the litres of all pockets large enough; the smaller ones are told as one, and have no shape."""
    vessel = vessel_of(part)
    pools = [vessel.pools(each).volume_mm3 for each in (rotation, UPSIDE_DOWN @ rotation)]
    return sorted(v for v in np.concatenate(pools) / MM3_PER_LITRE if v >= SHOWN_L)


def off_mm3(shape: PocketShape) -> float:
    return abs(measures(shape.solid).volume_mm3 - shape.pocket.volume_l * MM3_PER_LITRE)


def allowed_mm3(part: Part, shape: PocketShape) -> float:
    """Return a millionth of the pocket, and what the level's lift off the lip takes away."""
    # However it is turned the part is no larger than its diagonal, and the level than the pocket's surface.
    lift_mm = LIFT * float(np.linalg.norm(part.size_mm))
    return 1e-6 * shape.pocket.volume_l * MM3_PER_LITRE + lift_mm * measures(shape.solid).area_mm2


@settings(max_examples=40)
@given(st.sampled_from(sorted(PARTS)), st.floats(-90.0, 90.0), st.floats(-180.0, 180.0))
def test_what_is_cut_out_measures_what_was_found(name: str, tilt_deg: float, roll_deg: float) -> None:
    part, rotation = PARTS[name], turned(tilt_deg, roll_deg)
    shapes = pocket_shapes(part.skin, rotation, held_at(part, rotation))
    assert sorted(shape.pocket.volume_l for shape in shapes) == expected(part, rotation)
    for shape in shapes:
        assert off_mm3(shape) <= allowed_mm3(part, shape), (name, tilt_deg, roll_deg, shape.pocket)


@pytest.fixture(scope="module")
def yard() -> dict[str, Part]:
    return dict(read_shop(YARD).parts)


@pytest.mark.parametrize(("tilt_deg", "roll_deg"), WAYS_DEG)
def test_no_pocket_of_the_yard_is_left_out(yard: dict[str, Part], tilt_deg: float, roll_deg: float) -> None:
    rotation = turned(tilt_deg, roll_deg)
    for name, part in yard.items():
        shapes = pocket_shapes(part.skin, rotation, held_at(part, rotation))
        assert len(shapes) == len(expected(part, rotation)), (name, tilt_deg, roll_deg)
        for shape in shapes:
            assert off_mm3(shape) <= allowed_mm3(part, shape), (name, shape.pocket)


@pytest.mark.parametrize("roll_deg", [0.0, 180.0])
def test_a_pocket_lies_between_its_level_and_its_top_and_not_in_the_metal(roll_deg: float) -> None:
    part, rotation = PARTS["section"], turned(7.0, roll_deg)
    shapes = pocket_shapes(part.skin, rotation, held_at(part, rotation))
    assert len(shapes) == 3, "a bay each"
    assert {shape.pocket.kind for shape in shapes} == {"air" if roll_deg else "liquid"}
    metal = manifold_of(part.skin)
    for shape in shapes:
        sign = 1.0 if roll_deg else -1.0
        heights = sign * (shape.solid.vertices_mm @ rotation[2])
        assert heights.min() == pytest.approx(sign * shape.pocket.spill_mm, abs=1e-4)
        top = np.array(shape.pocket.top_mm)
        assert np.linalg.norm(shape.solid.vertices_mm - top, axis=1).min() < 1e-6
        assert heights.max() == pytest.approx(float(sign * (top @ rotation[2])), abs=1e-6)
        assert (metal ^ manifold_of(shape.solid)).volume() < 1e-6 * measures(shape.solid).volume_mm3


def test_a_pan_upside_down_holds_its_inside() -> None:
    part, rotation = PARTS["pan"], turned(0.0, 180.0)
    (shape,) = pocket_shapes(part.skin, rotation, held_at(part, rotation))
    low, high = shape.solid.vertices_mm.min(axis=0), shape.solid.vertices_mm.max(axis=0)
    assert low == pytest.approx([1.6, 1.6, 1.6], abs=1e-5)
    assert high == pytest.approx([598.4, 398.4, 60.0], abs=1e-5)


def test_cups_that_meet_at_their_mouths_are_all_there_however_they_are_told() -> None:
    """Six cups of 90 x 90 x 50 mm in a slab, open down: level, all their mouths are at one height."""
    slab = manifold_of(box((400.0, 300.0, 60.0)))
    for k in range(6):
        slab -= manifold_of(box((90.0, 90.0, 51.0), (20.0 + 120.0 * (k % 3), 20.0 + 150.0 * (k // 3), -1.0)))
    part, rotation = weighed("cups", solid_of(slab, "cups"), 2.7), np.eye(3)
    shapes = pocket_shapes(part.skin, rotation, held_at(part, rotation))
    total = sum(measures(shape.solid).volume_mm3 for shape in shapes)
    assert total == pytest.approx(6.0 * 90.0 * 90.0 * 50.0, rel=1e-6)


def test_a_pocket_with_another_volume_or_place_is_left_out() -> None:
    part, rotation = PARTS["pan"], turned(0.0, 180.0)
    (pocket,) = held_at(part, rotation).pockets
    for wrong in (
        replace(pocket, volume_l=1.02 * pocket.volume_l),
        replace(pocket, spill_mm=pocket.spill_mm - 10.0),
        replace(pocket, kind="liquid"),
        replace(pocket, volume_l=0.5 * SHOWN_L),
    ):
        assert pocket_shapes(part.skin, rotation, Held((wrong,))) == ()
    assert len(pocket_shapes(part.skin, rotation, Held((pocket,)))) == 1


def test_nothing_held_and_a_skin_that_cannot_be_cut_give_no_shape(monkeypatch: pytest.MonkeyPatch) -> None:
    part, rotation = PARTS["pan"], turned(0.0, 180.0)
    held = held_at(part, rotation)

    def uncut(solid: Solid) -> None:
        raise Refused(f"{solid.source}: the mesh cannot be cut", "mend it")

    monkeypatch.setattr(pocket_shape, "manifold_of", uncut)
    assert pocket_shapes(part.skin, rotation, Held(())) == ()
    assert pocket_shapes(part.skin, rotation, held) == ()


def test_a_space_with_no_way_out_but_a_narrow_one_is_all_of_it() -> None:
    # A sealed box stands for one whose hole is closed by water: its skin keeps the space inside.
    part = made("tube", size=(300.0, 200.0, 100.0), wall=2.0, ends="closed")
    rotation = turned(11.0, 23.0)
    inside = np.array([(x, y, z) for x in (2.0, 298.0) for y in (2.0, 198.0) for z in (2.0, 98.0)])
    heights = inside @ rotation[2]
    x, y, z = inside[heights.argmax()].tolist()
    volume_l = 296.0 * 196.0 * 96.0 / MM3_PER_LITRE
    pocket = Pocket("air", volume_l, 0.0, 0.0, (x, y, z), float(heights.min()))
    (shape,) = pocket_shapes(part.solid, rotation, Held((pocket,)))
    assert math.isclose(measures(shape.solid).volume_mm3, volume_l * MM3_PER_LITRE, rel_tol=1e-6)
