"""Assignment of kinds of pieces to rails or bays, by OR-Tools CP-SAT.

On a rail, things take a length each with gaps between; in a bay, a rectangle each.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from fitcheck.geometry.solver.cp_sat import (
    PER_MM,
    Sides,
    Solved,
    Status,
    fixed_box,
    keep_apart,
    new_model,
    optional_box,
    solved,
)

_ROUNDING_MM = 1e-6
_EFFORT, _BAY_EFFORT = 4.0, 2.0


@dataclass(frozen=True, slots=True)
class Way:
    """One way for a kind to be on some of the bins: what it takes along (and across), gap left out."""

    bins: tuple[int, ...]
    along_mm: float
    across_mm: float = 0.0
    # It starts at the low end of its bin.
    flush: bool = False


@dataclass(frozen=True, slots=True)
class Kind:
    """So many alike; `ways`: what each may take. weight: of having one placed; nearer bins first."""

    count: int
    ways: tuple[Way, ...]
    weight: int = 1


@dataclass(frozen=True, slots=True)
class Bin:
    """A rail, or the floor of a bay with boxes (left, low, right, high) that stay free, in mm."""

    along_mm: float
    across_mm: float = 0.0
    off_mm: tuple[tuple[float, float, float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Laid:
    """One thing in its place: the kind, which of its ways, the bin, and its low corner (0, 0 on a rail)."""

    kind: int
    way: int
    bin: int
    at_mm: tuple[float, float]


def on_rails(
    kinds: Sequence[Kind], bins: Sequence[Bin], gap_mm: float, *, all_of_them: bool
) -> tuple[Status, list[Laid]]:
    """Share things out on rails: as many as go, first those that weigh most, or all of them or none."""
    model = new_model()
    gap = round(gap_mm * PER_MM)
    counts: dict[tuple[int, int, int], Any] = {}
    for k, kind in enumerate(kinds):
        for w, way in enumerate(kind.ways):
            for b in way.bins:
                counts[k, w, b] = model.new_int_var(0, kind.count, "")
        mine = [n for (each, _, _), n in counts.items() if each == k]
        model.add(sum(mine) == kind.count if all_of_them else sum(mine) <= kind.count)
    for b, rail in enumerate(bins):
        taken = [
            (round(kinds[k].ways[w].along_mm * PER_MM) + gap) * n
            for (k, w, each), n in counts.items()
            if each == b
        ]
        model.add(sum(taken) <= round(rail.along_mm * PER_MM) + gap)
    worth = [_worth(kinds[k], w, b, len(bins)) * n for (k, w, b), n in counts.items()]
    model.maximize(sum(worth))
    found = _solved(model, made_ready=True)
    if found.status != "found":
        return found.status, []
    laid = [Laid(k, w, b, (0.0, 0.0)) for (k, w, b), n in counts.items() for _ in range(found.value(n))]
    return found.status, laid


def in_bays(kinds: Sequence[Kind], bins: Sequence[Bin], gap_mm: float) -> list[Laid]:
    """Lay things side by side in bays: as many as go, first those that weigh most, nearer bays first.

    One after the other into corners where that lays all that go in at all; else the solver is asked for more.
    """
    by_corners = in_corners(kinds, bins, gap_mm)
    if len(by_corners) == sum(kind.count for kind in kinds if kind.ways):
        return by_corners
    by_solver = _solved_bays(kinds, bins, gap_mm)
    return by_solver if len(by_solver) > len(by_corners) else by_corners


def in_corners(kinds: Sequence[Kind], bins: Sequence[Bin], gap_mm: float) -> list[Laid]:
    """Lay things in the nearest bay where one has room in a corner of what is there, one after the other."""
    # What lies in each bay, gap and all on its far sides.
    taken = [[(x, y, right + gap_mm, high + gap_mm) for x, y, right, high in each.off_mm] for each in bins]
    laid = []
    for k, kind in enumerate(kinds):
        for _ in range(kind.count):
            tries = sorted((b, w) for w, way in enumerate(kind.ways) for b in way.bins)
            for b, w in tries:
                at = _corner(kind.ways[w], bins[b], taken[b], gap_mm)
                if at is not None:
                    way = kind.ways[w]
                    taken[b].append((*at, at[0] + way.along_mm + gap_mm, at[1] + way.across_mm + gap_mm))
                    laid.append(Laid(k, w, b, at))
                    break
    return laid


def _corner(
    way: Way, bay: Bin, taken: Sequence[tuple[float, float, float, float]], gap_mm: float
) -> tuple[float, float] | None:
    """Return the first corner, from the front and the low end, where a thing is clear; None for none."""
    xs = [0.0] if way.flush else [0.0, *(box[2] for box in taken)]
    ys = [0.0, *(box[3] for box in taken)]
    room = bay.along_mm - way.along_mm + _ROUNDING_MM, bay.across_mm - way.across_mm + _ROUNDING_MM
    corners = sorted((x, y) for x in xs if x <= room[0] for y in ys if y <= room[1])
    for x, y in corners:
        right, high = x + way.along_mm + gap_mm, y + way.across_mm + gap_mm
        if all(
            min(right, box[2]) - max(x, box[0]) <= _ROUNDING_MM
            or min(high, box[3]) - max(y, box[1]) <= _ROUNDING_MM
            for box in taken
        ):
            return x, y
    return None


def _solved_bays(kinds: Sequence[Kind], bins: Sequence[Bin], gap_mm: float) -> list[Laid]:
    """Ask the solver to lay as many as go."""
    model = new_model()
    gap = round(gap_mm * PER_MM)
    # What may lie in each bay, as (x, y) intervals; the gap is part of each thing, and of the bay.
    sides: list[list[Sides]] = [_off(model, each, gap) for each in bins]
    worth, found = [], []
    for k, kind in enumerate(kinds):
        before: Any = None
        for _ in range(kind.count):
            here = []
            for w, way in enumerate(kind.ways):
                for b in way.bins:
                    laid = _laid_in(model, way, bins[b], gap)
                    if laid is None:
                        continue
                    chosen, x, y, pair = laid
                    sides[b].append(pair)
                    here.append(chosen)
                    worth.append(_worth(kind, w, b, len(bins)) * chosen)
                    found.append((chosen, k, w, b, x, y))
            there = model.new_bool_var("")
            model.add(sum(here) == there)
            # Things alike are laid in their order: the solver need not try them in all others.
            if before is not None:
                model.add_implication(there, before)
            before = there
    for pairs in sides:
        keep_apart(model, pairs)
    model.maximize(sum(worth))
    result = _solved(model, made_ready=False)
    if result.status != "found":
        return []
    return [
        Laid(k, w, b, (result.value(x) / PER_MM, result.value(y) / PER_MM))
        for chosen, k, w, b, x, y in found
        if result.is_on(chosen)
    ]


def _worth(kind: Kind, way: int, where: int, bins: int) -> int:
    """Return what it is worth to have one of a kind placed: there, then near, then its first way."""
    ways = len(kind.ways)
    return (kind.weight * bins + bins - where) * (ways + 1) + ways - way


def _laid_in(model: Any, way: Way, bay: Bin, gap: int) -> tuple[Any, Any, Any, Sides] | None:
    """Return a thing that may lie in a bay: the switch, its corner and its sides; None for too large."""
    size = [round(side * PER_MM) for side in (way.along_mm, way.across_mm)]
    room = [round(side * PER_MM) for side in (bay.along_mm, bay.across_mm)]
    free = [room[axis] - size[axis] for axis in (0, 1)]
    if min(free) < 0:
        return None
    chosen = model.new_bool_var("")
    x = model.new_int_var(0, 0 if way.flush else free[0], "")
    y = model.new_int_var(0, free[1], "")
    return chosen, x, y, optional_box(model, (x, y), (size[0] + gap, size[1] + gap), chosen)


def _off(model: Any, bay: Bin, gap: int) -> list[Sides]:
    pairs = []
    for left, low, right, high in bay.off_mm:
        x, y = round(left * PER_MM), round(low * PER_MM)
        wide, deep = round((right - left) * PER_MM) + gap, round((high - low) * PER_MM) + gap
        pairs.append(fixed_box(model, (x, y), (wide, deep)))
    return pairs


def _solved(model: Any, *, made_ready: bool) -> Solved:
    """Solve; made_ready: with the solver's presolve, which takes minutes for some bays full (measured)."""
    return solved(model, _EFFORT if made_ready else _BAY_EFFORT, presolve=made_ready)
