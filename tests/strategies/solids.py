"""Solids and tanks that several tests are made of."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike
from scipy.spatial import ConvexHull

from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Part
from fitcheck.things.solid import Floats, Solid
from fitcheck.things.tank import Rules, Standing, Tank


def hulled(points: ArrayLike) -> Solid:
    """Return the convex hull of points (n, 3) as an outward solid."""
    points = np.asarray(points, dtype=float)
    hull = ConvexHull(points)
    a, b, c = (points[hull.simplices[:, i]] for i in range(3))
    outward = np.einsum("ij,ij->i", np.cross(b - a, c - a), hull.equations[:, :3]) > 0.0
    triangles = np.where(outward[:, None], hull.simplices, hull.simplices[:, ::-1])
    used, renumbered = np.unique(triangles, return_inverse=True)
    return Solid(points[used], renumbered.reshape(-1, 3), "hull")


def box(size: ArrayLike, at: ArrayLike = (0.0, 0.0, 0.0)) -> Solid:
    """Return a box by its size and low corner."""
    unit = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)], dtype=float)
    quads = np.array([[0, 1, 3, 2], [4, 6, 7, 5], [0, 4, 5, 1], [2, 3, 7, 6], [0, 2, 6, 4], [1, 5, 7, 3]])
    triangles = np.concatenate((quads[:, [0, 1, 2]], quads[:, [0, 2, 3]]))
    return Solid(unit * np.asarray(size, dtype=float) + np.asarray(at, dtype=float), triangles, "box")


def joined(*solids: Solid) -> Solid:
    """Return separate solids as one mesh of several pieces."""
    starts = np.cumsum([0] + [len(solid.vertices_mm) for solid in solids[:-1]])
    vertices = np.concatenate([solid.vertices_mm for solid in solids])
    triangles = np.concatenate([s.triangles + start for s, start in zip(solids, starts, strict=True)])
    return Solid(vertices, triangles, "joined")


def hollow(outer: Solid, space: Solid) -> Solid:
    """Return `outer` with a sealed space in it."""
    vertices = np.concatenate((outer.vertices_mm, space.vertices_mm))
    inner = space.triangles[:, ::-1] + len(outer.vertices_mm)
    return Solid(vertices, np.concatenate((outer.triangles, inner)), "hollow")


def lathe(profile: ArrayLike, sides: int) -> Solid:
    """Return a solid turned about z: `profile` (k, 2) of radius and height, upward, closed by flat ends.

    The ends are fans about a middle vertex; every radius is above 0.
    """
    profile = np.asarray(profile, dtype=float)
    angle = 2.0 * np.pi * np.arange(sides) / sides
    ring = np.column_stack((np.cos(angle), np.sin(angle)))
    rings = [np.column_stack((radius * ring, np.full(sides, height))) for radius, height in profile]
    middles = np.array([[0.0, 0.0, profile[0, 1]], [0.0, 0.0, profile[-1, 1]]])
    i = np.arange(sides)
    j = (i + 1) % sides
    count = len(profile) * sides
    bottom = np.column_stack((np.full(sides, count), j, i))
    top = np.column_stack((np.full(sides, count + 1), count - sides + i, count - sides + j))
    faces = [bottom, top]
    for k in range(len(profile) - 1):
        low, high = k * sides, (k + 1) * sides
        faces += [
            np.column_stack((low + i, low + j, high + j)),
            np.column_stack((low + i, high + j, high + i)),
        ]
    return Solid(np.concatenate([*rings, middles]), np.concatenate(faces), "lathe")


def ball(radius: float, rings: int) -> Solid:
    """Return a bumpless ball of 2 * rings * (rings + 1) * 2 triangles or so, its poles cut off by a hair."""
    lean = np.pi * (np.arange(rings) + 0.5) / rings
    return lathe(np.column_stack((radius * np.sin(lean), -radius * np.cos(lean))), 2 * rings)


def bumpy(rings: int) -> Solid:
    """Return a lumpy, non-convex body of about a metre, some 4 * rings^2 triangles."""
    smooth = ball(1.0, rings)
    x, y, _ = smooth.vertices_mm.T
    swell = 1.0 + 0.12 * np.sin(9.0 * x) * np.cos(7.0 * y)
    return Solid(smooth.vertices_mm * swell[:, None] * [600.0, 250.0, 150.0], smooth.triangles, "bumpy")


def turn(seed: int) -> Floats:
    """Return a random rotation."""
    q, r = np.linalg.qr(np.random.default_rng(seed).normal(size=(3, 3)))
    q = q * np.sign(np.diag(r))
    return q * np.linalg.det(q)


def part_of(solid: Solid, skin: Solid | None = None, name: str = "part") -> Part:
    """Return a part of 1 kg; its skin is the solid itself unless given."""
    size = tuple(np.ptp(solid.vertices_mm, axis=0).tolist())
    return Part(name, solid, skin or solid, 1.0, solid.vertices_mm.mean(axis=0), size)


def tank_of(inside: Solid, rules: Rules | None = None, **standing: Solid) -> Tank:
    """Return a tank by its inside; whatever stands in it by name."""
    size = tuple(inside.vertices_mm.max(axis=0).tolist())
    blocks = tuple(Standing(name, solid) for name, solid in standing.items())
    return Tank("tank", inside, size, Liquid("water"), rules or Rules(), blocks=blocks)
