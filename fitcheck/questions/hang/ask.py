"""How a part hangs over a tank: legs for the wanted tilt, the pull in each, and how high the hook goes.

The hook stands plumb over the centre of mass. Legs flatter than 30 degrees from level are not to be used
(ASME B30.9 and 29 CFR 1910.184, as public summaries give them). Balance is that of `sling_statics`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from fitcheck.geometry.mesh.distance import Surface, surface_gap_mm
from fitcheck.geometry.poses.dip_problem import dip_problem, fitting
from fitcheck.geometry.poses.dip_with_obstacles import rooms_of
from fitcheck.geometry.statics.lifting_points import MOST_LEGS, OFF_MM, chosen, proposed, too_many
from fitcheck.geometry.statics.sag import sag_of
from fitcheck.geometry.statics.sling_problem import (
    FLATTEST_RAD,
    OFF_RAD,
    ROUNDING_MM,
    SlingProblem,
    angles_of,
    between_rad,
    sling_problem,
)
from fitcheck.geometry.statics.sling_statics import Hung, settled, tensions_n
from fitcheck.questions.hang.answer import HangAnswer, HangFault, HangVerdict, Leg, Lower, Rig, Swung
from fitcheck.questions.hang.cautions import cautions_of
from fitcheck.questions.hang.hook_forces import Load, Loads, loads_of
from fitcheck.questions.hang.lifting_gear import Lifted, rigs
from fitcheck.things.hook import Hook
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.shop import Shop
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import RAD_PER_DEGREE, both_lengths

# Angles are printed to 0.1 degree; half of that is none.
READ_RAD = 0.05 * RAD_PER_DEGREE
# How thin a leg is where it is looked at as a triangle: nothing on a tape.
THIN_MM = 1e-3

OPEN: tuple[HangFault, ...] = ("hook within the tape", "heights missing")
REASONS: dict[HangFault, str] = {
    "rolls over": "its centre of mass is not under its picks: it rolls over",
    "slack leg": "its centre of mass lies beyond its picks: a leg would go slack",
    "turns by itself": "these legs cannot hold it so: it turns until its centre of mass hangs under them",
    "flat legs": "no leg may be flatter than 30 degrees: use longer ones, a spreader or a second hoist",
    "hook under its top": "the hook would stand lower than the part's highest point",
    "hook too low": "the hook does not go high enough to lift it over the rim",
    "hook within the tape": "whether the hook goes high enough is a matter of the tape: measure again",
    "heights missing": "whether the hook goes high enough cannot be told",
}
FINE = "it hangs so, no leg is flatter than 30 degrees, and the hook goes high enough to lift it over the rim"


def hang(
    part: Part,
    tank: Tank,
    angles: Angles | None = None,
    *,
    rise_mm: float | None = None,
    picks: Sequence[int] | None = None,
    legs: int | None = None,
) -> HangAnswer:
    """Tell how to sling a part to one hook, what each leg pulls, and whether the hook lifts it over the rim.

    Parameters
    ----------
    part : Part
        The part; what its lugs can carry is not known here.
    tank : Tank
        The tank, with the heights of its rim and its hook over the shop floor.
    angles : Angles, optional
        The attitude wanted, in radians; level, as drawn, without.
    rise_mm : float, optional
        The hook's height over the higher pick; without it legs at 60 degrees, or as steep as the hook lets
        them be.
    picks : sequence of int, optional
        Numbers of the part's own picks, counted from 1; all of them without.
    legs : int, optional
        How many legs, one to three, to propose picks for where the part has none.

    Returns
    -------
    HangAnswer
        Lengths in mm, forces in N. "does not fit" where it cannot hang so, a leg is flatter than 30 degrees,
        or the hook is too low; "measure again" where the tape decides, or a height is missing.

    Raises
    ------
    Refused
        For picks that no sling could use, more than three legs, a rise of 0 or less, and a hook under the
        rim.

    Notes
    -----
    A leg flatter than 30 degrees from level is not to be used (ASME B30.9 and 29 CFR 1910.184, as public
    summaries give them). Under the liquid it is lighter by what it displaces (Archimedes).

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> answer = fc.hang(shop.parts["P10"], shop.tanks["T1"])
    >>> answer.verdict, len(answer.legs), round(answer.most_pull_n)
    ('fits', 2, 134)
    """
    _check(tank, rise_mm, legs)
    asked = Angles() if angles is None else Angles(angles.tilt_rad, angles.roll_rad)
    own = chosen(part, picks, legs)
    rigid = sling_problem(part, tank, asked, proposed(part, asked, legs) if own is None else own)
    loads = loads_of(part, rotation_from(rigid.angles), tank.liquid.specific_gravity)
    sag = sag_of(part, rigid.up, rigid.picks_mm, max(loads.dry.force_n, loads.breakout.force_n))
    it = replace(rigid, sag_mm=sag, proposed=own is None)
    answer = _answer(it, loads, it.hook_z_mm() if rise_mm is None else rise_mm + it.highest_pick_mm)
    return replace(answer, cautions=cautions_of(answer, part, tank), asked=Shop.of(part, tank))


def _answer(it: SlingProblem, loads: Loads, z_mm: float) -> HangAnswer:
    """Return the answer for a hook so far over the centre of mass."""
    part, tank = it.part, it.tank
    hung, pose, hook = it.hung(z_mm), it.pose(), it.hook(z_mm)
    under, breakout = (_swung(it, hung, load) for load in (loads.under, loads.breakout))
    legs = _legs(it, hung, loads.dry, (under[1], breakout[1]))
    faults = _faults(it, z_mm, legs, hook)
    return HangAnswer(
        part=part.name,
        tank=tank.name,
        verdict=_verdict(faults),
        reason="; ".join(REASONS[fault] for fault in faults) or FINE,
        faults=faults,
        wanted=it.asked,
        angles=it.angles,
        pose=pose,
        hook_at_mm=_place(pose.apply(hung.hook_mm[None, :])[0]),
        rise_mm=z_mm - it.highest_pick_mm,
        least_rise_mm=it.least_z_mm - it.highest_pick_mm,
        over_top_mm=z_mm - it.top_mm,
        below_mm=it.below_mm,
        proposed=it.proposed,
        legs=legs,
        hook=hook,
        mass_kg=part.mass_kg,
        wet_mass_kg=part.mass_kg + tank.liquid.specific_gravity * loads.held.carry_out_l,
        dry_n=loads.dry.force_n,
        under=under[0],
        breakout=breakout[0],
        held=loads.held,
        sag_mm=it.sag_mm,
        rigs=_rigs(it, loads),
        lower=_lower(it, hook) if "hook too low" in faults else None,
        missing=_missing(tank),
        notes=_notes(it),
    )


def _check(tank: Tank, rise_mm: float | None, legs: int | None) -> None:
    rim, hook = tank.rim.height_mm, tank.rim.hook_height_mm
    if rim is not None and hook is not None and hook <= rim:
        low, high = (both_lengths(mm) for mm in (hook, rim))
        raise Refused(
            f"{tank.name}: hook_height is {low}, and its rim is at {high}",
            "both are heights over the shop floor, and the hook goes higher than the rim: measure them again",
        )
    if rise_mm is not None and not (rise_mm > 0.0 and math.isfinite(rise_mm)):
        raise Refused(
            f"a rise of {both_lengths(rise_mm)}", "it is the hook's height over the higher pick: above 0"
        )
    if legs is not None and not 1 <= legs <= MOST_LEGS:
        raise Refused(*too_many(legs) if legs > 0 else (f"{legs} legs", "one, two or three"))


def _swung(it: SlingProblem, hung: Hung, load: Load) -> tuple[Swung, Floats | None]:
    """Return how the part turns under a load, and the pull in each leg then; None where it floats."""
    if load.force_n <= 0.0:
        return Swung(load.force_n, None, None), None
    then = settled(it.picks_mm, hung.hook_mm, load.at_mm)
    angles = angles_of(then.up, it.angles.roll_rad)
    return Swung(load.force_n, angles, between_rad(then.up, hung.up)), tensions_n(
        it.picks_mm, then, load.force_n
    )


def _legs(
    it: SlingProblem, hung: Hung, dry: Load, wet: tuple[Floats | None, Floats | None]
) -> tuple[Leg, ...]:
    in_air = tensions_n(it.picks_mm, hung, dry.force_n)
    under, breakout = wet
    metal = Surface.of(it.part.solid.vertices_mm, it.part.solid.triangles)
    legs = []
    for k, pick in enumerate(it.picks_mm):
        along = hung.hook_mm - pick
        length, height = float(np.linalg.norm(along)), float(along @ it.up)
        legs.append(
            Leg(
                pick_mm=_place(pick),
                length_mm=length,
                angle_rad=math.asin(min(height / length, 1.0)),
                factor=length / height,
                tension_n=float(in_air[k]),
                under_n=None if under is None else float(under[k]),
                breakout_n=float(in_air[k] if breakout is None else breakout[k]),
                bent=_runs_into(metal, pick, hung.hook_mm),
            )
        )
    return tuple(legs)


def _runs_into(metal: Surface, pick_mm: Floats, hook_mm: Floats) -> bool:
    """Return whether a leg meets the part's surface anywhere but near its pick."""
    along = hook_mm - pick_mm
    start = pick_mm + min(OFF_MM / float(np.linalg.norm(along)), 0.5) * along
    leg = Surface.of(np.array([start, hook_mm, hook_mm + THIN_MM]), np.array([[0, 1, 2]]))
    return surface_gap_mm(leg, metal, Pose("part", "part", np.eye(3), np.zeros(3))) == 0.0


def _faults(it: SlingProblem, z_mm: float, legs: tuple[Leg, ...], hook: Hook) -> tuple[HangFault, ...]:
    spare, doubt = hook.spare_mm, hook.tape_mm
    seen: tuple[tuple[HangFault, bool], ...] = (
        ("rolls over", not it.is_under),
        ("slack leg", any(leg.tension_n <= 0.0 for leg in legs)),
        ("turns by itself", not it.is_as_asked),
        ("flat legs", any(leg.angle_rad < FLATTEST_RAD - READ_RAD for leg in legs)),
        ("hook under its top", z_mm < it.top_mm - ROUNDING_MM),
        ("hook too low", spare is not None and spare < -max(doubt, ROUNDING_MM)),
        ("hook within the tape", spare is not None and abs(spare) < doubt - ROUNDING_MM),
        ("heights missing", spare is None),
    )
    return tuple(fault for fault, there in seen if there)


def _verdict(faults: tuple[HangFault, ...]) -> HangVerdict:
    if any(fault not in OPEN for fault in faults):
        return "does not fit"
    return "measure again" if faults else "fits"


def _missing(tank: Tank) -> tuple[str, ...]:
    heights = (("rim_height", tank.rim.height_mm), ("hook_height", tank.rim.hook_height_mm))
    return tuple(key for key, height in heights if height is None)


def _rigs(it: SlingProblem, loads: Loads) -> tuple[Rig, ...]:
    if len(it.picks_mm) != 2:
        return ()
    lifted = Lifted(it.picks_mm, it.up, it.top_mm, it.low_mm, it.floor_mm, it.tank.rim.hook_height_mm)
    return rigs(lifted, loads.dry, loads.breakout)


def _lower(it: SlingProblem, hook: Hook) -> Lower | None:
    """Return the steepest flatter way that passes under the hook: the first that fits the tank, else any.

    Looked at are whole degrees less tilt than asked for, with the flattest legs that are allowed. None where
    there is none, or where flatter legs alone would do.
    """
    if hook.height_mm is None or hook.least_mm is None or hook.least_mm + hook.tape_mm <= hook.height_mm:
        return None
    tilt, roll = it.angles.tilt_rad, it.angles.roll_rad
    most = math.ceil(abs(tilt) / OFF_RAD - ROUNDING_MM) - 1
    passing = []
    for step in range(most, -1, -1):
        way = Angles(math.copysign(step * OFF_RAD, tilt), roll)
        needed = _least_needed(it, way)
        if needed is not None and needed + hook.tape_mm <= hook.height_mm:
            passing.append((way, needed))
    if not passing:
        return None
    case = dip_problem(it.part, it.tank)
    fits = fitting(case, np.array([way[:2] for way, _ in passing]), *rooms_of(case))
    at = int(fits.argmax()) if fits.any() else 0
    return Lower(*passing[at], bool(fits[at]))


def _least_needed(it: SlingProblem, way: Angles) -> float | None:
    """Return the height that the hook needs for another way to hang it; None where it cannot hang so."""
    try:
        other = replace(sling_problem(it.part, it.tank, way, it.picks_mm), sag_mm=it.sag_mm)
    except Refused:
        return None
    return other.needed_mm(other.least_z_mm) if other.is_held else None


def _notes(it: SlingProblem) -> tuple[str, ...]:
    limits = it.part.attitude
    hangs = (("tilt", limits.tilt_rad, it.angles.tilt_rad), ("roll", limits.roll_rad, it.angles.roll_rad))
    return tuple(
        f"it hangs with more {name} than {name}_at_most of {it.part.name} allows"
        for name, most, angle in hangs
        if abs(angle) > most + READ_RAD
    )


def _place(point: Floats) -> tuple[float, float, float]:
    x, y, z = point.tolist()
    return x, y, z
