"""When is each load where? What goes through all the steps together, and the timetable that is done first.

What goes in together in the step that takes most loads is taken apart again until every step takes each load
at once; then a solver says when each load enters which tank (`geometry/solver/timetable.py`).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from fitcheck.geometry.plan.outline_nesting import Nearness
from fitcheck.geometry.solver.timetable import Hands, Stay, Timetable, timetable
from fitcheck.questions.day.answer import DayAnswer, DayLoad, Visit
from fitcheck.questions.day.cautions import cautions_of
from fitcheck.questions.day.rack_places import choices_on
from fitcheck.questions.lot.answer import LeftOut, Lot
from fitcheck.questions.lot.ask import as_lot
from fitcheck.questions.lot.fewest_loads import Load, nested
from fitcheck.questions.lot.ways import Fitting, Kind, left_out
from fitcheck.questions.store.ask import store
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.things.work import AskedWork, Train, whole_s
from fitcheck.words.progress import Progress, silent

Group = tuple[Part, ...]


def day(shop: Shop, progress: Progress = silent) -> DayAnswer:
    """Tell when each load is where, so that the last is done as early as was found, and what is proven.

    Parameters
    ----------
    shop : Shop
        Its parts, each as often as its `count` says, its steps with their tanks and racks, and its `day`:
        who carries, and how long that takes.
    progress : Progress
        Called after each part.

    Returns
    -------
    DayAnswer
        Loads that go through all the steps together, with their times in seconds from the start of the day,
        their places, and each piece's pose in each tank (tank from part, mm); and a time before which these
        loads are proven not to be done. A part that some step has no place for is in `left_out`, with the
        step.

    Raises
    ------
    Refused
        For a shop without parts, steps or people, with more than 400 pieces, or where dripping and carrying
        take longer than a step's `wait_at_most`.
    RuntimeError
        Where the exact distances do not bear out the search.

    Examples
    --------
    >>> from dataclasses import replace
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> answer = fc.day(replace(shop, parts={"P05": shop.parts["P05"]}))
    >>> answer.verdict, len(answer.loads), answer.finish_s == answer.at_least_s
    ('fits', 1, True)
    """
    train, fitting = Train.of(shop), Fitting.of(shop)
    for part in fitting.parts:
        for step in train.steps:
            for tank in train.tanks(step):
                fitting.ways(part, tank)
        progress()
    out = shut_out(train, fitting)
    names = {each.part for each in out}
    pieces = tuple(part for part in fitting.parts if part.name not in names for _ in range(part.count))
    hung = Hung(fitting)
    groups = together(train, hung, pieces)
    stays = [stays_of(train, hung, group) for group in groups]
    hands = Hands(train.crew.people, train.crew.people_per_load, whole_s(train.crew.transfer_s))
    found = timetable(stays, train.capacity, hands)
    answer = DayAnswer.of(train.crew, _told(train, hung, groups, stays, found), found.at_least_s, out)
    return replace(answer, cautions=cautions_of(answer, shop), asked=shop)


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
                out.append(left_out(fitting, part, AskedWork(step.name, train.tanks(step))))
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
        elif any(not choices_on(train.shop.racks[name], group, train.shop.rules) for name in racks):
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
            choices = choices_on(train.shop.racks[step.rack], group, train.shop.rules)
        taken = tuple(tuple((number[name], amount) for name, amount in choice) for choice in choices)
        away = None if step.wait_at_most_s is None else math.floor(step.wait_at_most_s)
        stays.append(Stay(taken, whole_s(step.dwell_s), whole_s(step.drip_s), away))
    return tuple(stays)


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
            taken = stay.choices[choice]
            out = enter + stay.dwell_s
            places = tuple(train.places[place] for place, _ in taken)
            lengths = tuple(amount for _, amount in taken) if train.is_on_rails(step) else ()
            visits.append(Visit(step.name, places, enter, out, out + stay.drip_s, lengths))
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
        lot = as_lot(hung.fitting, AskedWork(step.name, (tank,)), *load)
        numbers = {name: [n for each, n in parts if each == name] for name, _ in parts}
        rows = tuple(replace(row, number=numbers[row.part].pop(0)) for row in lot.parts)
        lots.append(replace(lot, parts=rows))
    return tuple(lots)
