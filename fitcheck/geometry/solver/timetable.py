"""Timetable of loads in which the last is done as early as can be, by OR-Tools CP-SAT.

A load goes through its stays one after the other. Places hold a limited amount at a time, people carry and
hold what drips, and a load is not out of the liquid longer than it may be.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Any

from fitcheck.geometry.solver.cp_sat import new_model, solved

# Effort after which the best timetable is told with the bound that is proven by then.
_EFFORT = 20.0
# The solver's bound is a whole number, told as a float.
_WHOLE = 1e-6


@dataclass(frozen=True, slots=True)
class Stay:
    """One stay of a load, which holds its places for dwell_s and drip_s.

    choices: each is places, by their numbers, with what the stay takes of them; one of these is chosen.

    away_at_most_s: from being lifted out until it goes in at the next stay; None: as long as it takes.
    """

    choices: tuple[tuple[tuple[int, int], ...], ...]
    dwell_s: int
    drip_s: int = 0
    away_at_most_s: int | None = None


@dataclass(frozen=True, slots=True)
class Hands:
    """People, how many of them a load takes while it is carried or drips, and how long carrying takes."""

    people: int
    each: int
    transfer_s: int


@dataclass(frozen=True, slots=True)
class Timetable:
    """When each load enters each stay, by which choice; end_s: the last is done; at_least_s: proven."""

    enter_s: tuple[tuple[int, ...], ...]
    choice: tuple[tuple[int, ...], ...]
    end_s: int
    at_least_s: int


def timetable(loads: Sequence[Sequence[Stay]], capacity: Sequence[int], hands: Hands) -> Timetable:
    """Return the timetable that is done first, of those found, and when one is done at the earliest.

    capacity: of each place. One load after the other is always a timetable, so that there is one to tell.
    Every stay must leave time for dripping and carrying, every choice be within its places.
    """
    if not loads:
        return Timetable((), (), 0, 0)
    unit = _unit(loads, hands)
    model, late = new_model(), _in_turn(loads, hands)
    horizon = late[-1][-1] + loads[-1][-1].dwell_s + loads[-1][-1].drip_s
    shop = _Shop(model, capacity, unit, horizon // unit)
    end = model.new_int_var(0, horizon // unit, "")
    asked = [shop.load(stays, hands, end, first) for stays, first in zip(loads, late, strict=True)]
    shop.close(hands)
    for k in range(1, len(loads)):
        if loads[k - 1] == loads[k]:
            # Loads alike go in their order: the solver need not try them in all others.
            model.add(asked[k - 1][0][0] <= asked[k][0][0])
    model.minimize(end)
    result = solved(model, _EFFORT)
    if result.status != "found":
        raise RuntimeError(f"the solver ends with {result.status_name} where one load after the other does")
    enter = tuple(tuple(result.value(at) * unit for at, _ in load) for load in asked)
    chosen = tuple(
        tuple(next(k for k, it in enumerate(picks) if result.is_on(it)) for _, picks in load)
        for load in asked
    )
    at_least = math.ceil(result.bound - _WHOLE) * unit
    return Timetable(enter, chosen, result.value(end) * unit, at_least)


class _Shop:
    """The places and people of a model, and all that is to happen there; times in units."""

    def __init__(self, model: Any, capacity: Sequence[int], unit: int, horizon: int) -> None:
        self.model, self.unit, self.horizon = model, unit, horizon
        self.capacity = capacity
        self.held: list[list[tuple[Any, int]]] = [[] for _ in capacity]
        self.hands: list[Any] = []

    def load(
        self, stays: Sequence[Stay], hands: Hands, end: Any, first_s: Sequence[int]
    ) -> list[tuple[Any, list[Any]]]:
        """Add one load; return when it enters each of its stays, and by which choice."""
        model, found = self.model, []
        carry = hands.transfer_s // self.unit
        earliest: Any = 0
        latest: Any = None
        for stay, hint in zip(stays, first_s, strict=True):
            enter = model.new_int_var(0, self.horizon, "")
            model.add_hint(enter, hint // self.unit)
            model.add(enter >= earliest + carry)
            if latest is not None:
                model.add(enter <= latest)
            dwell, drip = stay.dwell_s // self.unit, stay.drip_s // self.unit
            picks = [model.new_bool_var("") for _ in stay.choices]
            model.add_exactly_one(picks)
            for pick, uses in zip(picks, stay.choices, strict=True):
                span = model.new_optional_fixed_size_interval_var(enter, dwell + drip, pick, "")
                for place, amount in uses:
                    self.held[place].append((span, amount))
            self._hold(enter - carry, carry)
            self._hold(enter + dwell, drip)
            earliest = enter + dwell + drip
            away = stay.away_at_most_s
            latest = None if away is None else enter + dwell + away // self.unit
            found.append((enter, picks))
        model.add(end >= earliest)
        return found

    def close(self, hands: Hands) -> None:
        """Add what places hold at most, and how many people there are."""
        for capacity, held in zip(self.capacity, self.held, strict=True):
            if capacity == 1:
                self.model.add_no_overlap([span for span, _ in held])
            else:
                self.model.add_cumulative([s for s, _ in held], [amount for _, amount in held], capacity)
        self.model.add_cumulative(self.hands, [hands.each] * len(self.hands), hands.people)

    def _hold(self, start: Any, long: int) -> None:
        if long:
            self.hands.append(self.model.new_fixed_size_interval_var(start, long, ""))


def _unit(loads: Sequence[Sequence[Stay]], hands: Hands) -> int:
    """Return the longest time of which all times are whole multiples: some best timetable is in such steps.

    Once it is settled what goes first, only differences of times are bounded, each by a whole multiple.
    """
    times = [hands.transfer_s]
    for stays in loads:
        for stay in stays:
            times += [stay.dwell_s, stay.drip_s, stay.away_at_most_s or 0]
    return reduce(math.gcd, times) or 1


def _in_turn(loads: Sequence[Sequence[Stay]], hands: Hands) -> list[list[int]]:
    """Return when each load enters each stay where one goes after the other and none waits."""
    found, clock = [], 0
    for stays in loads:
        mine = []
        for stay in stays:
            clock += hands.transfer_s
            mine.append(clock)
            clock += stay.dwell_s + stay.drip_s
        found.append(mine)
    return found
