"""When is each load where? What goes through all the steps together, and the timetable that is done first.

What goes in together in the step that takes most loads is taken apart again until every step takes each load
at once; then a solver says when each load enters which tank (`geometry/solver/timetable.py`).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from fitcheck.geometry.plan.outline_nesting import Nearness
from fitcheck.geometry.solver.timetable import Hands, Stay, Timetable, timetable
from fitcheck.questions.day.answer import DayAnswer, DayLoad, Visit
from fitcheck.questions.day.rack_places import RackPlaces
from fitcheck.questions.lot.answer import LeftOut, Lot
from fitcheck.questions.lot.ask import as_lot
from fitcheck.questions.lot.fewest_loads import Load, nested
from fitcheck.questions.lot.ways import Asked, Fitting, Kind, left_out
from fitcheck.questions.store.ask import store
from fitcheck.things.crew import Crew
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.step import Step
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import show_time

Group = tuple[Part, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Train:
    """The steps of a shop in their order, with their tanks, and the places of all racks and tanks."""

    shop: Shop
    crew: Crew

    @classmethod
    def of(cls, shop: Shop) -> Train:
        """Return it; raises `Refused`, with the step, where no timetable can be made."""
        if not shop.steps:
            raise Refused("there are no steps in this shop", "add [steps.NAME] with its tank and dwell")
        if shop.day is None:
            raise Refused(
                "the shop does not say who carries", 'add [day] with people = 2, transfer = "1 min"'
            )
        for step, after in zip(shop.steps, shop.steps[1:], strict=False):
            away = whole_s(step.drip_s) + whole_s(shop.day.transfer_s)
            if step.wait_at_most_s is not None and away > step.wait_at_most_s:
                raise Refused(
                    f"[steps.{step.name}] wait_at_most: dripping and carrying to {after.name} take "
                    f"{show_time(away)}, and {show_time(step.wait_at_most_s)} is allowed",
                    "raise wait_at_most, or lower drip or transfer",
                )
        return cls(shop, shop.day)

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps, in their order."""
        return self.shop.steps

    def tanks(self, step: Step) -> tuple[Tank, ...]:
        """Return the tanks of a step."""
        return tuple(self.shop.tanks[name] for name in step.tanks)

    @property
    def places(self) -> tuple[str, ...]:
        """All places: tanks, then rails and racks of bays."""
        racks = dict.fromkeys(step.rack for step in self.steps if step.rack is not None)
        tanks = dict.fromkeys(name for step in self.steps for name in step.tanks)
        return (*tanks, *(name for rack in racks for name in RackPlaces(self.shop.racks[rack]).names))

    @property
    def capacity(self) -> tuple[int, ...]:
        """What each place holds at a time: a tank one load, a rail its length."""
        racks = dict.fromkeys(step.rack for step in self.steps if step.rack is not None)
        tanks = dict.fromkeys(name for step in self.steps for name in step.tanks)
        rails = (most for rack in racks for most in RackPlaces(self.shop.racks[rack]).capacity)
        return (*(1 for _ in tanks), *rails)


def day(shop: Shop, done: Callable[[], None] = lambda: None) -> DayAnswer:
    """Tell when each load is where, so that the last is done as early as was found, and what is proven.

    `done` is called after each part. Raises `Refused` for a shop without parts, steps or people.
    """
    train, fitting = Train.of(shop), Fitting.of(shop)
    for part in fitting.parts:
        for step in train.steps:
            for tank in train.tanks(step):
                fitting.ways(part, tank)
        done()
    out = shut_out(train, fitting)
    names = {each.part for each in out}
    pieces = tuple(part for part in fitting.parts if part.name not in names for _ in range(part.count))
    hung = Hung(fitting)
    groups = together(train, hung, pieces)
    stays = [stays_of(train, hung, group) for group in groups]
    hands = Hands(train.crew.people, train.crew.people_per_load, whole_s(train.crew.transfer_s))
    found = timetable(stays, train.capacity, hands)
    return DayAnswer(train.crew, _told(train, hung, groups, stays, found), found.at_least_s, out)


def shut_out(train: Train, fitting: Fitting) -> tuple[LeftOut, ...]:
    """Return the parts that some step has no place for, each with the step."""
    out = []
    for step in train.steps:
        for part in fitting.parts:
            if step.rack is not None:
                rack = train.shop.racks[step.rack]
                answer = store(rack, [replace(part, count=1)], train.shop.rules)
                if answer.verdict != "fits":
                    why = answer.left_out[0].why if answer.left_out else answer.reason
                    out.append(
                        LeftOut(part.name, part.count, step.name, answer.verdict, f"{rack.name}: {why}")
                    )
            elif not fitting.kind(part, train.tanks(step)).ways:
                out.append(left_out(fitting, part, Asked(step.name, train.tanks(step))))
    return tuple(out)


class Hung:
    """How pieces hang together in a tank, each group of them asked for once."""

    def __init__(self, fitting: Fitting) -> None:
        self.fitting = fitting
        self._near = Nearness()
        self._found: dict[tuple[tuple[str, ...], tuple[str, ...]], list[Load]] = {}

    def loads(self, group: Group, tanks: Sequence[Tank]) -> list[Load]:
        """Return the loads in which pieces go into these tanks, few of them."""
        key = tuple(part.name for part in group), tuple(tank.name for tank in tanks)
        if key not in self._found:
            kinds: dict[str, Kind] = {part.name: self.fitting.kind(part, tanks) for part in group}
            pieces = [kinds[part.name] for part in group]
            self._found[key] = nested(pieces, tanks, 1, self._near) if all(k.ways for k in pieces) else []
        return self._found[key]

    def load(self, group: Group, tank: Tank) -> Load | None:
        """Return the pieces in this tank together; None where they were not found to go in."""
        loads = self.loads(group, (tank,))
        return loads[0] if len(loads) == 1 else None


def together(train: Train, hung: Hung, pieces: Group) -> list[Group]:
    """Return groups of pieces that every step was found to take together."""
    sets = list(dict.fromkeys(step.tanks for step in train.steps if step.tanks))
    tanks = [tuple(train.shop.tanks[name] for name in each) for each in sets]
    tanks.sort(key=lambda each: -len(hung.loads(pieces, each)) if pieces else 0)
    racks = dict.fromkeys(step.rack for step in train.steps if step.rack is not None)
    left, found = [pieces] if pieces else [], []
    while left:
        group = left.pop(0)
        parted = next((apart for each in tanks if len(apart := hung.loads(group, each)) > 1), None)
        if parted is not None:
            left = [tuple(way.part for way, _ in load) for _, load in parted] + left
        elif any(not RackPlaces(train.shop.racks[name]).choices(group, train.shop.rules) for name in racks):
            middle = len(group) // 2
            left = [group[:middle], group[middle:], *left]
        else:
            found.append(tuple(sorted(group, key=hung.fitting.parts.index)))
    return sorted(found, key=lambda group: [hung.fitting.parts.index(part) for part in group])


def stays_of(train: Train, hung: Hung, group: Group) -> tuple[Stay, ...]:
    """Return the stays of a load, step by step, with the places that take it."""
    number = {name: k for k, name in enumerate(train.places)}
    stays = []
    for step in train.steps:
        choices: Iterable[Sequence[tuple[str, int]]]
        if step.rack is None:
            choices = [((tank.name, 1),) for tank in train.tanks(step) if hung.load(group, tank) is not None]
        else:
            choices = RackPlaces(train.shop.racks[step.rack]).choices(group, train.shop.rules)
        taken = tuple(tuple((number[name], amount) for name, amount in choice) for choice in choices)
        away = None if step.wait_at_most_s is None else math.floor(step.wait_at_most_s)
        stays.append(Stay(taken, whole_s(step.dwell_s), whole_s(step.drip_s), away))
    return tuple(stays)


def whole_s(seconds: float) -> int:
    """Return a time in whole seconds, rounded up: no one counts finer."""
    return math.ceil(seconds)


def _told(
    train: Train, hung: Hung, groups: Sequence[Group], stays: Sequence[Sequence[Stay]], found: Timetable
) -> tuple[DayLoad, ...]:
    """Return the loads in the order in which they begin."""
    order = sorted(range(len(groups)), key=lambda k: (found.enter_s[k], k))
    seen: Counter[str] = Counter()
    told = []
    for k in order:
        parts = []
        for part in groups[k]:
            seen[part.name] += 1
            parts.append((part.name, seen[part.name]))
        visits = []
        for step, stay, enter, choice in zip(
            train.steps, stays[k], found.enter_s[k], found.choice[k], strict=True
        ):
            places = tuple(train.places[place] for place, _ in stay.choices[choice])
            out = enter + stay.dwell_s
            visits.append(Visit(step.name, places, enter, out, out + stay.drip_s))
        told.append(DayLoad(tuple(parts), tuple(visits), _lots(train, hung, groups[k], (parts, visits))))
    return tuple(told)


def _lots(
    train: Train, hung: Hung, group: Group, told: tuple[Sequence[tuple[str, int]], Sequence[Visit]]
) -> tuple[Lot, ...]:
    """Return how a load hangs in each of its tanks, its pieces numbered as told."""
    parts, visits = told
    lots = []
    for step, visit in zip(train.steps, visits, strict=True):
        if step.rack is not None:
            continue
        tank = train.shop.tanks[visit.places[0]]
        load = hung.load(group, tank)
        if load is None:
            raise RuntimeError(f"a load was timed in {tank.name}, where it does not hang")
        lot = as_lot(hung.fitting, Asked(step.name, (tank,)), *load)
        numbers = {name: [n for each, n in parts if each == name] for name, _ in parts}
        rows = tuple(replace(row, number=numbers[row.part].pop(0)) for row in lot.parts)
        lots.append(replace(lot, parts=rows))
    return tuple(lots)
