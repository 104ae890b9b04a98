"""Lifting points of a part: its own picks, or places proposed where it has none."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fitcheck.geometry.mesh.distance import Surface, surface_gap_mm
from fitcheck.shapes.manifold import manifold_of
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.solid import Floats, Solid
from fitcheck.words.errors import Refused
from fitcheck.words.units import RAD_PER_DEGREE, both_lengths

MOST_LEGS = 3
# Two picks so far from the ends leave an even beam straightest: its ends and its middle sink alike. The
# share 0.2232 of the length is F. H. Rolt, Gauges and Fine Measurements (1929), from memory; a test finds it
# again from the beam formula. At 0.2071 the greatest bending moment is least, at 0.2203 (Bessel) the length
# changes least: it makes little difference which.
FROM_END = 0.2232
# A pick may lie in the middle of a hole for a shackle pin of 20 mm, and no farther from metal than that.
OFF_MM = 10.0
# Two legs are proposed where the centre of mass is at least so far under the picks, as a share of half the
# width; a part that hangs with less is easily rolled (common practice would use a third leg).
STEADY = 0.1
# Places tried along the part.
STATIONS = 400
# A part stood steeper than this is slung by its end, and where on that is for the shop to say.
STEEPEST_RAD = 60.0 * RAD_PER_DEGREE
# Rotation (x, y, z) -> (z, x, y): a slice square to the third is then one along the part and upright.
ACROSS_UP = np.array([[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
# How large a triangle stands for a point where distances are between triangles: nothing on a tape.
POINT_MM = 1e-3


def chosen(part: Part, numbers: Sequence[int] | None, legs: int | None) -> Floats | None:
    """Return the picks (k, 3) that the shop has given: those of the numbers, counted from 1, or all.

    None where it has given none. Raises `Refused` for a number that is not there or is there twice, where
    they are not as many as the legs, for more than three (how the load is shared is then indeterminate: it
    hangs on small differences of the lengths), and for one that is off the part.
    """
    have = len(part.picks_mm)
    if have == 0 and numbers is None:
        return None
    wanted = list(numbers) if numbers is not None else list(range(1, have + 1))
    _check_numbers(part, wanted)
    cure = f"say which in --picks, as 1,2; {part.name} has {have}"
    if legs is not None and legs != len(wanted):
        raise Refused(f"{len(wanted)} picks for {legs} {'leg' if legs == 1 else 'legs'}", cure)
    if len(wanted) > MOST_LEGS:
        problem, use = too_many(len(wanted))
        raise Refused(problem, f"{use}: {cure}")
    picks = part.picks_mm[[number - 1 for number in wanted]]
    _check_on_part(part, wanted, picks)
    return picks


def too_many(legs: int) -> tuple[str, str]:
    """Return what is wrong with so many legs to one hook, and the cure."""
    return (
        f"{legs} legs to one hook: which of them carries how much cannot be told (indeterminate)",
        "use three at most",
    )


def _check_numbers(part: Part, wanted: list[int]) -> None:
    have = len(part.picks_mm)
    if have == 0:
        raise Refused(f"{part.name} has no picks to choose from", "give it picks, or leave out --picks")
    for number in wanted:
        if not 1 <= number <= have:
            raise Refused(f"{part.name} has no pick {number}", f"its picks are counted 1 to {have}")
    if len(set(wanted)) < len(wanted):
        raise Refused("a pick is named twice", f"give each of 1 to {have} once")


def _check_on_part(part: Part, wanted: list[int], picks_mm: Floats) -> None:
    """Refuse picks that no sling could get hold of."""
    metal = Surface.of(part.solid.vertices_mm, part.solid.triangles)
    here = Pose("part", "part", np.eye(3), np.zeros(3))
    for number, pick in zip(wanted, picks_mm, strict=True):
        point = Surface.of(pick + POINT_MM * np.eye(3), np.array([[0, 1, 2]]))
        gap = surface_gap_mm(point, metal, here)
        if gap > OFF_MM:
            # The point was made a little wide to be measured from.
            far = both_lengths(round(gap, 1))
            raise Refused(
                f"pick {number} of {part.name} is {far} off its surface",
                "give a place on the part, or the middle of a hole in it, in the part's own frame",
            )


def proposed(part: Part, angles: Angles, legs: int | None) -> Floats:
    """Return places (k, 3) to sling a part by that has none of its own, to hang at these angles.

    One leg: plumb over the centre of mass. Two: on its top, even to both sides of the centre of mass and,
    for an even part, where it sags least. Three: where two would let it roll easily. Raises `Refused` where
    no such place is found.
    """
    if legs == 1:
        upright = part.solid.moved(rotation_from(angles), -rotation_from(angles) @ part.centre_mm)
        top = _top(_cut(upright, 0.0), np.zeros(1))[0]
        if top > 0.0:
            return np.array([part.centre_mm + top * rotation_from(angles)[2]])
        raise _none_found(part)
    if abs(angles.tilt_rad) > STEEPEST_RAD:
        raise _none_found(part)
    turn = rotation_from(Angles(0.0, angles.roll_rad))
    level = part.solid.moved(turn, -turn @ part.centre_mm)
    picks = _three(level) if legs == MOST_LEGS else _two(level)
    if legs is None and not _steady(level, picks):
        three = _three(level)
        picks = picks if three is None else three
    if picks is None:
        raise _none_found(part)
    return np.asarray(picks @ turn + part.centre_mm)


def _none_found(part: Part) -> Refused:
    return Refused(
        f"no place to sling {part.name} by was found over its centre of mass",
        'give it some: picks = [["12 in", "2 in", "4 in"], ...]',
    )


def _steady(level: Solid, picks: Floats | None) -> bool:
    if picks is None:
        return False
    return float(picks[:, 2].mean()) >= STEADY * float(np.ptp(level.vertices_mm[:, 1])) / 2.0


def _two(level: Solid) -> Floats | None:
    """Return two picks of a part with its centre of mass at the origin, or None."""
    return _on_top(level, [(-_out(level, 0), 0.0), (_out(level, 0), 0.0)])


def _three(level: Solid) -> Floats | None:
    """Return three picks, one at the low-x end and two at the other, or None."""
    x, y = _out(level, 0), _out(level, 1)
    return _on_top(level, [(-x, 0.0), (x, -y), (x, y)])


def _out(level: Solid, axis: int) -> float:
    """Return how far out a pick stands: so that an even part sags least, and on the part all the same."""
    values = level.vertices_mm[:, axis]
    low, high = float(values.min()), float(values.max())
    return min((0.5 - FROM_END) * (high - low), 0.9 * -low, 0.9 * high)


def _on_top(level: Solid, wanted: list[tuple[float, float]]) -> Floats | None:
    """Return the places on the part's top nearest to those wanted; None where one has none over the centre.

    Of a part with walls, the tops of the walls: what lies under half the height there is passed over.
    """
    picks = []
    for x, y in wanted:
        rings = _cut(level, y)
        along = np.append(_stations(rings), x)
        along = along[along * x > 0.0]
        tops = _top(rings, along)
        if not tops.max() > 0.0:
            return None
        usable = tops >= tops.max() / 2.0
        at = int(np.abs(along[usable] - x).argmin())
        picks.append([along[usable][at], y, tops[usable][at]])
    return np.array(picks)


def _cut(solid: Solid, y_mm: float) -> list[Floats]:
    """Return the outlines (n, 2) of the metal in the upright plane of y, as (x, z)."""
    cut = manifold_of(solid.moved(ACROSS_UP, np.zeros(3))).slice(y_mm)
    return [np.asarray(ring, dtype=np.float64)[:, ::-1] for ring in cut.to_polygons()]


def _stations(rings: list[Floats]) -> Floats:
    """Return places along x: even ones, and one between each two corners, so that no wall is too thin."""
    if not rings:
        return np.zeros(0)
    corners = np.unique(np.concatenate([ring[:, 0] for ring in rings]))
    even = (np.arange(STATIONS) + 0.5) / STATIONS * (corners[-1] - corners[0]) + corners[0]
    return np.concatenate([even, (corners[1:] + corners[:-1]) / 2.0])


def _top(rings: list[Floats], along_mm: Floats) -> Floats:
    """Return the height (n,) of the highest metal at places along x; -inf where there is none."""
    if not rings:
        return np.full(len(along_mm), -np.inf)
    (x0, z0), (x1, z1) = np.vstack(rings).T, np.vstack([np.roll(ring, -1, axis=0) for ring in rings]).T
    crossed = (x0[:, None] <= along_mm) != (x1[:, None] <= along_mm)
    run = np.where(x1 == x0, 1.0, x1 - x0)[:, None]
    height = z0[:, None] + (along_mm - x0[:, None]) / run * (z1 - z0)[:, None]
    tops: Floats = np.where(crossed, height, -np.inf).max(axis=0)
    return tops
