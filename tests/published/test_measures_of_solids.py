"""Volume, area, centre and inertia of solids.

F. Tonon, Explicit exact formulas for the 3-D tetrahedron inertia tensor in terms of its vertex coordinates, J.
Mathematics and Statistics 1 (2004) 8-11, worked example. The regular solids: any handbook of solid geometry.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from fitcheck.geometry.mesh.measure import is_convex, measures
from fitcheck.things.solid import Solid

TETRAHEDRON = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])


def test_published_tetrahedron() -> None:
    # F. Tonon, Explicit exact formulas for the 3-D tetrahedron inertia tensor in terms of its vertex
    # coordinates, J. Mathematics and Statistics 1 (2004) 8-11, worked example; written here from memory. Its
    # corners are printed to 5 digits after the point, which leaves the tensor 5e-6 / 50 = 1e-7 of itself.
    corners = [
        (8.33220, -11.86875, 0.93355),
        (0.75523, 5.00000, 16.37072),
        (52.61236, 5.00000, -5.38580),
        (2.00000, 5.00000, 3.00000),
    ]
    solid = Solid(np.array(corners), TETRAHEDRON, "Tonon")
    found = measures(solid)
    np.testing.assert_allclose(found.centre_mm, np.mean(corners, axis=0), rtol=1e-12)
    tensor = [
        [43520.33257, -11996.20119, 46343.16662],
        [-11996.20119, 194711.28938, -4417.66150],
        [46343.16662, -4417.66150, 191168.76173],
    ]
    np.testing.assert_allclose(found.inertia_mm5, tensor, rtol=1e-7)


@pytest.mark.parametrize(
    ("name", "volume", "area"),
    # Regular solids of edge 1: closed forms of any handbook of solid geometry.
    [
        ("tetrahedron", math.sqrt(2.0) / 12.0, math.sqrt(3.0)),
        ("octahedron", math.sqrt(2.0) / 3.0, 2.0 * math.sqrt(3.0)),
        ("icosahedron", 5.0 * (3.0 + math.sqrt(5.0)) / 12.0, 5.0 * math.sqrt(3.0)),
    ],
)
def test_regular_solids(name: str, volume: float, area: float) -> None:
    phi = (1.0 + math.sqrt(5.0)) / 2.0
    points = {
        "tetrahedron": [(1, 1, 1), (1, -1, -1), (-1, 1, -1), (-1, -1, 1)],
        "octahedron": [(1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)],
        "icosahedron": [p for a in (1, -1) for b in (phi, -phi) for p in ((0, a, b), (a, b, 0), (b, 0, a))],
    }[name]
    hull = trimesh.convex.convex_hull(np.array(points, dtype=float))
    edge = hull.edges_unique_length.min()
    solid = Solid(hull.vertices / edge, hull.faces, name)
    found = measures(solid)
    assert found.volume_mm3 == pytest.approx(volume, rel=1e-12)
    assert found.area_mm2 == pytest.approx(area, rel=1e-12)
    # All axes through the middle of a regular solid are alike.
    np.testing.assert_allclose(found.inertia_mm5, found.inertia_mm5[0, 0] * np.eye(3), atol=1e-14)
    assert is_convex(solid)
