"""Is a dip answer right? What can be looked at again from the inputs is, without searching."""

from __future__ import annotations

from dataclasses import fields

import numpy as np

from fitcheck.geometry.liquid.fill_level import covering_level_mm, fill_at
from fitcheck.geometry.liquid.pockets import UPSIDE_DOWN, Vessel
from fitcheck.geometry.mesh.hole_caps import NARROW_MM, holes_capped
from fitcheck.geometry.mesh.measure import volume_mm3
from fitcheck.proving.exact_gaps import Recheck, recheck
from fitcheck.proving.infeasible_rotations import most_room_mm, recheck_infeasible
from fitcheck.proving.insertion import way_is_clear
from fitcheck.proving.known import known_thing
from fitcheck.proving.same import SAME_MM, SAME_SHARE, same
from fitcheck.questions.dip.answer import Advice, DipAnswer, DoesNotFit, Fits, LeastLevel, MeasureAgain
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.proved import Check, Proved
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM3_PER_LITRE, STANDARD_GRAVITY_M_S2

# What the search forgives, twice over: a pose may be out of a clearance by so much.
FORGIVEN_MM = 2e-6


def prove(answer: DipAnswer, shop: Shop) -> Proved:
    """Tell whether a dip answer is right for this shop; raises `Refused` where it is about another."""
    part = known_thing(shop.parts, answer.part, "part")
    return prove_dip(answer, part, known_thing(shop.tanks, answer.tank, "tank"))


def prove_dip(answer: DipAnswer, part: Part, tank: Tank) -> Proved:
    """Tell whether a dip answer is right for this part and tank.

    "fits" and "measure again": their poses by exact distance, the tape rule, the levels, the liquid, what is
    caught. "does not fit": every cell of its proof. That a bound is the best there is, and that none of the
    cures is too large, is not looked at; "not found" claims nothing but its numbers.
    """
    checks = [
        Check("it is about this part and this tank", (answer.part, answer.tank) == (part.name, tank.name)),
        Check("its spares and the tapes agree", _spares_agree(answer, part, tank)),
    ]
    if isinstance(answer, DoesNotFit):
        checks += _no_checks(answer, part, tank)
    if isinstance(answer, Fits):
        checks += _roomiest_checks(answer, part, tank)
        checks.append(Check("the tape rule says fits", answer.spare.low_mm >= -FORGIVEN_MM))
        if answer.way_in is not None:
            clear = way_is_clear(part, tank, answer.way_in, answer.advice.pose)
            checks.append(Check("the way in is clear, and ends where it hangs", clear))
    if isinstance(answer, MeasureAgain):
        within = answer.spare.low_mm < 0.0 <= answer.spare.high_mm
        checks.append(Check("the tape rule says measure again", within))
    if isinstance(answer, Fits | MeasureAgain):
        checks += _advice_checks(answer.advice, part, tank, answer.spare.mm)
        if answer.least is not None:
            checks += _least_checks(answer.least, part, tank)
    return Proved(f"{part.name} in {tank.name}", answer.verdict, tuple(checks))


def _spares_agree(answer: DipAnswer, part: Part, tank: Tank) -> bool:
    spare, rules = answer.spare, tank.rules
    tape_part = rules.tape_part_mm if part.tape_mm is None else part.tape_mm
    tape = (tape_part + rules.tape_tank_mm) / 2.0 + part.chord_mm + tank.chord_mm
    low = same(spare.low_mm, spare.mm - tape)
    high = same(spare.high_mm, spare.at_most_mm + tape)
    return low and high and spare.mm <= spare.at_most_mm + FORGIVEN_MM


def _no_checks(answer: DoesNotFit, part: Part, tank: Tank) -> list[Check]:
    found = recheck_infeasible(part, tank, answer.proof)
    on_end = answer.proof.on_end
    cells = len(answer.proof.middle_rad) + (len(on_end.middle_rad) if on_end else 0)
    return [
        Check("the bound is under nothing, tapes included", answer.spare.high_mm < 0.0),
        Check(f"its {cells} cells cover every rotation that is allowed", found.covers),
        Check(f"in none of them is there room ({found.cells} looked at, cut finer)", found.refused),
    ]


def _roomiest_checks(answer: Fits, part: Part, tank: Tank) -> list[Check]:
    says = "its roomiest pose has the room that it says, by exact distance"
    return [Check(says, _has_room(part, tank, answer.roomiest, answer.spare.mm))]


def _advice_checks(advice: Advice, part: Part, tank: Tank, most_mm: float) -> list[Check]:
    says = "the pose advised has the room that it says, by exact distance"
    return [
        Check(says, _has_room(part, tank, advice.pose, advice.spare_mm)),
        Check("no pose has more room than the roomiest", advice.spare_mm <= most_mm + SAME_MM),
        *_liquid_checks(advice, part, tank),
    ]


def _has_room(part: Part, tank: Tank, pose: Pose, spare_mm: float) -> bool:
    """Tell whether a pose keeps its clearances, and some shift of it has so much room over all of them.

    What stands in the tank may leave less than the tank alone does.
    """
    found = _looked_at(part, tank, pose)
    if found is None or found.spare_mm < min(0.0, spare_mm) - FORGIVEN_MM:
        return False
    most = most_room_mm(part, tank, pose.rotation)
    return spare_mm <= most + SAME_MM if tank.standing else same(most, spare_mm)


def _liquid_checks(advice: Advice, part: Part, tank: Tank) -> list[Check]:
    """Look at level, liquid, what is caught, and the weights that follow from it."""
    vessel, turn = Vessel(holes_capped(part.skin, NARROW_MM)), advice.pose.rotation
    air, caught = (float(vessel.air_mm3(way[None])[0]) / MM3_PER_LITRE for way in (turn, UPSIDE_DOWN @ turn))
    level, held = advice.fill.level_mm, advice.held
    low = float(advice.pose.shift_mm[2])
    under = vessel.air_under_mm3(turn, level - low) / MM3_PER_LITRE
    try:
        fill = fill_at(part, advice.pose, tank, level, under)
    except Refused:
        return [Check("there is room for its liquid", False)]
    numbers = [(getattr(fill, field.name), getattr(advice.fill, field.name)) for field in fields(fill)]
    density = tank.liquid.specific_gravity
    displaced = volume_mm3(part.skin) / MM3_PER_LITRE + air
    uplift = (density * displaced - part.mass_kg) * STANDARD_GRAVITY_M_S2
    wet = part.mass_kg + density * held.carry_out_l
    covers = covering_level_mm(part, advice.pose, tank)
    return [
        Check("the liquid covers the part", level >= covers - SAME_MM),
        Check("level, liquid, rise and overflow follow from the pose", all(same(*pair) for pair in numbers)),
        Check("the air caught is what the surface holds", same(held.air_l, air)),
        Check("the liquid carried out is what it holds upside down", held.carry_out_l <= caught + SAME_MM),
        Check(
            "uplift and weight wet follow",
            same(advice.uplift_n, uplift) and same(advice.wet_mass_kg, wet),
        ),
    ]


def _least_checks(least: LeastLevel, part: Part, tank: Tank) -> list[Check]:
    found = _looked_at(part, tank, least.pose)
    keeps = found is not None and found.spare_mm >= -FORGIVEN_MM
    covers = covering_level_mm(part, least.pose, tank)
    return [
        Check("at the lowest level there is a pose that keeps every clearance", keeps),
        Check("that level just covers it there", abs(covers - least.level_mm) <= SAME_MM),
        Check("the bound is not over the level", least.at_least_mm <= least.level_mm + SAME_MM),
    ]


def _looked_at(part: Part, tank: Tank, pose: Pose) -> Recheck | None:
    """Return what exact distances say of a pose; None where it is of another part or tank, or no turn."""
    frames = pose.to_frame == f"tank {tank.name}" and pose.from_frame == f"part {part.name}"
    rigid = np.abs(pose.rotation @ pose.rotation.T - np.eye(3)).max() <= SAME_SHARE
    return recheck(part, tank, pose) if frames and rigid else None
