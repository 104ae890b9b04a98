"""Many frames of bars carried round corners past posts: each way looked at again, and more room never too little.

What has no way, and what no way has more of, is shown again by boxes. Some ten minutes of one core.
"""

from __future__ import annotations

import math
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from strategies.corridors import ell_in_a_hall
from strategies.solids import box, joined, part_of

from fitcheck.questions.carry.ask import carry
from fitcheck.questions.carry.prove import prove
from fitcheck.things.part import Part
from fitcheck.things.room import Ring
from fitcheck.things.route import Route, Stand
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused


def frame(rng: np.random.Generator) -> Part:
    """Return an L, a U or an H of bars."""
    long, wide, bar = rng.uniform(900.0, 1800.0), rng.uniform(300.0, 900.0), rng.uniform(20.0, 120.0)
    kind = rng.integers(3)
    cross = (0.0, 0.0, long / 2.0 - bar / 2.0)[kind]
    legs = [box((bar, wide, 50.0), (cross, bar, 0.0)), box((long, bar, 50.0), (0.0, 0.0, 0.0))]
    if kind == 1:
        legs.append(box((bar, wide, 50.0), (long - bar, bar, 0.0)))
    if kind == 2:
        legs.append(box((long, bar, 50.0), (0.0, bar + wide, 0.0)))
    return part_of(joined(*legs))


def corner(rng: np.random.Generator) -> Route:
    """Return a corner with a post in it, and any swing at both ends."""
    a, b, far = rng.uniform(700.0, 1500.0), rng.uniform(700.0, 1500.0), 4200.0
    floor = ((0.0, 0.0), (far, 0.0), (far, b), (a, b), (a, far), (0.0, far))
    x, y, side = rng.uniform(0.0, a), rng.uniform(b, 2400.0), rng.uniform(20.0, 200.0)
    post: Ring = ((x, y), (x + side, y), (x + side, y + side), (x, y + side))
    ends = Stand((a / 2.0, far - 1000.0)), Stand((far - 1000.0, b / 2.0))
    return Route("corner", floor, *ends, posts=(post,), clearance_mm=float(rng.uniform(0.0, 20.0)))


def yard(part: Part, route: Route) -> Shop:
    return Shop("yard", parts={part.name: part}, routes={route.name: route})


@pytest.mark.parametrize("seed", range(60))
def test_ways_hold_and_more_room_is_never_too_little(seed: int) -> None:
    rng = np.random.default_rng(seed)
    part, route = frame(rng), corner(rng)
    try:
        answer = carry(part, route)
    except Refused:
        return
    again = prove(answer, yard(part, route))
    assert again.holds, [check.what for check in again.checks if not check.holds]
    if answer.verdict == "does not fit":
        assert not again.not_checked
    if answer.verdict == "fits":
        assert carry(part, replace(route, posts=())).verdict == "fits"
        spare = answer.width_spare_mm or 0.0
        at_most = answer.width_spare_at_most_mm if answer.width_spare_at_most_mm is not None else math.inf
        assert spare <= at_most
    elif answer.verdict == "does not fit":
        more = replace(route, clearance_mm=route.clearance_mm + 10.0)
        try:
            assert carry(part, more).verdict == "does not fit"
        except Refused:
            return


def test_an_l_that_lets_no_bar_through_is_shown_to_have_no_way() -> None:
    """A post leaves 95 and 90 mm beside it, the bars are 100 mm."""
    ell, route = ell_in_a_hall(95.0, 810.0)
    again = prove(carry(ell, route), yard(ell, route))
    assert again.holds
    assert not again.not_checked
