"""Gaps against closed forms and against every pair of triangles, one by one."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies.solids import ball, box, hollow, hulled, joined, turn

from fitcheck.geometry.mesh.distance import Surface, encloses, gap_mm, surface_gap_mm
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.solid import Floats, Solid

STRAIGHT = np.eye(3)
# Coordinates of some 1000 mm are rounded to 1e-13 mm, and a distance is some tens of operations on them.
ROUNDING_MM = 1e-11


def surface(solid: Solid) -> Surface:
    return Surface.of(solid.vertices_mm, solid.triangles)


def placed(*shift: float, rotation: Floats = STRAIGHT) -> Pose:
    return Pose("tank", "part", rotation, np.array(shift))


def gap(moving: Solid, still: Solid, pose: Pose) -> float:
    return gap_mm(surface(moving), surface(still), pose)


def test_ball_over_a_plane() -> None:
    solid = ball(100.0, 40)
    plane = Surface.of(
        [[-900, -900, 0], [900, -900, 0], [900, 900, 0], [-900, 900, 0]], np.array([[0, 1, 2], [0, 2, 3]])
    )
    moving = surface(solid)
    for seed in range(5):
        pose = placed(120.0, -300.0, 130.0, rotation=turn(seed))
        lowest = float(pose.apply(solid.vertices_mm)[:, 2].min())
        found = surface_gap_mm(moving, plane, pose)
        assert found == pytest.approx(lowest, abs=ROUNDING_MM)
        # The true ball is 30 mm off; flats of 4.5 deg lie within 100 (1 - cos 2.25 deg) = 0.08 mm of it.
        assert 30.0 <= found <= 30.0 + 100.0 * (1.0 - math.cos(math.radians(3.2)))


def test_patch_ends_where_it_ends() -> None:
    """Beside an open patch it is the way to its edge that counts, not that to its plane."""
    patch = Surface.of([[0, 0, 0], [10, 0, 0], [10, 10, 0], [0, 10, 0]], np.array([[0, 1, 2], [0, 2, 3]]))
    cube = surface(box((1.0, 1.0, 1.0)))
    assert surface_gap_mm(cube, patch, placed(4.0, 4.0, 3.0)) == pytest.approx(3.0, abs=1e-14)
    assert surface_gap_mm(cube, patch, placed(13.0, 4.0, 4.0)) == pytest.approx(5.0, abs=1e-14)
    assert surface_gap_mm(cube, patch, placed(12.0, 13.0, 6.0)) == pytest.approx(7.0, abs=1e-14)


def test_side_by_side_boxes() -> None:
    still = box((10.0, 20.0, 30.0))
    cube = box((4.0, 4.0, 4.0))
    assert gap(cube, still, placed(13.0, 5.0, 5.0)) == pytest.approx(3.0, abs=1e-14)
    assert gap(cube, still, placed(13.0, 24.0, 5.0)) == pytest.approx(5.0, abs=1e-14)
    assert gap(cube, still, placed(12.0, 23.0, 36.0)) == pytest.approx(7.0, abs=1e-14)


def test_edge_across_edge() -> None:
    """Two square bars on edge, one across the other: their edges are nearest, right above each other."""
    bar = box((400.0, 20.0, 20.0), (-200.0, -10.0, -10.0))
    on_edge = rotation_from(Angles(roll_rad=math.pi / 4.0))
    across = rotation_from(Angles(swing_rad=math.radians(70.0))) @ on_edge
    lower = bar.moved(on_edge, np.zeros(3))
    apart = gap(bar, lower, placed(3.0, -5.0, 100.0, rotation=across))
    assert apart == pytest.approx(100.0 - 20.0 * math.sqrt(2.0), abs=ROUNDING_MM)


def test_turned_box_inside_a_tank() -> None:
    inside = box((800.0, 500.0, 400.0))
    part = box((300.0, 120.0, 80.0), (-150.0, -60.0, -40.0))
    for seed in range(8):
        pose = placed(380.0, 240.0, 190.0, rotation=turn(seed))
        corners = pose.apply(part.vertices_mm)
        nearest = min(corners.min(), (np.array([800.0, 500.0, 400.0]) - corners).min())
        assert nearest > 0.0
        assert surface_gap_mm(surface(part), surface(inside), pose) == pytest.approx(nearest, abs=ROUNDING_MM)


@pytest.mark.parametrize("apart", [1e-9, 1e-6, 1e-3])
def test_small_gaps_are_not_lost(apart: float) -> None:
    found = gap(box((1000.0, 100.0, 50.0)), box((1000.0, 100.0, 50.0)), placed(0.0, 0.0, 50.0 + apart))
    assert found == pytest.approx(apart, abs=ROUNDING_MM)


def nearest_of_all_pairs(one: Floats, other: Floats) -> float:
    """Return the least distance of triangles (m, 3, 3) and (k, 3, 3) that do not cross."""
    least = math.inf
    for s, t in itertools.product(one, other):
        for points, face in ((s, t), (t, s)):
            least = min(least, *(_to_triangle(point, face) for point in points))
        for i, j in itertools.product(range(3), repeat=2):
            least = min(least, _between_edges(s[i], s[(i + 1) % 3], t[j], t[(j + 1) % 3]))
    return least


def _to_triangle(point: Floats, face: Floats) -> float:
    a, b, c = face
    normal = np.cross(b - a, c - a)
    inside = all(np.dot(np.cross(q - p, point - p), normal) >= 0.0 for p, q in ((a, b), (b, c), (c, a)))
    if inside:
        return abs(float(np.dot(point - a, normal))) / float(np.linalg.norm(normal))
    return min(_between_edges(point, point, p, q) for p, q in ((a, b), (b, c), (c, a)))


def _between_edges(p: Floats, q: Floats, r: Floats, s: Floats) -> float:
    """Least of the four end-to-edge distances, and of the inner one where both feet are within."""

    def to_edge(x: Floats, u: Floats, v: Floats) -> float:
        along = v - u
        share = np.clip(np.dot(x - u, along) / max(np.dot(along, along), 1e-300), 0.0, 1.0)
        return float(np.linalg.norm(x - u - share * along))

    least = min(to_edge(p, r, s), to_edge(q, r, s), to_edge(r, p, q), to_edge(s, p, q))
    normal = np.cross(q - p, s - r)
    if (size := float(np.linalg.norm(normal))) > 1e-12:
        feet = np.linalg.solve(np.column_stack((q - p, r - s, normal)), r - p)
        if 0.0 <= feet[0] <= 1.0 and 0.0 <= feet[1] <= 1.0:
            least = min(least, abs(float(feet[2])) * size)
    return least


@settings(max_examples=20)  # each tries 16 pairs of triangles in plain Python
@given(st.integers(0, 10**6), st.floats(0.0, 200.0))
def test_same_as_trying_every_pair_of_triangles(seed: int, apart: float) -> None:
    random = np.random.default_rng(seed)
    one = hulled(random.normal(size=(4, 3)) * [100.0, 30.0, 5.0])
    other = hulled(random.normal(size=(4, 3)) * [20.0, 60.0, 40.0])
    rotation = turn(seed)
    reach = np.ptp(one.vertices_mm @ rotation.T, axis=0)[0] + np.ptp(other.vertices_mm, axis=0)[0]
    pose = placed(reach + apart, 20.0, -10.0, rotation=rotation)
    corners = pose.apply(one.vertices_mm)[one.triangles]
    want = nearest_of_all_pairs(corners, other.vertices_mm[other.triangles])
    assert gap(one, other, pose) == pytest.approx(want, abs=ROUNDING_MM)


def test_placing_is_as_good_as_building_anew() -> None:
    part, still = ball(60.0, 12), surface(box((50.0, 700.0, 90.0)))
    pose = placed(170.0, 300.0, 30.0, rotation=turn(3))
    anew = part.moved(pose.rotation, pose.shift_mm)
    there = gap_mm(surface(anew), still, placed(0.0, 0.0, 0.0))
    assert gap_mm(surface(part), still, pose) == pytest.approx(there, abs=ROUNDING_MM)


def test_overlap_touch_and_crossing_have_no_gap() -> None:
    still = box((100.0, 100.0, 100.0))
    needle = box((300.0, 1e-3, 1e-3))
    assert gap(box((10.0, 10.0, 10.0)), still, placed(95.0, 50.0, 50.0)) == 0.0
    assert gap(box((10.0, 10.0, 10.0)), still, placed(100.0, 50.0, 50.0)) == 0.0
    assert gap(needle, still, placed(-100.0, 33.0, 44.0)) == 0.0


def test_wholly_inside_is_an_overlap() -> None:
    large, small = box((100.0, 100.0, 100.0)), box((10.0, 10.0, 10.0))
    assert surface_gap_mm(surface(small), surface(large), placed(45.0, 45.0, 45.0)) == pytest.approx(45.0)
    assert gap(small, large, placed(45.0, 45.0, 45.0)) == 0.0
    assert gap(large, small, placed(-45.0, -45.0, -45.0)) == 0.0


def test_one_piece_inside_is_enough() -> None:
    pair = joined(box((10.0, 10.0, 10.0), (200.0, 0.0, 0.0)), box((10.0, 10.0, 10.0)))
    large = box((100.0, 100.0, 100.0))
    assert gap(pair, large, placed(45.0, 45.0, 45.0)) == 0.0
    assert gap(large, pair, placed(-45.0, -45.0, -45.0)) == 0.0
    assert gap(pair, large, placed(110.0, 0.0, 0.0)) == pytest.approx(10.0, abs=1e-13)


def test_in_a_sealed_space_is_no_overlap() -> None:
    shell = hollow(box((100.0, 100.0, 100.0)), box((80.0, 80.0, 80.0), (10.0, 10.0, 10.0)))
    small = box((10.0, 10.0, 10.0))
    assert gap(small, shell, placed(15.0, 45.0, 45.0)) == pytest.approx(5.0, abs=1e-13)
    assert gap(shell, small, placed(-15.0, -45.0, -45.0)) == pytest.approx(5.0, abs=1e-13)


def test_points_inside() -> None:
    shell = hollow(box((100.0, 100.0, 100.0)), box((80.0, 80.0, 80.0), (10.0, 10.0, 10.0)))
    points = [[5.0, 50.0, 50.0], [50.0, 50.0, 50.0], [-1.0, 50.0, 50.0], [99.9, 99.9, 99.9], [1e6, 0.0, 0.0]]
    assert encloses(shell, points).tolist() == [True, False, False, True, False]
