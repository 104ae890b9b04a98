"""How far a part reaches in a direction, and how little it can reach anywhere in a cell of rotations.

The reach of a part along a tank direction n at rotation R is max over its points p of n . R p. At some
rotation of a cell one point p reaches farthest; n . R p of that same point is then a lower bound of the reach
at every rotation of the cell, and it is a smooth function F of (swing, tilt, roll). With its gradient g and
Hessian H at the middle, for a step d within the half-sides e,

    F(d) >= F + g . d - drop,   drop = least of
        1/2 sum |d_i d_j F|  with every second derivative at most the lever that it turns, and
        1/2 max(d . -H d) + 1/6 sum |d_i d_j d_k F|  with every third derivative at most that lever.

A derivative that involves roll turns only the part's distance from its own long axis (the short lever).
Taylor's theorem with these remainders is the whole of the bound.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.cells import Cells, rotations
from fitcheck.geometry.envelope import Envelope
from fitcheck.things.solid import Floats, Indices


@dataclass(frozen=True, slots=True, eq=False)
class Reach:
    """For B cells and m directions: the reach of a point at the middle of the cell, and how that changes.

    value (B, m) mm; gradient (B, m, 3) mm a radian; drop (B, m) mm.
    """

    value: Floats
    gradient: Floats
    drop: Floats


def farthest(points_mm: Floats, axes: Floats, axis_of: Indices, sign_of: Floats) -> tuple[Indices, Floats]:
    """Return which of the points (n, 3) reaches farthest along each direction (B, m), and how far (B, m).

    axes: (B, d, 3), seen from the part; direction k is sign_of[k] * axes[:, axis_of[k]].
    """
    count, many = axes.shape[:2]
    dots = (axes.reshape(-1, 3) @ points_mm.T).reshape(count, many, -1)
    index = np.empty((count, len(axis_of)), dtype=np.int64)
    for sign, seek in ((1.0, np.argmax), (-1.0, np.argmin)):
        faces = np.flatnonzero(sign_of == sign)
        used, back = np.unique(axis_of[faces], return_inverse=True)
        if len(used):
            index[:, faces] = seek(dots[:, used] if len(used) < many else dots, axis=2)[:, back]
    value = sign_of * dots[np.arange(count)[:, None], axis_of, index]
    return index, value


def reach(points_mm: Floats, envelope: Envelope, cells: Cells, seen_rad: Floats) -> Reach:
    """Return a lower bound of the reach of points (n, 3) along the outward directions in each cell.

    The points are those that reach farthest at seen_rad (B, 3), a rotation of each cell; any would do.
    """
    seen_from_part = np.matmul(envelope.axes, rotations(seen_rad))
    index, _ = farthest(points_mm, seen_from_part, envelope.axis_of, envelope.sign_of)
    point = points_mm[index]
    value, gradient, hessian = _derivatives(point, envelope.normals, cells.middle_rad)
    return Reach(value, gradient, _drop(point, hessian, cells.half_rad))


def _derivatives(point: Floats, normals: Floats, angles_rad: Floats) -> tuple[Floats, Floats, Floats]:
    """F = n . R p (B, m), its first (B, m, 3) and its second (B, m, 6: ss tt rr st sr tr) derivatives."""
    cs, ct, cr = (values[:, None] for values in np.cos(angles_rad).T)
    ss, st, sr = (values[:, None] for values in np.sin(angles_rad).T)
    # a: the direction before the swing; b: the point after the roll; u, w: b after the tilt.
    ax = normals[:, 0] * cs + normals[:, 1] * ss
    ay = normals[:, 1] * cs - normals[:, 0] * ss
    az = normals[:, 2]
    bx = point[:, :, 0]
    by = point[:, :, 1] * cr - point[:, :, 2] * sr
    bz = point[:, :, 1] * sr + point[:, :, 2] * cr
    u = ct * bx - st * bz
    w = st * bx + ct * bz
    lean = az * ct - ax * st
    value = ax * u + ay * by + az * w
    gradient = np.stack([ay * u - ax * by, az * u - ax * w, lean * by - ay * bz], axis=2)
    hessian = np.stack(
        [
            -ax * u - ay * by,
            -ax * u - az * w,
            -lean * bz - ay * by,
            -ay * w,
            ax * bz - ay * st * by,
            -(ax * ct + az * st) * by,
        ],
        axis=2,
    )
    return value, gradient, hessian


def _drop(point: Floats, hessian: Floats, half_rad: Floats) -> Floats:
    long = np.sqrt(np.einsum("bmi,bmi->bm", point, point))
    short = np.hypot(point[:, :, 1], point[:, :, 2])
    swing, tilt, roll = (values[:, None] for values in half_rad.T)
    both, every = swing + tilt, swing + tilt + roll
    second = 0.5 * (both**2 * long + (every**2 - both**2) * short)
    diagonal = np.maximum(-hessian[:, :, :3], 0.0)
    mixed = np.abs(hessian[:, :, 3:])
    bend = 0.5 * np.einsum("bmi,bi->bm", diagonal, half_rad**2)
    pairs = half_rad[:, [0, 0, 1]] * half_rad[:, [1, 2, 2]]
    bend += np.einsum("bmi,bi->bm", mixed, pairs)
    third = bend + (both**3 * long + (every**3 - both**3) * short) / 6.0
    drop: Floats = np.minimum(second, third)
    return drop
