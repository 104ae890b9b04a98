"""The planes of a tank with the clearances taken off."""

from __future__ import annotations

import math

import numpy as np
import pytest
from oracles.referee import room_of, settled
from scipy.spatial import HalfspaceIntersection
from strategies.solids import box, hulled, tank_of, turn

from fitcheck.geometry.rotations.envelope import Envelope, envelope_of, faces_of
from fitcheck.shapes.basin import basin
from fitcheck.things.solid import Floats, Solid
from fitcheck.things.tank import Rules

RULES = Rules(side_clearance_mm=25.0, bottom_clearance_mm=50.0, cover_mm=40.0, freeboard_mm=100.0)
# Widening upward (hopper) and narrowing upward: four floor corners, four at the rim.
HOPPER = np.array([[200, 100, 0], [800, 100, 0], [800, 400, 0], [200, 400, 0]], dtype=float)
HOPPER = np.vstack([HOPPER, [[0, 0, 600], [1000, 0, 600], [1000, 500, 600], [0, 500, 600]]])
UPTURNED = HOPPER * [1.0, 1.0, -1.0] + [0.0, 0.0, 600.0]


def planes(envelope: Envelope) -> dict[tuple[float, ...], float]:
    return {
        tuple((n.round(9) + 0.0).tolist()): float(offset)
        for n, offset in zip(envelope.normals, envelope.offsets_mm, strict=True)
    }


def corners(envelope: Envelope, inside: Floats) -> Floats:
    """Return the corners of the space behind the planes."""
    halves = np.column_stack([envelope.normals, -envelope.offsets_mm])
    return np.asarray(HalfspaceIntersection(halves, np.asarray(inside, dtype=float)).intersections)


def test_a_box_has_six_planes_each_with_its_clearance() -> None:
    found = envelope_of(tank_of(box((1000.0, 500.0, 600.0)), RULES))
    wanted = {
        (1.0, 0.0, 0.0): 975.0,
        (-1.0, 0.0, 0.0): -25.0,
        (0.0, 1.0, 0.0): 475.0,
        (0.0, -1.0, 0.0): -25.0,
        (0.0, 0.0, 1.0): 460.0,
        (0.0, 0.0, -1.0): -50.0,
    }
    assert planes(found) == pytest.approx(wanted, abs=1e-12)
    assert found.complete
    np.testing.assert_array_equal(found.is_floor, found.normals[:, 2] == -1.0)
    np.testing.assert_array_equal(found.is_rim, found.normals[:, 2] == 1.0)


def test_other_rules_may_be_asked_about() -> None:
    found = envelope_of(tank_of(box((1000.0, 500.0, 600.0)), RULES), Rules())
    assert sorted(planes(found).values()) == pytest.approx([0.0, 0.0, 0.0, 500.0, 600.0, 1000.0])


def split(solid: Solid, times: int) -> Solid:
    """Return the same solid with every triangle cut in four, `times` times."""
    import trimesh

    mesh = trimesh.Trimesh(solid.vertices_mm, solid.triangles, process=False)
    for _ in range(times):
        mesh = mesh.subdivide()
    return Solid(mesh.vertices, mesh.faces)


@pytest.mark.parametrize("times", [0, 1, 3])
@pytest.mark.parametrize("corner", [box((1000.0, 500.0, 600.0)).vertices_mm, HOPPER, UPTURNED])
def test_triangles_of_one_face_are_one_plane(corner: Floats, times: int) -> None:
    normals, offsets = faces_of(split(hulled(corner), times))
    assert len(normals) == 6
    room = room_of(corner)
    for normal, offset in zip(normals, offsets, strict=True):
        k = np.argmax(room.normals @ normal)
        np.testing.assert_allclose([*normal, offset], [*room.normals[k], room.offsets[k]], atol=1e-9)


def test_every_vertex_lies_behind_every_face() -> None:
    """Also with the rounding of a mesh file to 24 bits, which leaves no face quite flat."""
    stored = np.float32(settled(box((1000.0, 500.0, 600.0)).vertices_mm @ turn(4).T)).astype(float)
    solid = Solid(stored, box((1.0, 1.0, 1.0)).triangles)
    normals, offsets = faces_of(solid)
    assert len(normals) == 6
    assert (normals @ stored.T <= offsets[:, None] + 1e-12).all()


def test_sloping_walls_keep_the_side_clearance_square_to_themselves() -> None:
    found = envelope_of(tank_of(hulled(HOPPER), RULES))
    wall = np.array([-3.0, 0.0, -1.0]) / math.sqrt(10.0)
    k = int(np.argmax(found.normals @ wall))
    np.testing.assert_allclose(found.normals[k], wall, atol=1e-12)
    assert found.offsets_mm[k] == pytest.approx(wall @ [200.0, 0.0, 0.0] - 25.0)
    assert found.is_floor.sum() == 1
    assert found.is_rim.sum() == 1
    assert not found.complete


@pytest.mark.parametrize("corner", [HOPPER, UPTURNED])
def test_planes_of_slopes_are_those_of_the_hull(corner: Floats) -> None:
    found, wanted = envelope_of(tank_of(hulled(corner), RULES)), room_of(corner, RULES)
    assert len(found.normals) == len(wanted.normals)
    for normal, offset in zip(found.normals, found.offsets_mm, strict=True):
        k = np.argmax(wanted.normals @ normal)
        np.testing.assert_allclose([*normal, offset], [*wanted.normals[k], wanted.offsets[k]], atol=1e-9)


@pytest.mark.parametrize(("slope_deg", "floor"), [(44.0, True), (46.0, False)])
def test_a_face_is_floor_when_it_looks_down_more_than_sideways(slope_deg: float, floor: bool) -> None:
    """A tank whose one end rises from its floor by slope_deg."""
    run = 300.0 / math.tan(math.radians(slope_deg))
    profile = np.array(
        [[0.0, 0.0], [1000.0, 0.0], [1000.0 + run, 300.0], [1000.0 + run, 600.0], [0.0, 600.0]]
    )
    corner = np.array([[x, y, z] for x, z in profile for y in (0.0, 400.0)])
    found = envelope_of(tank_of(hulled(corner), RULES))
    end = np.flatnonzero((found.normals[:, 0] > 0.1) & (found.normals[:, 2] < -0.1))
    assert len(end) == 1
    assert found.is_floor[end[0]] == floor
    clear = 50.0 if floor else 25.0
    n = found.normals[end[0]]
    assert found.offsets_mm[end[0]] == pytest.approx(n @ [1000.0, 0.0, 0.0] - clear)


def test_walls_that_lean_inward_are_not_rim() -> None:
    found = envelope_of(tank_of(hulled(UPTURNED), RULES))
    assert found.is_rim.sum() == 1
    leaning = (found.normals[:, 2] > 0.1) & ~found.is_rim
    assert leaning.sum() == 4
    top = planes(found)[(0.0, 0.0, 1.0)]
    assert top == pytest.approx(600.0 - 140.0)


def test_a_tank_that_closes_to_an_edge_has_a_rim_level_with_it() -> None:
    corner = np.array([[0, 0, 0], [1000, 0, 0], [1000, 500, 0], [0, 500, 0], [0, 250, 400], [1000, 250, 400]])
    found = envelope_of(tank_of(hulled(corner), RULES))
    assert len(found.normals) == 6
    assert found.is_rim.sum() == 1
    assert planes(found)[(0.0, 0.0, 1.0)] == pytest.approx(400.0 - 140.0)


def test_the_room_of_a_filleted_basin() -> None:
    """Its flats lie outside of the round surface by at most chord_mm, and the rim stays a plane."""
    shape = basin((1000.0, 500.0, 400.0), 60.0)
    found = envelope_of(tank_of(shape.solid))
    assert found.is_rim.sum() == 1
    rng = np.random.default_rng(2)
    down = rng.normal(size=(500, 3)) * [1.0, 1.0, 0.5]
    down[:, 2] = -np.abs(down[:, 2])
    down /= np.linalg.norm(down, axis=1)[:, None]
    # Points of the true surface: a ball of 60 mm in each bottom corner, swept along the edges.
    centres = np.array([[x, y, 60.0] for x in (60.0, 940.0) for y in (60.0, 440.0)])
    surface = (centres[:, None, :] + 60.0 * down).reshape(-1, 3)
    assert (surface @ found.normals.T <= found.offsets_mm + 1e-9).all(), "a flat cuts into the true room"
    reach = corners(found, [500.0, 250.0, 200.0])
    core = np.clip(reach, [60.0, 60.0, 60.0], [940.0, 440.0, 400.0])
    beyond = np.linalg.norm(reach - core, axis=1) - 60.0
    assert beyond.max() <= shape.chord_mm + 1e-9


@pytest.mark.parametrize("corner", [box((1000.0, 500.0, 600.0)).vertices_mm, HOPPER, UPTURNED])
def test_weights_balance(corner: Floats) -> None:
    found = envelope_of(tank_of(hulled(corner), RULES))
    assert (found.weights >= 0.0).all()
    np.testing.assert_allclose(found.weights.sum(axis=1), 1.0)
    np.testing.assert_allclose(found.weights @ found.normals, 0.0, atol=1e-12)
    seen = found.axes[found.axis_of] * found.sign_of[:, None]
    np.testing.assert_allclose(seen, found.normals, atol=1e-6)


def test_opposite_faces_share_an_axis() -> None:
    assert len(envelope_of(tank_of(box((3.0, 2.0, 1.0)))).axes) == 3
    assert len(envelope_of(tank_of(hulled(HOPPER))).axes) == 5


def test_further_walls_cut_the_room() -> None:
    found = envelope_of(tank_of(box((1000.0, 500.0, 600.0)), RULES))
    cut = found.also(np.array([[1.0, 0.0, 0.0]]), np.array([300.0]))
    assert corners(cut, [100.0, 250.0, 200.0])[:, 0].max() == pytest.approx(300.0)
    assert not cut.complete
    assert not (cut.is_floor | cut.is_rim)[-1]
    moved = found.with_offsets(found.offsets_mm + 10.0)
    np.testing.assert_array_equal(moved.normals, found.normals)
    np.testing.assert_allclose(moved.offsets_mm - found.offsets_mm, 10.0)
