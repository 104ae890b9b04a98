"""Support function of a part, and its lower bound over a cell of rotations.

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

from fitcheck.geometry.rotations.envelope import Envelope
from fitcheck.geometry.rotations.rotation_cells import Cells
from fitcheck.things.solid import Floats, Indices


@dataclass(frozen=True, slots=True, eq=False)
class Reach:
    """For B cells and m directions: the reach of a point at the middle of the cell, and how that changes.

    value (B, m) mm; gradient (B, m, 3) mm a radian; drop (B, m) mm.
    """

    value: Floats
    gradient: Floats
    drop: Floats


def farthest(points_mm: Floats, envelope: Envelope, angles_rad: Floats) -> tuple[Indices, Floats]:
    """Return which of the points (n, 3) reaches farthest along each outward direction, and how far: (B, m).

    angles_rad: (B, 3) rotations, swing, tilt, roll.
    """
    from fitcheck.geometry.kernels import support_bounds as compiled

    found: tuple[Indices, Floats] = compiled.farthest(
        points_mm, envelope.axes, envelope.axis_of, envelope.sign_of, angles_rad
    )
    return found


def outermost(points_mm: Floats, directions: Floats) -> Indices:
    """Return the points (n, 3) that reach farthest either way along directions (k, 3): (2 k,) indices."""
    from fitcheck.geometry.kernels.support_bounds import outermost as compiled

    found: Indices = compiled(points_mm, directions)
    return found


def reach(points_mm: Floats, envelope: Envelope, cells: Cells, seen_rad: Floats) -> Reach:
    """Return a lower bound of the reach of points (n, 3) along the outward directions in each cell.

    The points are those that reach farthest at seen_rad (B, 3), a rotation of each cell; any would do.
    """
    from fitcheck.geometry.kernels import support_bounds as compiled

    index, _ = farthest(points_mm, envelope, seen_rad)
    return Reach(*compiled.taylor(points_mm, index, envelope.normals, cells.middle_rad, cells.half_rad))
