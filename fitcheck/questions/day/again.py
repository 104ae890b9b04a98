"""Is no day sooner, and does each load go on its rack? Worked out again by the code that found it."""

from __future__ import annotations

from fitcheck.geometry.solver.timetable import Hands, timetable
from fitcheck.questions.day.answer import DayAnswer, DayLoad
from fitcheck.questions.day.ask import Hung, shut_out, stays_of
from fitcheck.questions.day.rack_places import choices_on
from fitcheck.questions.lot.ways import Fitting
from fitcheck.things.proved import Check
from fitcheck.things.shop import Shop
from fitcheck.things.work import Train, whole_s


def again(answer: DayAnswer, shop: Shop) -> tuple[Check, ...]:
    """Return whether the bound, what is left out and what loads take of racks come out again.

    Raises `Refused` where no timetable can be made for the shop.
    """
    train, fitting = Train.of(shop), Fitting.of(shop)
    out = {(each.part, each.work, each.verdict) for each in shut_out(train, fitting)}
    by_same = "worked out again by the same code"
    stay = {(each.part, each.work, each.verdict) for each in answer.left_out} == out
    racks = all(_goes_on(train, load) for load in answer.loads)
    return (
        Check(f"what is listed goes into no place of that step, and all else does, {by_same}", stay),
        Check(f"each load goes on its racks, and takes so much of the racks, {by_same}", racks),
        Check(f"they are not done sooner, {by_same}", _not_sooner(train, fitting, answer)),
    )


def _goes_on(train: Train, load: DayLoad) -> bool:
    """Tell whether a load may go where it is said to on the racks, and takes what is told there."""
    group = [train.shop.parts[name] for name, _ in load.parts]
    for step, visit in zip(train.steps, load.visits, strict=True):
        if step.rack is not None:
            amounts = visit.taken_um if train.is_on_rails(step) else (1,)
            if len(amounts) != len(visit.places):
                return False
            told = tuple(zip(visit.places, amounts, strict=True))
            if told not in choices_on(train.shop.racks[step.rack], group, train.shop.rules):
                return False
    return True


def _not_sooner(train: Train, fitting: Fitting, told: DayAnswer) -> bool:
    """Tell whether the solver proves again that these loads are not all done before the time told."""
    hung, crew = Hung(fitting), train.crew
    stays = [
        stays_of(train, hung, tuple(train.shop.parts[name] for name, _ in load.parts)) for load in told.loads
    ]
    if not all(stay.choices for load in stays for stay in load):
        return False
    hands = Hands(crew.people, crew.people_per_load, whole_s(crew.transfer_s))
    return told.at_least_s <= timetable(stays, train.capacity, hands).at_least_s
