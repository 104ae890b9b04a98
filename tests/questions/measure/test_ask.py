"""Volume, centre, inertia, skins and the question `measure`: closed forms and laws."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.geometry.mesh.measure import is_convex, measures, sealed_mm3, skin_of, weighed
from fitcheck.geometry.mesh.mesh_components import components_of, is_around, is_closed
from fitcheck.questions.measure.ask import measure
from fitcheck.shapes.block import block
from fitcheck.shapes.catalogue import build
from fitcheck.shapes.holes import Hole, drilled
from fitcheck.shapes.pipe import pipe
from fitcheck.shapes.rod import rod
from fitcheck.shapes.tube import tube
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.solid import Floats, Indices, Solid

TETRAHEDRON = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])


def together(*solids: Solid, inward: tuple[bool, ...] = ()) -> Solid:
    """One solid of several skins, some of them turned to face inward."""
    vertices: list[Floats] = []
    triangles: list[Indices] = []
    count = 0
    for solid, turned in zip(solids, inward or (False,) * len(solids), strict=True):
        triangles.append((solid.triangles[:, ::-1] if turned else solid.triangles) + count)
        vertices.append(solid.vertices_mm)
        count += len(solid.vertices_mm)
    return Solid(np.vstack(vertices), np.vstack(triangles), "skins")


def cube(size: float, low: float = 0.0) -> Solid:
    solid = block((size, size, size)).solid
    return Solid(solid.vertices_mm + low, solid.triangles, "cube")


def test_corner_of_a_cube() -> None:
    # The tetrahedron (0, e1, e2, e3): V = 1/6, centre 1/4, integral of x2 = 1/60 and of xy = 1/120.
    found = measures(Solid(np.vstack([np.zeros(3), np.eye(3)]), TETRAHEDRON, "corner"))
    assert found.volume_mm3 == pytest.approx(1.0 / 6.0)
    assert found.area_mm2 == pytest.approx(1.5 + math.sqrt(3.0) / 2.0)
    np.testing.assert_allclose(found.centre_mm, 0.25)
    square, mixed = 1.0 / 60.0 - 1.0 / 96.0, 1.0 / 120.0 - 1.0 / 96.0
    np.testing.assert_allclose(found.inertia_mm5, 2.0 * square * np.eye(3) - mixed * (1.0 - np.eye(3)))


angles = st.floats(-3.0, 3.0)


@given(angles, angles, angles, st.floats(-1e4, 1e4), st.floats(0.5, 3.0))
def test_a_move_turns_the_tensor_and_a_scale_powers_it(
    tilt: float, roll: float, swing: float, shift: float, scale: float
) -> None:
    solid = build("hat", {"size": (300.0, 80.0, 60.0), "wall": 3.0}).solid
    turn = rotation_from(Angles(tilt, roll, swing))
    moved = solid.moved(turn, np.array([shift, -shift, 2.0 * shift]))
    moved = Solid(moved.vertices_mm * scale, moved.triangles, "moved")
    before, after = measures(solid), measures(moved)
    # Coordinates up to 2e4 mm hold about 4e-12 mm, of a wall of 3 mm: nine digits are left.
    assert after.volume_mm3 == pytest.approx(before.volume_mm3 * scale**3, rel=1e-9)
    assert after.area_mm2 == pytest.approx(before.area_mm2 * scale**2, rel=1e-9)
    there = scale * (turn @ before.centre_mm + [shift, -shift, 2.0 * shift])
    np.testing.assert_allclose(after.centre_mm, there, atol=1e-6)
    expected = turn @ before.inertia_mm5 @ turn.T * scale**5
    np.testing.assert_allclose(after.inertia_mm5, expected, atol=1e-9 * np.abs(expected).max())


def test_measures_agree_with_trimesh_on_a_free_form() -> None:
    ball = trimesh.creation.icosphere(subdivisions=3, radius=100.0)
    bumpy = ball.vertices * (1.0 + 0.1 * np.sin(ball.vertices[:, :1] / 9.0)) * [3.0, 1.0, 0.5]
    other = trimesh.Trimesh(bumpy, ball.faces, process=False)
    found = measures(Solid(bumpy, ball.faces, "bumpy"))
    assert found.volume_mm3 == pytest.approx(other.volume, rel=1e-12)
    assert found.area_mm2 == pytest.approx(other.area, rel=1e-12)
    np.testing.assert_allclose(found.centre_mm, other.center_mass, atol=1e-9)
    np.testing.assert_allclose(found.inertia_mm5, other.moment_inertia, rtol=1e-9, atol=1e-3)


def test_skin_fills_sealed_spaces_and_what_is_shut_up_in_them() -> None:
    inside = together(cube(10.0), cube(6.0, 2.0), cube(2.0, 4.0), inward=(False, True, False))
    assert measures(inside).volume_mm3 == pytest.approx(1000.0 - 216.0 + 8.0)
    assert sealed_mm3(inside) == pytest.approx(216.0 - 8.0)
    skin = skin_of(inside)
    assert measures(skin).volume_mm3 == pytest.approx(1000.0)
    assert len(skin.vertices_mm) == 8
    np.testing.assert_allclose(measures(skin).centre_mm, 5.0)
    beside = together(cube(10.0), cube(6.0, 2.0), cube(2.0, 40.0), inward=(False, True, False))
    assert measures(skin_of(beside)).volume_mm3 == pytest.approx(1008.0)


def test_skin_of_a_part_without_sealed_space_is_the_part() -> None:
    for solid in (cube(10.0), tube((300.0, 80.0, 60.0), 3.0).solid, together(cube(1.0), cube(1.0, 5.0))):
        assert skin_of(solid) is solid
        assert sealed_mm3(solid) == 0.0


def test_shells_that_touch_in_a_corner_are_two() -> None:
    a, b = cube(1.0), cube(1.0, 1.0)
    triangles = np.vstack([a.triangles, b.triangles + 8])
    vertices = np.vstack([a.vertices_mm, b.vertices_mm])
    shared = np.unique(vertices, axis=0, return_inverse=True)
    joined = shared[1].reshape(-1)[triangles]
    assert len(shared[0]) == 15
    assert len(np.unique(components_of(joined))) == 2


def test_is_around_and_is_closed() -> None:
    solid = cube(10.0)
    for point, inside in (((5.0, 5.0, 5.0), True), ((9.999, 0.001, 5.0), True), ((5.0, 5.0, 10.001), False)):
        assert is_around(np.array(point), solid.vertices_mm, solid.triangles) is inside
    assert is_closed(solid.triangles)
    assert not is_closed(solid.triangles[1:])
    assert not is_closed(np.vstack([solid.triangles, solid.triangles]))


def test_is_convex() -> None:
    turn = rotation_from(Angles(0.3, -1.1, 2.0))
    for shape in (
        block((7000.0, 400.0, 600.0)),
        rod(50.0, 900.0),
        build("plate", {"size": (90.0, 60.0, 1.0)}),
    ):
        moved = shape.solid.moved(turn, np.array([100.0, -3000.0, 7.0]))
        assert is_convex(moved)
        # As a single-precision file would hold it.
        assert is_convex(Solid(moved.vertices_mm.astype(np.float32), moved.triangles, "single"))
    for name in ("channel", "angle", "pan", "tube"):
        assert not is_convex(build(name, {"size": (300.0, 80.0, 60.0), "wall": 3.0}).solid)
    assert not is_convex(together(cube(10.0), cube(9.999, 20.0)))
    assert not is_convex(tube((300.0, 80.0, 60.0), 3.0, "closed").solid)


def test_a_twisted_prism_with_all_corners_on_its_hull_is_not_convex() -> None:
    # E. Schoenhardt, Ueber die Zerlegung von Dreieckspolyedern in Tetraeder, Math. Annalen 98 (1928) 309-312.
    turn = np.array([0.0, 2.0, 4.0]) * math.pi / 3.0
    low = np.column_stack([np.cos(turn), np.sin(turn), np.zeros(3)])
    high = np.column_stack([np.cos(turn + 0.4), np.sin(turn + 0.4), np.ones(3)])
    sides = [t for k in range(3) for t in ((k, (k + 1) % 3, k + 3), ((k + 1) % 3, (k + 1) % 3 + 3, k + 3))]
    bent_in = [t for k in range(3) for t in ((k, (k + 1) % 3, (k + 1) % 3 + 3), (k, (k + 1) % 3 + 3, k + 3))]
    ends = [(0, 2, 1), (3, 4, 5)]
    verdicts = [
        is_convex(Solid(np.vstack([low, high]), np.array(t + ends), "prism")) for t in (sides, bent_in)
    ]
    assert sorted(verdicts) == [False, True]


def test_a_shallow_dent_is_not_convex() -> None:
    ball = trimesh.creation.icosphere(subdivisions=3, radius=100.0)
    assert is_convex(Solid(ball.vertices, ball.faces, "ball"))
    dented = np.array(ball.vertices)
    dented[0] *= 0.98
    assert not is_convex(Solid(dented, ball.faces, "dented"))


def test_weighed() -> None:
    # 300 x 200 x 150 mm of aluminium, 2.70 kg/l (handbook value): 9 l, 24.3 kg.
    part = weighed("step", block((300.0, 200.0, 150.0)).solid, 2.7)
    assert part.mass_kg == pytest.approx(24.3)
    np.testing.assert_allclose(part.centre_mm, [150.0, 100.0, 75.0])
    assert part.size_mm == (300.0, 200.0, 150.0)
    assert part.skin is part.solid


def test_measure_of_a_sealed_float() -> None:
    # A closed tube 200 mm in diameter, 1200 mm long, 2 mm wall: it displaces pi 100^2 1200 mm3 = 37.70 l.
    shape = pipe(200.0, 1200.0, 2.0, "closed")
    part = replace(weighed("float", shape.solid, 2.7), size_mm=shape.size_mm, notes=("as drawn",))
    answer = measure(part)
    space = math.pi * 98.0**2 * 1196.0 / 1e6
    assert answer.part == "float"
    assert answer.size_mm == (1200.0, 200.0, 200.0)
    assert answer.sealed_l == pytest.approx(space, rel=1e-9)
    assert answer.volume_l == pytest.approx(math.pi * 100.0**2 * 1200.0 / 1e6 - space, rel=1e-9)
    assert answer.mass_kg == pytest.approx(2.7 * answer.volume_l)
    assert answer.closed
    assert answer.notes == ("as drawn",)
    # The bath reaches the outside only; the flats of the circle take 1e-3 of it at the most.
    outside = (2.0 * math.pi * 100.0**2 + math.pi * 200.0 * 1200.0) / 1e6
    assert answer.area_m2 == pytest.approx(outside, rel=1e-3)


def test_measure_of_the_same_float_with_a_hole() -> None:
    shape = drilled(pipe(200.0, 1200.0, 2.0, "closed"), Hole((600.0, 100.0, 200.0), "z", 6.0))
    answer = measure(weighed("float", shape.solid, 2.7))
    assert answer.sealed_l == 0.0
    both = (2.0 * math.pi * (100.0**2 + 98.0**2) + math.pi * (200.0 * 1200.0 + 196.0 * 1196.0)) / 1e6
    assert answer.area_m2 == pytest.approx(both, rel=1e-3)
