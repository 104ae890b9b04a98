"""The fewest loads that are found for pieces with their ways to hang, and what the solver proves of that.

First every part is tried as `dip` advises it, then in ways that take up less; loads are filled one after the
other (`outline_nesting`), and where that takes more than are proven to be needed, a solver is asked for
fewer (`rectangle_packing`).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from fitcheck.geometry.plan.outline_nesting import DRAWN, Laid, Nearness, Nest, Piece
from fitcheck.geometry.solver.rectangle_packing import Floor, Put, packed
from fitcheck.questions.lot.hanging_candidates import Footprint
from fitcheck.questions.lot.ways import Kind, hoist_kg
from fitcheck.things.tank import Tank

# The solver is asked about so many pieces at most.
_SOLVED_PIECES = 24
# Two parts so far apart are as far apart along or across: the shorter side of a square is 1 / sqrt(2).
_ALONG = math.sqrt(0.5)
# What the solver is given is rounded up by less than this; for a proof it is taken off first.
_ROUNDED_MM, _ROUNDED_KG = 2e-3, 2e-3

Load = tuple[Tank, list[tuple[Footprint, tuple[float, float]]]]


def fewest(kinds: Sequence[Kind], tanks: Sequence[Tank], enough: int) -> tuple[list[Load], int]:
    """Return the fewest loads found, and how many the solver has proven (0: it has proven nothing)."""
    first = {(kind.part.name, tank): ways[0] for kind in kinds for tank, ways in kind.ways.items()}
    pieces = [kind for kind in kinds for _ in range(kind.part.count)]
    near = Nearness()
    advised = [Kind(kind.part, {name: ways[:1] for name, ways in kind.ways.items()}) for kind in pieces]
    best = nested(advised, tanks, enough, near)
    if len(best) > enough:
        thinner = nested(pieces, tanks, enough, near)
        best = thinner if len(thinner) < len(best) else best
    proven = 0
    if len(tanks) == 1 and tanks[0].is_box and not tanks[0].standing and len(pieces) <= _SOLVED_PIECES:
        for count in range(enough, len(best)):
            found, none = _by_solver(pieces, tanks[0], count)
            if found:
                best = found
                break
            proven = count + 1 if none else proven
    return [_as_advised(load, first, near) for load in best], proven


def _as_advised(load: Load, first: Mapping[tuple[str, str], Footprint], near: Nearness) -> Load:
    """Return the load with its parts hung as `dip` advises them, as many kinds of them as still go in."""
    tank, hung = load
    names = list(dict.fromkeys(each.part.name for each, _ in hung))
    plain: set[str] = set()
    for name in (None, *names):
        tried = set(names) if name is None else plain | {name}
        ways = [first[each.part.name, tank.name] if each.part.name in tried else each for each, _ in hung]
        pieces = [Kind(way.part, {tank.name: (way,)}) for way in ways]
        relaid = nested(pieces, (tank,), 1, near, 0)
        if len(relaid) == 1:
            load, plain = relaid[0], tried
        if plain == set(names):
            break
    return load


def nested(
    pieces: Sequence[Kind], tanks: Sequence[Tank], enough: int, near: Nearness, drawn: int = DRAWN
) -> list[Load]:
    """Return loads filled one after the other; drawn: see `Nest.fewest`."""
    names = [tank.name for tank in tanks]
    most = [hoist_kg(tank) for tank in tanks]
    alike = [tuple(id(way) for ways in kind.ways.values() for way in ways) for kind in pieces]
    numbers = {key: k for k, key in enumerate(dict.fromkeys(alike))}
    nest = Nest(
        [
            Piece(
                {names.index(name): tuple(each.way for each in ways) for name, ways in kind.ways.items()},
                max(each.wet_kg for ways in kind.ways.values() for each in ways),
                numbers[key],
            )
            for kind, key in zip(pieces, alike, strict=True)
        ],
        most,
        near,
    )
    order, laid = nest.fewest(enough, drawn)
    loads: list[Load] = [(tanks[k], []) for k in order]
    for each in laid:
        loads[each.load][1].append((_way(pieces, each, loads[each.load][0]), each.shift_mm))
    return loads


def _way(pieces: Sequence[Kind], laid: Laid, tank: Tank) -> Footprint:
    return pieces[laid.piece].ways[tank.name][laid.way]


def _by_solver(pieces: Sequence[Kind], tank: Tank, count: int) -> tuple[list[Load], bool]:
    """Ask the solver for so many loads; where it finds none, tell whether that is proven for every way."""
    ways = [kind.ways[tank.name] for kind in pieces]
    sizes = [[np.ptp(each.way.ring, axis=0) for each in mine] for mine in ways]
    flat = [each.way for mine in ways for each in mine]
    room = np.min([np.ptp(way.room, axis=0) + np.ptp(way.ring, axis=0) for way in flat], axis=0)
    gap = 2.0 * max(way.apart_mm for way in flat)
    masses = [max(each.wet_kg for each in mine) for mine in ways]
    most = hoist_kg(tank)
    boxes = [[(float(size[0]), float(size[1])) for size in row] for row in sizes]
    floor = Floor(float(room[0]), float(room[1]), gap, most)
    puts, status = packed(boxes, masses, floor, count)
    if status == "found":
        return _unpacked(puts, ways, tank), False
    if status == "open" or not all(_has_one_way(kind, tank) for kind in pieces):
        return [], False
    looser = Floor(floor.along_mm, floor.across_mm, gap * _ALONG, most)
    cut = [[(w - _ROUNDED_MM, h - _ROUNDED_MM) for w, h in row] for row in boxes]
    lighter = [max(mass - _ROUNDED_KG, 0.0) for mass in masses]
    return [], packed(cut, lighter, looser, count)[1] == "none"


def _unpacked(puts: Sequence[Put], ways: Sequence[Sequence[Footprint]], tank: Tank) -> list[Load]:
    """Return what the solver has packed as loads."""
    loads: dict[int, Load] = {}
    for put in puts:
        way = ways[put.piece][put.way]
        x, y = (way.way.room.min(axis=0) + np.array(put.at_mm)).tolist()
        loads.setdefault(put.load, (tank, []))[1].append((way, (x, y)))
    return list(loads.values())


def _has_one_way(kind: Kind, tank: Tank) -> bool:
    """Tell whether the part may hang in one way only, and its outline is a rectangle square to the tank."""
    most, ways = kind.part.attitude, kind.ways[tank.name]
    ring = ways[0].way.ring
    edge = np.isclose(ring, ring.min(axis=0)) | np.isclose(ring, ring.max(axis=0))
    held = most.tilt_rad == most.roll_rad == most.swing_rad == 0.0
    return held and len(ways) == 1 and bool(edge.all())
