"""Is a timetable right? Looked at again from the shop and the times alone, by code that did not make it.

The loads in their tanks are looked at by exact distance (`prove_lot.py`); that no timetable of these loads is
done sooner is worked out again, by the code that found it.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Sequence

from fitcheck.geometry.solver.timetable import Hands, timetable
from fitcheck.questions.day.answer import DayAnswer, DayLoad, Visit
from fitcheck.questions.day.ask import Hung, Train, shut_out, stays_of, whole_s
from fitcheck.questions.day.rack_places import RackPlaces
from fitcheck.questions.lot.prove_load import lot_checks
from fitcheck.questions.lot.ways import Fitting
from fitcheck.things.crew import Crew
from fitcheck.things.proved import Check
from fitcheck.things.shop import Shop
from fitcheck.things.step import Step
from fitcheck.words.errors import Refused

# A time, and how many start or stop then.
Change = tuple[int, int]


def prove_day(shop: Shop, told: DayAnswer, finish_s: float, verdict: str) -> tuple[Check, ...]:
    """Return what is so and what not of a day; finish_s, verdict: as it was told to end.

    Raises `Refused` for parts, tanks or steps that are not those of the shop.
    """
    train = Train.of(shop)
    _known(shop, told)
    fitting = Fitting.of(shop)
    out = {(each.part, each.work, each.verdict) for each in shut_out(train, fitting)}
    checks = [
        Check("the day is that of the shop", told.crew == train.crew),
        Check("it ends as told", (finish_s, verdict) == (told.finish_s, told.verdict)),
        Check("every piece is in one load, or is listed", _counts(shop, told)),
        Check(
            "what is listed goes into no place of that step, asked again",
            all((each.part, each.work, each.verdict) in out for each in told.left_out),
        ),
        *times_hold(shop.steps, train.crew, told.loads),
        Check("no tank has two loads at once", _one_at_a_time(shop.steps, told.loads)),
        Check("what is on the racks at once has its places there", _racks_hold(shop, told.loads)),
    ]
    for k, load in enumerate(told.loads):
        checks += _hangs(shop, k, load)
    checks.append(Check("they are not done sooner, worked out again", _not_sooner(train, fitting, told)))
    return tuple(checks)


def times_hold(steps: Sequence[Step], crew: Crew, loads: Sequence[DayLoad]) -> list[Check]:
    """Return whether loads go through the steps in their times, with the people that there are."""
    every = [zip(steps, load.visits, strict=False) for load in loads]
    stays = all(
        visit.out_s - visit.enter_s == whole_s(step.dwell_s)
        and visit.free_s - visit.out_s == whole_s(step.drip_s)
        for pairs in every
        for step, visit in pairs
    )
    walks = [(load.visits[k], load.visits[k + 1], steps[k]) for load in loads for k in range(len(steps) - 1)]
    carry = whole_s(crew.transfer_s)
    return [
        Check(
            "each load goes through the steps in their order", all(_in_order(steps, load) for load in loads)
        ),
        Check("each stays and drips as long as its step says", stays),
        Check(
            "there is time to carry each load",
            all(two.enter_s - one.free_s >= carry for one, two, _ in walks)
            and all(load.visits[0].enter_s >= carry for load in loads),
        ),
        Check(
            "none waits longer than it may",
            all(
                step.wait_at_most_s is None or two.enter_s - one.out_s <= step.wait_at_most_s
                for one, two, step in walks
            ),
        ),
        Check("there are people for all that is done at once", _most(_at_work(loads, carry)) <= _pairs(crew)),
    ]


def _in_order(steps: Sequence[Step], load: DayLoad) -> bool:
    return [visit.step for visit in load.visits] == [step.name for step in steps]


def _pairs(crew: Crew) -> int:
    """Return how many loads can be carried, or held while they drip, at once."""
    return crew.people // crew.people_per_load


def _at_work(loads: Sequence[DayLoad], carry_s: int) -> list[Change]:
    """Return when people begin and end to carry or hold a load."""
    visits = [visit for load in loads for visit in load.visits]
    spans = [(visit.enter_s - carry_s, visit.enter_s) for visit in visits]
    spans += [(visit.out_s, visit.free_s) for visit in visits]
    return [change for low, high in spans if low < high for change in ((low, 1), (high, -1))]


def _most(changes: Sequence[Change]) -> int:
    """Return the most that goes on at once; what ends as another begins does not count with it."""
    return max(itertools.accumulate((step for _, step in sorted(changes)), initial=0))


def _one_at_a_time(steps: Sequence[Step], loads: Sequence[DayLoad]) -> bool:
    tanks = {name for step in steps for name in step.tanks}
    spans: dict[str, list[Visit]] = {}
    for load in loads:
        for step, visit in zip(steps, load.visits, strict=False):
            if step.tanks and (len(visit.places) != 1 or visit.places[0] not in step.tanks):
                return False
            for place in tanks.intersection(visit.places):
                spans.setdefault(place, []).append(visit)
    return all(
        one.free_s <= two.enter_s or two.free_s <= one.enter_s
        for visits in spans.values()
        for one, two in itertools.combinations(visits, 2)
    )


def _racks_hold(shop: Shop, loads: Sequence[DayLoad]) -> bool:
    """Tell whether each place of the racks holds, at each time, all that is said to be there."""
    changes: dict[str, list[Change]] = {}
    most: dict[str, int] = {}
    for load in loads:
        for step, visit in zip(shop.steps, load.visits, strict=False):
            if step.rack is None:
                continue
            rack = RackPlaces(shop.racks[step.rack])
            most.update(zip(rack.names, rack.capacity, strict=True))
            group = [shop.parts[name] for name, _ in load.parts]
            choice = next(
                (
                    each
                    for each in rack.choices(group, shop.rules)
                    if tuple(name for name, _ in each) == visit.places
                ),
                None,
            )
            if choice is None:
                return False
            for name, amount in choice:
                changes.setdefault(name, []).extend([(visit.enter_s, amount), (visit.free_s, -amount)])
    return all(_most(each) <= most[name] for name, each in changes.items())


def _hangs(shop: Shop, k: int, load: DayLoad) -> list[Check]:
    """Return the checks of a load in its tanks that fail, or one that says that all hold."""
    name = f"load {k + 1}"
    dipped = [
        (step.name, visit.places) for step, visit in zip(shop.steps, load.visits, strict=False) if step.tanks
    ]
    checks = [
        Check(
            "a way to hang it is told for each tank", dipped == [(lot.work, (lot.tank,)) for lot in load.lots]
        ),
        Check(
            "its pieces are the same in all of them",
            all(
                Counter(load.parts) == Counter((row.part, row.number) for row in lot.parts)
                for lot in load.lots
            ),
        ),
    ]
    for lot in load.lots:
        posed = [(shop.parts[row.part], row.pose) for row in lot.parts]
        checks += lot_checks(lot, posed, shop.tanks[lot.tank])
    wrong = [check for check in checks if not check.holds]
    if wrong:
        return [Check(f"{name}: {check.what}", False) for check in wrong]
    return [Check(f"{name}: {len(checks)} things looked at, by exact distance", True)]


def _counts(shop: Shop, told: DayAnswer) -> bool:
    out = {each.part for each in told.left_out}
    placed = Counter(piece for load in told.loads for piece in load.parts)
    want = Counter(
        (part.name, k + 1) for part in shop.parts.values() for k in range(part.count) if part.name not in out
    )
    return placed == want and all(shop.parts[each.part].count == each.count for each in told.left_out)


def _not_sooner(train: Train, fitting: Fitting, told: DayAnswer) -> bool:
    """Tell whether the solver proves again that these loads are not all done before the time told."""
    if told.at_least_s > told.finish_s:
        return False
    hung, crew = Hung(fitting), train.crew
    stays = [
        stays_of(train, hung, tuple(train.shop.parts[name] for name, _ in load.parts)) for load in told.loads
    ]
    if not all(stay.choices for load in stays for stay in load):
        return False
    hands = Hands(crew.people, crew.people_per_load, whole_s(crew.transfer_s))
    return told.at_least_s <= timetable(stays, train.capacity, hands).at_least_s


def _known(shop: Shop, told: DayAnswer) -> None:
    cure = "give the shop file it is of"
    named = {name for load in told.loads for name, _ in load.parts} | {each.part for each in told.left_out}
    named |= {row.part for load in told.loads for lot in load.lots for row in lot.parts}
    for name in named:
        if name not in shop.parts:
            raise Refused(f"there is no part {name} in this shop", cure)
    for load in told.loads:
        if not load.parts or len(load.visits) != len(shop.steps):
            raise Refused("a load does not have the steps of this shop", cure)
        for lot in load.lots:
            if lot.tank not in shop.tanks:
                raise Refused(f"there is no tank {lot.tank} in this shop", cure)
