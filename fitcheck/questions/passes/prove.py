"""Is an answer about passes right? Poses by exact distance, what is wet cut out again, bounds shown again.

Shares no code with what searches: not with the letting down over the rim, the cutting of what is wet, the
covering, nor the bounds. How a sheet bends is taken over from `springing`, and its size and strain looked at.
"""

from __future__ import annotations

from dataclasses import fields

import numpy as np

from fitcheck.geometry.liquid.fill_level import fill_at
from fitcheck.geometry.liquid.pockets import Vessel
from fitcheck.geometry.mesh.hole_caps import NARROW_MM, holes_capped
from fitcheck.geometry.statics.sprung_sheet import bent_part
from fitcheck.proving.exact_gaps import recheck, recheck_pass
from fitcheck.proving.infeasible_rotations import most_room_mm
from fitcheck.proving.known import known_thing
from fitcheck.proving.same import SAME_SHARE, same
from fitcheck.proving.uncovered_surface import left_dry_mm2, slopes, surface_mm2
from fitcheck.questions.dip.prove import FORGIVEN_MM
from fitcheck.questions.passes.answer import Pass, PassAnswer, Turn, Window
from fitcheck.questions.passes.prove_fewer import fewer_checks, never_checks, tape_mm
from fitcheck.questions.passes.prove_sprung import sprung_checks
from fitcheck.things.part import HALF_TURN, QUARTER_TURN, Part
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.proved import Check, NotChecked, Proved
from fitcheck.things.shop import Shop
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM2_PER_M2, MM3_PER_LITRE

# A dry share of the surface under this is rounding of the cuts.
NOTHING = 1e-9
# Angles read from a matrix are off by the root of rounding where the part stands on end.
SAME_ANGLE = 1e-7
# Windows are looked at this far inside their ends, where rounding no longer decides.
INSIDE_RAD = 1e-6
# What is wet again after each turn: up in the part's frame is, of the first pass, times this.
OVER = np.array([-1.0, -1.0, -1.0])
TURNED: dict[Turn | None, Floats] = {
    "same face up": np.array([-1.0, 1.0, 1.0]),
    "upside down": OVER,
    "rolled over": OVER,
}


# Figures of a sprung sheet for which the checks have no second formula.
NO_SECOND_FORMULA = "follows from the sheet's curve and stiffness, for which there is no second formula here"
SPRUNG_NOT_CHECKED = tuple(
    NotChecked(f"sprung.{key}", NO_SECOND_FORMULA)
    for key in ("pull_n", "strapped_radius_mm", "strapped_strain")
)


def prove(answer: PassAnswer, shop: Shop) -> Proved:
    """Tell whether an answer about passes is right for this shop; raises `Refused` where it is of another."""
    part = known_thing(shop.parts, answer.part, "part")
    return prove_pass(answer, part, known_thing(shop.tanks, answer.tank, "tank"))


def prove_pass(answer: PassAnswer, part: Part, tank: Tank) -> Proved:
    """Tell whether an answer about passes is right for this part and tank.

    Every pass: its pose by exact distance, tapes included where it says so, its level, liquid and wet
    surface. All together: that they wet the surface with the overlap. That fewer will not do, and that none
    will, is shown again. "not found" claims nothing but its numbers.
    """
    checks = [
        Check("it is about this part and this tank", (answer.part, answer.tank) == (part.name, tank.name))
    ]
    if answer.sprung is not None:
        try:
            bent = bent_part(part, answer.sprung.chord_mm)
        except Refused:
            return _proved(answer, [*checks, Check("the part can be sprung to that chord", False)])
        checks += sprung_checks(answer.sprung, part, bent)
        if not answer.passes:
            checks.append(Check("so sprung it keeps a set", answer.sprung.keeps_a_set))
            return _proved(answer, checks)
        checks.append(Check("so sprung it springs back", not answer.sprung.keeps_a_set))
        part = bent
    for k, each in enumerate(answer.passes):
        checks += _pass_checks(answer, k, each, part, tank)
    checks += _together(answer, part, tank)
    checks += fewer_checks(answer, part, tank)
    if answer.verdict == "does not fit":
        checks += never_checks(answer.never, part, tank)
    checks += [check for window in answer.windows for check in _window_checks(window, part, tank)]
    return _proved(answer, checks)


def _proved(answer: PassAnswer, checks: list[Check]) -> Proved:
    left = () if answer.sprung is None else SPRUNG_NOT_CHECKED
    return Proved(f"{answer.part} in {answer.tank}", answer.verdict, tuple(checks), left)


def _pass_checks(answer: PassAnswer, k: int, each: Pass, part: Part, tank: Tank) -> list[Check]:
    """Look at one pass by itself."""
    name = f"pass {k + 1}"
    pose, rules = each.pose, tank.rules
    kept = tape_mm(part, tank) if answer.verdict == "fits" else 0.0
    with_tape = ", tapes included" if kept else ""
    frames = (pose.to_frame, pose.from_frame) == (f"tank {tank.name}", f"part {part.name}")
    rigid = np.abs(pose.rotation @ pose.rotation.T - np.eye(3)).max() <= SAME_SHARE
    goes_under = answer.verdict == "fits" and len(answer.passes) == 1
    clears = _has_room_under if goes_under else _is_clear
    clear = bool(frames and rigid) and clears(part, tank, pose, kept)
    heights = pose.apply(part.skin.vertices_mm)[:, 2]
    ends = same(each.lowest_mm, float(heights.min())) and same(each.highest_mm, float(heights.max()))
    up, line = _planes([each])
    wet = 1.0 - left_dry_mm2(part.skin, up, line) / surface_mm2(part.skin)
    told = same(each.covers, wet) and same(each.wet_m2, wet * surface_mm2(part.skin) / MM2_PER_M2)
    vessel = Vessel(holes_capped(part.skin, NARROW_MM))
    air_mm3, bare_mm2 = vessel.held_under(pose.rotation, each.level_mm - float(pose.shift_mm[2]))
    air_l = air_mm3 / MM3_PER_LITRE
    held = same(each.air_l, air_l) and same(each.air_m2, bare_mm2 / MM2_PER_M2)
    return [
        Check(f"{name} keeps every clearance, by exact distance{with_tape}", clear),
        Check(f"{name} is turned as the part may be", _is_allowed(pose, part)),
        Check(
            f"{name} leaves the freeboard", each.level_mm <= tank.depth_mm - rules.freeboard_mm + FORGIVEN_MM
        ),
        Check(f"{name} has its ends, level and liquid", ends and _has_its_liquid(each, part, tank, air_l)),
        Check(f"{name} wets what it says, cut out again", told),
        Check(f"{name} keeps the air that it says", held),
    ]


def _is_clear(part: Part, tank: Tank, pose: Pose, kept_mm: float) -> bool:
    return recheck_pass(part, tank, pose).spare_mm >= kept_mm - FORGIVEN_MM


def _has_room_under(part: Part, tank: Tank, pose: Pose, kept_mm: float) -> bool:
    """Tell whether the part lies clear under the liquid, and so turned somewhere with the tapes in hand."""
    clear = recheck(part, tank, pose).spare_mm >= -FORGIVEN_MM
    return clear and most_room_mm(part, tank, pose.rotation) >= kept_mm - FORGIVEN_MM


def _has_its_liquid(each: Pass, part: Part, tank: Tank, air_l: float) -> bool:
    try:
        fill = fill_at(part, each.pose, tank, each.level_mm, air_l)
    except Refused:
        return False
    return all(same(getattr(fill, field.name), getattr(each.fill, field.name)) for field in fields(fill))


def _is_allowed(pose: Pose, part: Part) -> bool:
    """Tell whether the part may be turned so; end for end, and over, it may be by hand outside the tank."""
    angles, attitude = pose.angles, part.attitude
    roll, swing = abs(angles.roll_rad), abs(angles.swing_rad)
    swing = min(swing, HALF_TURN - swing)
    if QUARTER_TURN - abs(angles.tilt_rad) <= SAME_ANGLE:
        # On end, roll and swing turn it about one line: what one may not do, the other may.
        roll = min(roll, HALF_TURN - roll)
        swing, roll = max(roll + swing - attitude.roll_rad, 0.0), min(roll, attitude.roll_rad)
    told = (abs(angles.tilt_rad), roll, swing)
    most = (attitude.tilt_rad, attitude.roll_rad, attitude.swing_rad)
    return all(angle <= limit + SAME_ANGLE for angle, limit in zip(told, most, strict=True))


def _planes(passes: list[Pass]) -> tuple[Floats, Floats]:
    """Return up (k, 3) in the part's frame, and how far along it each pass wets (k,)."""
    ups = np.array([each.pose.rotation[2] for each in passes])
    return ups, np.array([each.level_mm - float(each.pose.shift_mm[2]) for each in passes])


def _together(answer: PassAnswer, part: Part, tank: Tank) -> list[Check]:
    """Look at what the passes wet between them, and share."""
    passes = list(answer.passes)
    if not passes:
        return [Check("no pass wets nothing", answer.covered == 0.0)]
    ups, lines = _planes(passes)
    dry = left_dry_mm2(part.skin, ups, lines) / surface_mm2(part.skin)
    checks = [Check("together they wet the share that they say", same(answer.covered, 1.0 - dry))]
    works = answer.verdict in {"fits", "measure again"}
    if works:
        checks.append(Check("together they wet all of it", dry <= NOTHING))
    if len(passes) == 1:
        return checks
    if answer.turn in TURNED and len(passes) == 2:
        turned = np.abs(ups[1] - ups[0] * TURNED[answer.turn]).max() <= SAME_ANGLE
        checks.append(Check("between them it is turned as told", bool(turned)))
    told = answer.overlap_mm
    if told is not None:
        checks.append(Check("they share what they say", _shares(answer.turn, part, ups, lines, told)))
    if answer.band_mm is not None:
        wide = _wet_drawn_back(part, ups, lines, answer.band_mm)
        checks.append(Check("what they share is as wide as it says, square to the line", wide))
    if works:
        wanted = tank.rules.overlap_mm + (tape_mm(part, tank) if answer.verdict == "fits" else 0.0)
        enough = told is not None and told >= wanted - FORGIVEN_MM
        checks.append(Check("that is the overlap that is asked for", enough))
    return checks


def _shares(turn: Turn | None, part: Part, ups: Floats, lines: Floats, told_mm: float) -> bool:
    """Tell whether passes share so much: along the part where ends change, up it where it is level in both.

    Hung anew: drawn back along the surface by half of it each, they still wet all of it.
    """
    points = part.skin.vertices_mm
    if turn == "hung anew" or len(ups) != 2:
        return _wet_drawn_back(part, ups, lines, told_mm)
    if turn == "rolled over" or not ups[:, 0].any():
        return same(float((lines.sum() - points @ ups.sum(axis=0)).min()), told_mm)
    # Along x, a pass wets as far as, or from, where its plane is met.
    if ups[0, 0] * ups[1, 0] >= 0.0:
        return False
    met = (lines - points[:, 1:] @ ups[:, 1:].T) / ups[:, 0]
    low, high = (0, 1) if ups[0, 0] > 0.0 else (1, 0)
    return same(float((met[:, low] - met[:, high]).min()), told_mm)


def _wet_drawn_back(part: Part, ups: Floats, lines: Floats, told_mm: float) -> bool:
    """Tell whether passes, drawn back along the surface by half of what is told each, still wet all of it."""
    back = slopes(part.skin, ups) * max(told_mm - FORGIVEN_MM, 0.0) / 2.0
    dry = left_dry_mm2(part.skin, ups, lines, back_mm=back)
    return told_mm >= 0.0 and dry <= NOTHING * surface_mm2(part.skin)


def _window_checks(window: Window, part: Part, tank: Tank) -> list[Check]:
    """Look at two passes just within both ends of a window and in its middle, let down afresh."""
    inside = min(INSIDE_RAD, (window.high_rad - window.low_rad) / 2.0)
    tilts = (window.low_rad + inside, (window.low_rad + window.high_rad) / 2.0, window.high_rad - inside)
    ordered = 0.0 <= window.low_rad <= window.high_rad <= part.attitude.tilt_rad + SAME_ANGLE
    works = ordered and all(_works(window.turn, tilt, part, tank) for tilt in tilts)
    return [Check(f"two passes do at the ends and in the middle of the window, {window.turn}", works)]


def _works(turn: Turn, tilt_rad: float, part: Part, tank: Tank) -> bool:
    roll = HALF_TURN if turn == "upside down" else 0.0
    poses = []
    for angles in (Angles(tilt_rad, 0.0, 0.0), Angles(-tilt_rad, roll, 0.0)):
        clear = (
            pose
            for pose in _afresh(angles, part, tank)
            if recheck_pass(part, tank, pose).spare_mm >= -FORGIVEN_MM
        )
        pose = next(clear, None)
        if pose is None:
            return False
        poses.append(pose)
    level = tank.depth_mm - tank.rules.freeboard_mm
    ups = np.array([pose.rotation[2] for pose in poses])
    lines = np.array([level - float(pose.shift_mm[2]) for pose in poses])
    # Drawn back along x by half the overlap each, they wet all of it.
    back = np.broadcast_to(np.abs(ups[:, 0]) * tank.rules.overlap_mm / 2.0, (len(part.skin.triangles), 2))
    return left_dry_mm2(part.skin, ups, lines, back_mm=back) <= 1e-6 * surface_mm2(part.skin)


def _afresh(angles: Angles, part: Part, tank: Tank) -> list[Pose]:
    """Return the part all the way down in the middle of the width: low end near its end wall, or mid-tank.

    Near the end wall it has the most room over the other; away from it, round corners are out of its way.
    """
    rotation, rules = rotation_from(angles), tank.rules
    placed = part.solid.vertices_mm @ rotation.T
    low, high = placed.min(axis=0), placed.max(axis=0)
    length, width, _ = tank.size_mm
    near_wall = rules.side_clearance_mm - low[0]
    if angles.tilt_rad < 0.0:
        near_wall = length - rules.side_clearance_mm - high[0]
    middle = (length - low[0] - high[0]) / 2.0
    across = (width - low[1] - high[1]) / 2.0
    down = rules.bottom_clearance_mm - low[2]
    shifts = [np.array([along, across, down]) for along in (near_wall, middle)]
    return [Pose(f"tank {tank.name}", f"part {part.name}", rotation, shift) for shift in shifts]
