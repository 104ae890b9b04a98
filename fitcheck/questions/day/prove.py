"""Is a timetable right? Checked from the shop and the times alone, by code that does not make timetables.

The loads in their tanks are checked by exact distance. That no timetable of these loads is done sooner, and
what each load takes of a rack, is worked out again by the code that found it (`again.py`).
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Sequence

from fitcheck.proving.known import known_thing
from fitcheck.questions.day.answer import DayAnswer, DayLoad, Visit
from fitcheck.questions.lot.prove import lot_checks, summed
from fitcheck.things.crew import Crew
from fitcheck.things.proved import Check, Proved
from fitcheck.things.rack import RackPlaces
from fitcheck.things.shop import Shop
from fitcheck.things.step import Step
from fitcheck.things.work import Train, whole_s
from fitcheck.words.errors import Refused

# A time, and how many start or stop then.
Change = tuple[int, int]


def prove(answer: DayAnswer, shop: Shop) -> Proved:
    """Tell what is so and what not of a day.

    Raises `Refused` for parts, tanks or steps that are not those of the shop.
    """
    train = Train.of(shop)
    _known(shop, answer)
    follows = DayAnswer.of(answer.crew, answer.loads, answer.at_least_s, answer.left_out)
    ends = (answer.finish_s, answer.verdict) == (follows.finish_s, follows.verdict)
    checks = [
        Check("the day is that of the shop", answer.crew == train.crew),
        Check("it ends as told", ends),
        Check("every piece is in one load, or is listed", _counts(shop, answer)),
        *times_hold(shop.steps, train.crew, answer.loads),
        Check("no tank has two loads at once", _one_at_a_time(shop.steps, answer.loads)),
        Check("what is on the racks at once has its places there", _racks_hold(train, answer.loads)),
        Check("the bound is not over the end", answer.at_least_s <= answer.finish_s),
    ]
    for k, load in enumerate(answer.loads):
        checks += _hangs(shop, k, load)
    count = len(answer.loads)
    return Proved(f"a day of {count} load{'' if count == 1 else 's'}", answer.verdict, tuple(checks))


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


def _racks_hold(train: Train, loads: Sequence[DayLoad]) -> bool:
    """Tell whether each place of the racks holds, at each time, all that is said to be taken of it."""
    changes: dict[str, list[Change]] = {}
    most: dict[str, int] = {}
    for load in loads:
        for step, visit in zip(train.steps, load.visits, strict=False):
            if step.rack is None:
                continue
            places = RackPlaces(train.shop.racks[step.rack])
            most.update(zip(places.names, places.capacity, strict=True))
            taken = visit.taken_um if train.is_on_rails(step) else (1,)
            if not _are_places(places, visit.places) or len(taken) != len(visit.places) or min(taken) <= 0:
                return False
            for name, amount in zip(visit.places, taken, strict=True):
                changes.setdefault(name, []).extend([(visit.enter_s, amount), (visit.free_s, -amount)])
    return all(_most(each) <= most[name] for name, each in changes.items())


def _are_places(places: RackPlaces, told: tuple[str, ...]) -> bool:
    """Tell whether a load is said to be in one of the places of a rack, or in all of them."""
    return told == places.names or (len(told) == 1 and told[0] in places.names)


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
    return summed(name, checks)


def _counts(shop: Shop, told: DayAnswer) -> bool:
    out = {each.part for each in told.left_out}
    placed = Counter(piece for load in told.loads for piece in load.parts)
    want = Counter(
        (part.name, k + 1) for part in shop.parts.values() for k in range(part.count) if part.name not in out
    )
    return placed == want and all(shop.parts[each.part].count == each.count for each in told.left_out)


def _known(shop: Shop, told: DayAnswer) -> None:
    named = {name for load in told.loads for name, _ in load.parts} | {each.part for each in told.left_out}
    named |= {row.part for load in told.loads for lot in load.lots for row in lot.parts}
    for name in named:
        known_thing(shop.parts, name, "part")
    for load in told.loads:
        if not load.parts or len(load.visits) != len(shop.steps):
            raise Refused("a load does not have the steps of this shop", "give the shop file it is of")
        for lot in load.lots:
            known_thing(shop.tanks, lot.tank, "tank")
