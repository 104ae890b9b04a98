"""What solids hold, against an exact second way: pockets in bricks, in rooms of sheet, and where bodies touch."""

from __future__ import annotations

import numpy as np
import pytest
from oracles.lattice import Cut, Lattice, bricks, finer, rooms, turns
from strategies.solids import box, hollow, joined

from fitcheck.geometry.liquid.pockets import UPSIDE_DOWN, Vessel
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.solid import Floats, Solid

# Share of the box round a solid. Bodies that touch are drawn apart by 1e-9 of its size near their corners, where
# no more than some five times the faces of the box moves so far.
EXACT = 5e-9
# Single precision rounds by up to 6e-8 of a coordinate, here of no more than the size; the metal that moves so
# far is no more than some ten times the faces of the box.
SINGLE = 10.0 * 6.0 * 6e-8


def over_mm3(cut: Cut, solid: Solid, rotation: Floats, scale: float = 1.0) -> float:
    """Return what the solid, the cut's own or drawn anew, holds more than the lattice says: a share of its box."""
    vessel = Vessel(solid)
    held = float(vessel.air_mm3(rotation[None])[0])
    share = (held - scale**3 * cut.lattice.air_mm3(rotation[2])) / box_mm3(solid)
    told = vessel.pools(rotation).volume_mm3
    assert told.sum() + vessel.shut_mm3 == pytest.approx(held, abs=EXACT * box_mm3(solid))
    assert (told >= 0.0).all()
    return float(share)


def box_mm3(solid: Solid) -> float:
    return float(np.prod(np.ptp(solid.vertices_mm, axis=0)))


def assert_right(cut: Cut, solid: Solid, rng: np.random.Generator) -> None:
    for name, rotation in turns(rng):
        for turned in (rotation, UPSIDE_DOWN @ rotation):
            assert abs(over_mm3(cut, solid, turned)) <= EXACT, f"{cut.name}, {name}: {turned.tolist()}"


def test_the_lattice_knows_a_box_tilted() -> None:
    """An open box of 10 x 4 x 6 inside at 30 degrees: W (L H - L^2 tan t / 2), plane trigonometry."""
    metal = np.zeros((5, 5, 4), dtype=bool)
    metal[1:-1, 1:-1, 1:-1] = True
    metal[2, 2, 1] = False
    x, y, z = [0.0, 1.0, 2.0, 12.0, 13.0, 14.0], [0.0, 1.0, 2.0, 6.0, 7.0, 8.0], [0.0, 1.0, 7.0, 8.0, 9.0]
    lattice = Lattice(np.stack(np.meshgrid(x, y, z, indexing="ij"), axis=-1), metal)
    lean = np.radians(30.0)
    assert lattice.air_mm3(np.array([np.sin(lean), 0.0, np.cos(lean)])) == pytest.approx(124.529946, rel=1e-8)
    assert lattice.air_mm3(np.array([np.sin(lean), 0.0, -np.cos(lean)])) == 0.0


@pytest.mark.parametrize("seed", range(8))
def test_bricks(seed: int) -> None:
    """Square, leaning and bent; some touch in corners and edges alone, and line up over each other."""
    rng = np.random.default_rng(seed)
    cut = bricks(rng)
    assert_right(cut, cut.solid, rng)


@pytest.mark.parametrize("seed", range(3))
def test_rooms(seed: int) -> None:
    """Rooms within rooms of sheet 0.05 to 10 mm thick, with walls, floors and roofs left out."""
    rng = np.random.default_rng(seed)
    cut = rooms(rng)
    assert_right(cut, cut.solid, rng)


@pytest.mark.parametrize("seed", range(4))
def test_a_mesh_cut_finer_holds_the_same(seed: int) -> None:
    """Edges cut in two at any place, so that some triangles are needles with an edge of 1e-9 of the size."""
    rng = np.random.default_rng(seed)
    cut = rooms(rng) if seed % 2 else bricks(rng, apart=True)
    assert_right(cut, finer(cut.solid, rng, cuts=60), rng)


@pytest.mark.parametrize("scale", [1e-6, 1e-3, 1e3, 1e6])
def test_tiny_and_huge_ones(scale: float) -> None:
    rng = np.random.default_rng(7)
    for cut in (bricks(rng), rooms(rng)):
        solid = Solid(cut.solid.vertices_mm * scale, cut.solid.triangles)
        for name, rotation in turns(rng):
            assert abs(over_mm3(cut, solid, rotation, scale)) <= EXACT, name


def test_ones_far_from_the_origin() -> None:
    """A kilometre off, where numbers end at 1e-10 mm, a tenth of a millionth of the smallest of these."""
    rng = np.random.default_rng(8)
    for cut in (bricks(rng), rooms(rng), bricks(rng), rooms(rng)):
        far = Solid(cut.solid.vertices_mm + [1e6, -7e5, 3e5], cut.solid.triangles)
        for name, rotation in turns(rng):
            assert abs(over_mm3(cut, far, rotation)) <= 100.0 * EXACT, name


@pytest.mark.parametrize("seed", range(4))
def test_corners_rounded_to_single_precision(seed: int) -> None:
    """As meshes come: drawn askew, so that what lined up no longer does, to the last digit of the file."""
    rng = np.random.default_rng(seed)
    cut = rooms(rng) if seed % 2 else bricks(rng)
    askew = rotation_from(Angles(*rng.uniform(-1.5, 1.5, 3).tolist()))
    rounded = (cut.solid.vertices_mm @ askew.T).astype(np.float32).astype(np.float64)
    for name, rotation in turns(rng):
        vessel = Vessel(Solid(rounded, cut.solid.triangles))
        held = float(vessel.air_mm3((rotation @ askew.T)[None])[0])
        assert abs(held - cut.lattice.air_mm3(rotation[2])) <= SINGLE * box_mm3(cut.solid), name


@pytest.mark.parametrize("seed", range(3))
def test_the_air_under_a_height(seed: int) -> None:
    rng = np.random.default_rng(seed)
    cut = rooms(rng) if seed % 2 else bricks(rng)
    vessel = Vessel(cut.solid)
    for name, rotation in turns(rng):
        heights = cut.lattice.points_mm @ rotation[2]
        height = float(rng.uniform(heights.min(), heights.max()))
        # Shut spaces count in full, and lie wherever they lie.
        under, all_of_it = cut.lattice.air_mm3(rotation[2], height), cut.lattice.air_mm3(rotation[2])
        held = vessel.air_under_mm3(rotation, height)
        assert held >= under - EXACT * box_mm3(cut.solid), name
        assert held <= min(under + vessel.shut_mm3, all_of_it) + EXACT * box_mm3(cut.solid), name


def test_corners_twice_in_one_place_do_no_harm() -> None:
    """A triangle with two corners in one place, as some programs write them."""
    rng = np.random.default_rng(5)
    for cut in (rooms(rng), bricks(rng, apart=True)):
        doubled = finer(cut.solid, rng, cuts=1)
        vertices = doubled.vertices_mm.copy()
        first = next(row for row in doubled.triangles.tolist() if len(vertices) - 1 in row)
        vertices[-1] = vertices[next(corner for corner in first if corner != len(vertices) - 1)]
        assert_right(cut, Solid(vertices, doubled.triangles), rng)


def test_what_is_loose_in_a_shut_space_takes_its_room() -> None:
    shell = hollow(box((100.0, 100.0, 100.0)), box((80.0, 80.0, 80.0), (10.0, 10.0, 10.0)))
    rattle = joined(shell, box((20.0, 20.0, 20.0), (30.0, 30.0, 30.0)))
    assert Vessel(rattle).shut_mm3 == pytest.approx(80.0**3 - 20.0**3, rel=1e-9)
