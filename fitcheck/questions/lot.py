"""Which parts go in together: each at a way that works alone, side by side, in the fewest loads found.

Parts keep part_gap from each other as seen from above, outline to outline, and none hangs over another, where
it would drip on it. First every part is tried as `dip` advises it, then in ways that take up less; loads are
filled one after the other (`geometry/nesting.py`), and where that takes more than are proven to be needed, a
solver is asked for fewer (`geometry/packing.py`).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.geometry.measure import measures
from fitcheck.geometry.nesting import DRAWN, Laid, Nearness, Nest, Piece
from fitcheck.geometry.packing import Floor, Put, packed
from fitcheck.questions.dip import dip
from fitcheck.questions.fill import fill_with
from fitcheck.questions.footprint import Footprint, Ways
from fitcheck.questions.lot_bound import at_least_loads
from fitcheck.questions.prove_lot import lot_checks, nearest_mm
from fitcheck.questions.ways_up import vessel_of
from fitcheck.things.answers import Answer, Fits
from fitcheck.things.lots import LeftOut, Lot, LotAnswer, LotPart, Work
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM3_PER_LITRE

# More pieces than this is many days' work, and would only be told as an endless wait.
MOST_PIECES = 400
# The solver is asked about so many pieces at most.
_SOLVED_PIECES = 24
# Two parts so far apart are as far apart along or across: the shorter side of a square is 1 / sqrt(2).
_ALONG = math.sqrt(0.5)
# What the solver is given is rounded up by less than this; for a proof it is taken off first.
_ROUNDED_MM, _ROUNDED_KG = 2e-3, 2e-3


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """One thing done to the parts, the tanks that may do it, and the shop's steps that it is."""

    name: str
    tanks: tuple[Tank, ...]
    steps: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Kind:
    """A part, as many of it as go in, with its ways in each tank that takes it."""

    part: Part
    ways: Mapping[str, tuple[Footprint, ...]]


class Fitting:
    """The answers of `dip` for parts in tanks, and the ways to hang them there, each asked for once."""

    def __init__(self, parts: Iterable[Part]) -> None:
        self.parts = tuple(parts)
        self._ways: dict[str, Ways] = {}
        self._answers: dict[tuple[str, str], Answer] = {}
        self._found: dict[tuple[str, str], tuple[Footprint, ...]] = {}
        self._volumes: dict[str, float] = {}

    @classmethod
    def of(cls, shop: Shop) -> Fitting:
        """Return it for all parts of a shop; raises `Refused` for none, or too many pieces."""
        pieces = sum(part.count for part in shop.parts.values())
        if not 1 <= pieces <= MOST_PIECES:
            raise Refused(f"{pieces} parts", f"ask about 1 to {MOST_PIECES} at a time")
        return cls(shop.parts.values())

    def answer(self, part: Part, tank: Tank) -> Answer:
        """Return what `dip` says."""
        key = part.name, tank.name
        if key not in self._answers:
            self._answers[key] = dip(part, tank, with_cures=False, vessel=self._of(part).vessel)
        return self._answers[key]

    def ways(self, part: Part, tank: Tank) -> tuple[Footprint, ...]:
        """Return the ways to hang the part in the tank; none where it does not fit, tapes included."""
        key = part.name, tank.name
        answer = self.answer(part, tank)
        if key not in self._found:
            self._found[key] = self._of(part).of(answer, tank) if isinstance(answer, Fits) else ()
        return self._found[key]

    def kind(self, part: Part, tanks: Sequence[Tank]) -> Kind:
        """Return the part with its ways in those of the tanks that take it."""
        ways = {
            tank.name: tuple(way for way in self.ways(part, tank) if way.wet_kg <= hoist_kg(tank))
            for tank in tanks
        }
        return Kind(part, {name: found for name, found in ways.items() if found})

    def may_take(self, part: Part, tanks: Sequence[Tank]) -> tuple[Tank, ...]:
        """Return the tanks that are not proven to have no way for the part, tapes included."""
        unsettled = {"fits", "not found"}
        return tuple(tank for tank in tanks if self.answer(part, tank).verdict in unsettled)

    def volume_l(self, part: Part) -> float:
        """Return what the part displaces when it is under, air left out."""
        if part.name not in self._volumes:
            self._volumes[part.name] = measures(part.skin).volume_mm3 / MM3_PER_LITRE
        return self._volumes[part.name]

    def air_l(self, footprint: Footprint, level_mm: float) -> float:
        """Return the air that the part catches under a level."""
        pose = footprint.pose
        under = level_mm - float(pose.shift_mm[2])
        return self._of(footprint.part).vessel.air_under_mm3(pose.rotation, under) / MM3_PER_LITRE

    def _of(self, part: Part) -> Ways:
        if part.name not in self._ways:
            self._ways[part.name] = Ways(part, vessel_of(part))
        return self._ways[part.name]


def hoist_kg(tank: Tank) -> float:
    """Return the most that the tank's hoist lifts; infinite where the shop has not said."""
    return math.inf if tank.rim.hoist_kg is None else tank.rim.hoist_kg


def lot(
    shop: Shop,
    tank: str | None = None,
    done: Callable[[], None] = lambda: None,
) -> LotAnswer:
    """Tell which parts of a shop go in together, in one tank or for all the work that there is.

    Without a tank, every part goes once into a tank of each step of the shop that has tanks; where it has no
    steps, once into a tank of each liquid. `done` is called after each part. Raises `Refused` for a shop
    without parts or tanks, or with too many pieces.
    """
    fitting = Fitting.of(shop)
    works = works_of(shop, tank)
    for part in fitting.parts:
        for each in {tank.name: tank for work in works for tank in work.tanks}.values():
            fitting.ways(part, each)
        done()
    found = [_worked(fitting, work) for work in works]
    return LotAnswer(
        tuple(lot for lots, _, _ in found for lot in lots),
        tuple(work for _, work, _ in found),
        tuple(left for _, _, out in found for left in out),
    )


def works_of(shop: Shop, tank: str | None) -> tuple[Asked, ...]:
    """Return what is done: in one tank, or each step of the shop, or each liquid where it has no steps."""
    if not shop.tanks:
        raise Refused("there is no tank in this shop", "add a [tanks.NAME] with its inside")
    if tank is not None:
        return (Asked(tank, (shop.tanks[tank],)),)
    if any(step.tanks for step in shop.steps):
        # Steps in the same tanks have the same loads.
        places = dict.fromkeys(step.tanks for step in shop.steps if step.tanks)
        named = {place: tuple(s.name for s in shop.steps if s.tanks == place) for place in places}
        return tuple(
            Asked(" and ".join(names), tuple(shop.tanks[name] for name in place), names)
            for place, names in named.items()
        )
    liquids = dict.fromkeys(each.liquid.name for each in shop.tanks.values())
    return tuple(
        Asked(liquid, tuple(each for each in shop.tanks.values() if each.liquid.name == liquid))
        for liquid in liquids
    )


def _worked(fitting: Fitting, work: Asked) -> tuple[tuple[Lot, ...], Work, tuple[LeftOut, ...]]:
    """Return the loads of one piece of work, how many they are at least, and what is left out."""
    kinds = [fitting.kind(part, work.tanks) for part in fitting.parts]
    placed = [kind for kind in kinds if kind.ways]
    left = [left_out(fitting, kind.part, work) for kind in kinds if not kind.ways]
    takes = [(kind.part, fitting.may_take(kind.part, work.tanks)) for kind in placed]
    at_least = at_least_loads(takes)
    loads, proven = fewest(placed, work.tanks, at_least)
    names = [tank.name for tank in work.tanks]
    in_turn = sorted(
        (as_lot(fitting, work, *load) for load in loads),
        key=lambda lot: (names.index(lot.tank), lot.level_mm),
    )
    lots = numbered(in_turn, fitting.parts)
    told = Work(work.name, tuple(names), len(lots), max(at_least, proven), work.steps)
    return lots, told, tuple(left)


def is_proven(fitting: Fitting, work: Asked, at_least: float) -> bool:
    """Tell whether it is proven that some work takes so many loads, by the bound or by the solver."""
    kinds = [fitting.kind(part, work.tanks) for part in fitting.parts]
    placed = [kind for kind in kinds if kind.ways]
    takes = [(kind.part, fitting.may_take(kind.part, work.tanks)) for kind in placed]
    known = at_least_loads(takes)
    return at_least <= known or at_least <= fewest(placed, work.tanks, known)[1]


def left_out(fitting: Fitting, part: Part, work: Asked) -> LeftOut:
    """Return why a part has no load: the answer of the tank that comes nearest."""
    answers = [fitting.answer(part, tank) for tank in work.tanks]
    firm = {"measure again": 0, "not found": 1, "does not fit": 2}
    if any(answer.verdict == "fits" for answer in answers):
        why = "it fits, but with what it carries out it is more than the hoist lifts"
        return LeftOut(part.name, part.count, work.name, "does not fit", why)
    best = min(answers, key=lambda answer: (firm[answer.verdict], -answer.spare.at_most_mm))
    return LeftOut(part.name, part.count, work.name, best.verdict, f"{best.tank}: {best.reason}")


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


def as_lot(
    fitting: Fitting, work: Asked, tank: Tank, hung: Sequence[tuple[Footprint, tuple[float, float]]]
) -> Lot:
    """Return a load as it is told, looked at again by exact distance."""
    level = max(footprint.level_mm for footprint, _ in hung)
    posed = [(footprint.part, footprint.moved(shift)) for footprint, shift in hung]
    air = sum(fitting.air_l(footprint, level) for footprint, _ in hung)
    fill = fill_with(posed, tank, level, air)
    found = Lot(
        work.name,
        tank.name,
        tuple(LotPart(part.name, 1, pose) for part, pose in posed),
        level,
        fill.rise_mm,
        fill.liquid_l,
        air,
        sum(footprint.wet_kg for footprint, _ in hung),
        nearest_mm(posed),
    )
    wrong = [check.what for check in lot_checks(found, posed, tank) if not check.holds]
    if wrong:
        raise RuntimeError(f"a load in {tank.name} does not stand up to the exact check: not so: {wrong[0]}")
    return found


def numbered(lots: Iterable[Lot], parts: Sequence[Part]) -> tuple[Lot, ...]:
    """Return loads with their parts in the order of the shop, the pieces of a kind numbered through."""
    kinds = [part.name for part in parts]
    seen: dict[str, int] = {}
    told = []
    for each in lots:
        rows = []
        for row in sorted(each.parts, key=lambda row: kinds.index(row.part)):
            seen[row.part] = seen.get(row.part, 0) + 1
            rows.append(replace(row, number=seen[row.part]))
        told.append(replace(each, parts=tuple(rows)))
    return tuple(told)
