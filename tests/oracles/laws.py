"""Questions about random shops, and laws that every answer keeps, whatever it is."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from oracles import kit_laws
from strategies.drawn_shops import UNITS, Drawn, drawn

from fitcheck.geometry.liquid.held_pockets import held_at
from fitcheck.questions.dip.answer import DipAnswer, DoesNotFit, Fits, MeasureAgain
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.fill.ask import fill
from fitcheck.questions.hang.ask import hang
from fitcheck.questions.lot.answer import LotAnswer
from fitcheck.questions.lot.ask import lot
from fitcheck.questions.measure.ask import measure
from fitcheck.questions.register import from_dict, prove, to_dict
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused

# Twice what the search forgives of a clearance, and sums of metres in double precision.
FORGIVEN_MM = 1e-5


def moved(part: Part, shift: np.ndarray) -> Part:
    """Return the part with the origin of its drawing elsewhere."""
    solid, skin = (one.moved(np.eye(3), shift) for one in (part.solid, part.skin))
    return replace(
        part, solid=solid, skin=skin, centre_mm=part.centre_mm + shift, picks_mm=part.picks_mm + shift
    )


def agree(one: DipAnswer, other: DipAnswer) -> None:
    """Assert that two answers to one question do not contradict each other."""
    assert one.spare.mm <= other.spare.at_most_mm + FORGIVEN_MM
    assert other.spare.mm <= one.spare.at_most_mm + FORGIVEN_MM
    assert {one.verdict, other.verdict} != {"fits", "does not fit"}


def written_down(answer: DipAnswer, part: Part, tank: Tank, rng: np.random.Generator) -> None:
    """Assert that an answer holds when it is read back from JSON, and that a forged one does not."""
    data = json.loads(json.dumps(to_dict(answer)))
    proved = prove(data, Shop.of(part, tank))
    assert proved.holds, [check.what for check in proved.checks if not check.holds]
    if isinstance(answer, DoesNotFit) and answer.proof.middle_mm is None and len(answer.proof.middle_rad) > 1:
        gone = int(rng.integers(len(answer.proof.middle_rad)))
        for key in ("middle_rad", "half_rad"):
            del data["proof"][key][gone]
    else:
        data["spare_mm"] += 1.0
    assert not prove(data, Shop.of(part, tank)).holds


def hangs(case: Drawn, rng: np.random.Generator) -> str:
    """Hang it: the legs carry its weight and no more, and the unit of the file does not matter."""
    shop, angles = case.read("mm"), Angles(float(rng.uniform(-0.6, 0.6)))
    part, tank = shop.parts["P"], shop.tanks["T"]
    try:
        answer = hang(part, tank, angles)
    except Refused as fault:
        assert fault.cure
        return "refused"
    other = case.read("ft-in")
    again = hang(other.parts["P"], other.tanks["T"], angles)
    assert again.verdict == answer.verdict
    assert math.isclose(again.dry_n, answer.dry_n, rel_tol=1e-6)
    for one, same in zip(answer.legs, again.legs, strict=True):
        assert math.isclose(one.tension_n, same.tension_n, rel_tol=1e-5, abs_tol=1e-3)
    carried = sum(leg.tension_n * math.sin(leg.angle_rad) for leg in answer.legs)
    assert math.isclose(carried, answer.dry_n, rel_tol=1e-6) or not answer.legs
    return answer.verdict


def loads(case: Drawn, rng: np.random.Generator) -> str:
    """Share out loads: they hold by other code, no part is left over, and the bound is not above them."""
    shop = case.read("mm")
    answer = lot(shop)
    data = json.loads(json.dumps(to_dict(answer)))
    proved = prove(data, shop)
    assert proved.holds, [check.what for check in proved.checks if not check.holds]
    told = from_dict(data, shop)
    assert isinstance(told, LotAnswer)
    placed = sum(len(load.parts) for load in told.lots) + sum(each.count for each in told.left_out)
    assert placed == sum(part.count for part in shop.parts.values()) * len(answer.works)
    assert answer.at_least_lots <= len(answer.lots)
    return "none left" if not told.left_out else "some left out"


def dips(case: Drawn, rng: np.random.Generator) -> str:
    """Units and the place of the drawing do not matter, more room is never worse, what is said is proved."""
    shop = case.read("mm")
    part, tank = shop.parts["P"], shop.tanks["T"]
    answer = dip(part, tank, with_cures=False)
    written_down(answer, part, tank, rng)
    law = int(rng.integers(3))
    if law == 0:
        other = case.read("ft-in")
        agree(answer, dip(other.parts["P"], other.tanks["T"], with_cures=False))
    elif law == 1:
        agree(answer, dip(moved(part, rng.uniform(-3000.0, 3000.0, 3)), tank, with_cures=False))
    else:
        roomier = dip(part, case.roomier(rng.integers(0, 64, 3).tolist()).read().tanks["T"], with_cures=False)
        assert roomier.spare.at_most_mm >= answer.spare.mm - FORGIVEN_MM
        assert not (isinstance(answer, Fits) and isinstance(roomier, DoesNotFit))
    if isinstance(answer, Fits | MeasureAgain):
        levels = answer.advice.fill
        assert min(levels.level_mm, levels.liquid_l, levels.level_before_mm, levels.overflow_l) >= 0.0
        assert levels.level_before_mm <= levels.level_mm + FORGIVEN_MM
    return answer.verdict


def fills(case: Drawn, rng: np.random.Generator) -> str:
    """Ask for a level and for litres: one undoes the other, and more stands higher."""
    tank, inches = case.read("mm").tanks["T"], case.read("in").tanks["T"]
    low, high = sorted(rng.uniform(0.0, tank.depth_mm, 2).tolist())
    below, above = (fill(tank, level)[0].liquid_l for level in (low, high))
    assert 0.0 <= below <= above <= math.prod(tank.size_mm) / 1e6 * (1.0 + 1e-9)
    assert math.isclose(fill(inches, low)[0].liquid_l, below, rel_tol=1e-9, abs_tol=1e-9)
    again = fill(tank, fill(tank, liquid_l=above)[0].level_mm)[0].liquid_l
    assert math.isclose(again, above, rel_tol=1e-9, abs_tol=1e-9)
    return "told"


def pockets(case: Drawn, rng: np.random.Generator) -> str:
    """Air one way up is liquid the other way up; neither swing nor the place of the drawing matters."""
    part = case.read("mm").parts["P"]
    rotation = rotation_from(Angles(*rng.uniform(-1.5, 1.5, 2).tolist()))
    held, over = held_at(part, rotation), held_at(part, np.diag([1.0, -1.0, -1.0]) @ rotation)
    swung = rotation_from(Angles(swing_rad=float(rng.uniform(-3.0, 3.0)))) @ rotation
    same = held_at(moved(part, rng.uniform(-3000.0, 3000.0, 3)), swung)
    off = 2.0 * (held.air_error_l + over.carry_out_error_l + same.air_error_l) + 1e-6
    assert 0.0 <= held.air_l <= math.prod(part.size_mm) / 1e6
    assert abs(held.air_l - over.carry_out_l) <= off
    assert abs(held.air_l - same.air_l) <= off
    return "some" if held.air_l > 0.0 else "none"


def measures(case: Drawn, rng: np.random.Generator) -> str:
    """Neither the unit nor the place of the drawing changes a part's size, volume, surface or mass."""
    part = case.read("mm").parts["P"]
    one = measure(part)
    assert min(one.volume_l, one.mass_kg, one.area_m2) > 0.0 <= one.sealed_l
    others = case.read("ft-in").parts["P"], moved(part, rng.uniform(-3000.0, 3000.0, 3))
    for other in map(measure, others):
        assert np.allclose(other.size_mm, one.size_mm, rtol=1e-9, atol=0.0)
        assert math.isclose(other.volume_l, one.volume_l, rel_tol=1e-7)
        assert math.isclose(other.area_m2, one.area_m2, rel_tol=1e-7)
        assert math.isclose(other.mass_kg, one.mass_kg, rel_tol=1e-7)
    return "told"


QUESTIONS: dict[str, Callable[[Drawn, np.random.Generator], str]] = {
    "dip": dips,
    "fill": fills,
    "pocket": pockets,
    "measure": measures,
    "hang": hangs,
    "lot": loads,
    "pass": kit_laws.in_passes,
    "block": kit_laws.blocks,
    "mix": kit_laws.bath,
    "ladder": kit_laws.rungs,
    "tank-for": kit_laws.new_tanks,
}


# How often each is asked: those that take long less often.
_OFTEN = (
    "dip",
    "fill",
    "pocket",
    "measure",
    "dip",
    "hang",
    "pocket",
    "dip",
    "fill",
    "hang",
    "measure",
    "lot",
)
ASKED = (*_OFTEN, "mix", "block", "pass", *_OFTEN, "ladder", "tank-for")


def ask(seed: int, name: str | None = None) -> tuple[str, str]:
    """Ask one random question, or that of a name, assert its laws, and return it and what came back."""
    rng = np.random.default_rng([seed, len(UNITS)])
    name = name or ASKED[seed % len(ASKED)]
    return name, QUESTIONS[name](drawn(seed), rng)
