"""A cure that is carried out makes the part fit; half of it does not."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from oracles.referee import least_for, sampled, turned
from strategies.drawn_cases import drawn
from strategies.solids import box, hulled, part_of, tank_of

from fitcheck.questions.dip.answer import Cure, DoesNotFit, Fits
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.dip.cures import CURE_BUDGET
from fitcheck.things.part import Attitude, Part
from fitcheck.things.tank import Rules, Tank
from fitcheck.words.units import MM_PER_INCH

SIXTEENTH_MM = MM_PER_INCH / 16.0
RULES = Rules(side_clearance_mm=20.0, bottom_clearance_mm=30.0, cover_mm=50.0, freeboard_mm=80.0)
ALONG = {"length": 0, "width": 1, "depth": 2}
PARTS = [
    (1100.0, 150.0, 100.0),
    (900.0, 520.0, 40.0),
    (400.0, 400.0, 350.0),
    (1040.0, 560.0, 20.0),
    (600.0, 465.0, 325.0),
]


def cured(tank: Tank, cure: Cure, by_mm: float) -> Tank:
    """Return the box tank built anew with that one thing changed."""
    rules, size = tank.rules, np.array(tank.size_mm)
    if cure.what in ALONG:
        size[ALONG[cure.what]] += by_mm
    else:
        key = f"{cure.what}_mm"
        rules = replace(rules, **{key: max(getattr(rules, key) - by_mm, 0.0)})
    return tank_of(box(size), rules)


def rounded_up(mm: float) -> float:
    return math.ceil(mm / SIXTEENTH_MM) * SIXTEENTH_MM


def cures_of(part: Part, tank: Tank) -> tuple[Cure, ...]:
    answer = dip(part, tank)
    assert isinstance(answer, DoesNotFit)
    return answer.cures


@pytest.mark.parametrize("size", PARTS)
@pytest.mark.parametrize("tape_mm", [0.0, 3.0])
def test_the_whole_cure_helps_and_half_does_not(size: tuple[float, float, float], tape_mm: float) -> None:
    part = replace(part_of(box(size)), tape_mm=tape_mm)
    tank = tank_of(box((1000.0, 500.0, 450.0)), replace(RULES, tape_tank_mm=tape_mm))
    found = cures_of(part, tank)
    assert found
    for cure in found:
        assert cure.by_mm > 0.0
        assert isinstance(dip(part, cured(tank, cure, rounded_up(cure.by_mm)), with_cures=False), Fits), cure
        if cure.by_mm > 2.0 * CURE_BUDGET.gap_mm / (1.0 - CURE_BUDGET.gap_share):
            half = dip(part, cured(tank, cure, cure.by_mm / 2.0), with_cures=False)
            assert not isinstance(half, Fits), f"half of {cure} is enough"


def test_a_cure_is_the_least_within_what_it_is_searched_to() -> None:
    """Nine tenths of it never do."""
    part, tank = part_of(box(PARTS[0])), tank_of(box((1000.0, 500.0, 450.0)), RULES)
    for cure in cures_of(part, tank):
        less = cure.by_mm * (1.0 - CURE_BUDGET.gap_share) - CURE_BUDGET.gap_mm - 1e-6
        assert less > 0.5 * cure.by_mm
        assert isinstance(dip(part, cured(tank, cure, less), with_cures=False), DoesNotFit), cure


def test_each_kind_where_it_is_one_sum() -> None:
    """A cube of 500 mm, held as drawn, in 1000 x 480 x 800 less its clearances: only width, and 60 mm of it."""
    held = replace(part_of(box((500.0, 500.0, 500.0))), attitude=Attitude(0.0, 0.0, 0.0))
    found = {cure.what: cure.by_mm for cure in cures_of(held, tank_of(box((1000.0, 480.0, 800.0)), RULES))}
    assert found == {"width": pytest.approx(60.0, abs=0.3)}
    found = {cure.what: cure.by_mm for cure in cures_of(held, tank_of(box((1000.0, 800.0, 610.0)), RULES))}
    assert found == {
        "depth": pytest.approx(50.0, abs=0.3),
        "freeboard": pytest.approx(50.0, abs=0.3),
        "cover": pytest.approx(50.0, abs=0.3),
    }
    found = {cure.what: cure.by_mm for cure in cures_of(held, tank_of(box((530.0, 530.0, 800.0)), RULES))}
    assert found == {"side_clearance": pytest.approx(5.0, abs=0.3)}


def test_tapes_are_taken_into_the_cure() -> None:
    held = replace(part_of(box((500.0, 500.0, 500.0))), attitude=Attitude(0.0, 0.0, 0.0), tape_mm=4.0)
    tank = tank_of(box((1000.0, 480.0, 800.0)), replace(RULES, tape_tank_mm=6.0))
    # Five mm at either wall.
    assert [cure.by_mm for cure in cures_of(held, tank)] == [pytest.approx(70.0, abs=0.3)]


def test_no_more_is_given_up_than_there_is() -> None:
    """A freeboard of 80 mm cannot be cut by more, and a side clearance of 20 mm neither."""
    part = part_of(box((400.0, 400.0, 420.0)))
    for cure in cures_of(part, tank_of(box((1000.0, 450.0, 350.0)), RULES)):
        assert cure.by_mm <= {"freeboard": 80.0, "cover": 50.0, "side_clearance": 20.0}.get(
            cure.what, math.inf
        )


@pytest.mark.parametrize("seed", [2, 5, 12, 14])
def test_in_tanks_with_sloping_walls_no_random_turn_needs_less(seed: int) -> None:
    """Lengthened in the middle, each wall gives way by the share of its direction that looks along."""
    case = drawn(seed)
    part = replace(case.part, solid=hulled(case.part.solid.vertices_mm * 1.5))
    rng, points = np.random.default_rng(seed), part.solid.vertices_mm
    angles = sampled(rng, case.low, case.high, 2000)
    found = cures_of(part, case.tank)
    assert found
    for cure in found:
        if cure.what in ALONG:
            gives = np.maximum(case.room.normals[:, ALONG[cure.what]], 0.0)
            need = least_for(gives, case.room, points, turned(angles)).min()
            assert need >= cure.by_mm * (1.0 - CURE_BUDGET.gap_share) - CURE_BUDGET.gap_mm
