"""What is done to the parts of a shop: work that takes loads, and the train of steps of a day."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fitcheck.things.crew import Crew
from fitcheck.things.rack import RackPlaces, RailRack
from fitcheck.things.shop import Shop
from fitcheck.things.step import Step
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import show_time


@dataclass(frozen=True, slots=True, eq=False)
class AskedWork:
    """One thing done to the parts, the tanks that may do it, and the shop's steps that it is."""

    name: str
    tanks: tuple[Tank, ...]
    steps: tuple[str, ...] = ()


def works_of(shop: Shop, tank: str | None) -> tuple[AskedWork, ...]:
    """Return what is done: in one tank, or each step of the shop, or each liquid where it has no steps.

    Raises `Refused` for a shop without tanks, and for a tank that it does not have.
    """
    if not shop.tanks:
        raise Refused("there is no tank in this shop", "add a [tanks.NAME] with its inside")
    if tank is not None:
        if tank not in shop.tanks:
            raise Refused(f"there is no tank {tank} in this shop", f"name one of {', '.join(shop.tanks)}")
        return (AskedWork(tank, (shop.tanks[tank],)),)
    if any(step.tanks for step in shop.steps):
        # Steps in the same tanks have the same loads.
        places = dict.fromkeys(step.tanks for step in shop.steps if step.tanks)
        named = {place: tuple(s.name for s in shop.steps if s.tanks == place) for place in places}
        return tuple(
            AskedWork(" and ".join(names), tuple(shop.tanks[name] for name in place), names)
            for place, names in named.items()
        )
    liquids = dict.fromkeys(each.liquid.name for each in shop.tanks.values())
    return tuple(
        AskedWork(liquid, tuple(each for each in shop.tanks.values() if each.liquid.name == liquid))
        for liquid in liquids
    )


def work_named(shop: Shop, name: str) -> AskedWork:
    """Return the work of that name: a step, a liquid or a tank; raises `Refused` where the shop has none."""
    for work in works_of(shop, None):
        if work.name == name:
            return work
    if name not in shop.tanks:
        raise Refused(f"there is no step, liquid or tank {name} in this shop", "give the shop file it is of")
    return works_of(shop, name)[0]


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

    def is_on_rails(self, step: Step) -> bool:
        """Tell whether a step is done on rails."""
        return step.rack is not None and isinstance(self.shop.racks[step.rack], RailRack)

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


def whole_s(seconds: float) -> int:
    """Return a time in whole seconds, rounded up: no one counts finer."""
    return math.ceil(seconds)
