"""How many passes wet every bit of a part, turned how between them, and overlapping by how much.

One pass is `dip`. In more, each wets the part up to the liquid line, out over the rims where it is too long
or too wide. Two passes turned end for end or rolled over are looked for first, then the fewest of many
attitudes. In straight walls every such pose is reached straight down.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from fitcheck.geometry.poses.dip_problem import dip_problem
from fitcheck.geometry.statics.sprung_sheet import bent_part, is_springy, sprung_to
from fitcheck.questions.dip.answer import DoesNotFit, Fits
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.passes.answer import (
    COUNTS,
    AtLeast,
    PassAnswer,
    PassVerdict,
    ShapeOf,
    Turn,
    Window,
    count_words,
)
from fitcheck.questions.passes.cautions import cautions_of
from fitcheck.questions.passes.let_down import LetDown, OverTank, covered, over_tank, pass_of, settled
from fitcheck.questions.passes.more_passes import several, shared_along_mm
from fitcheck.questions.passes.pass_bounds import bounds
from fitcheck.questions.passes.two_passes import END_FOR_END, EndForEnd, advised, tries, two_at
from fitcheck.things.part import Attitude, Part
from fitcheck.things.pose import Angles
from fitcheck.things.shop import Shop
from fitcheck.things.springing import Sprung
from fitcheck.things.tank import Tank


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """Passes that wet all of a part, or as much as was found.

    shared_mm: as `PassAnswer.overlap_mm`. band_mm: as there, where it is known already.
    """

    ways: tuple[LetDown, ...]
    turn: Turn
    shared_mm: float
    band_mm: float | None = None


def passes(part: Part, tank: Tank, angles: Angles | None = None, chord_mm: float | None = None) -> PassAnswer:
    """Tell in how many passes a part gets wet all over in a tank, and how it is turned between them.

    Parameters
    ----------
    part : Part
        The part, as drawn; sheet is drawn flat.
    tank : Tank
        The tank. Its `overlap` is what passes share along the part.
    angles : Angles, optional
        Try this one attitude, in radians, and the turns from it only.
    chord_mm : float, optional
        The part, flat sheet, is sprung across its width until its outer edges are so far apart. Without it
        springy sheet is sprung where it does not go flat in two passes.

    Returns
    -------
    PassAnswer
        "fits" with one pass where `dip` fits, or with several that keep every clearance and the overlap,
        tapes included, their poses checked by exact distance; "measure again" where the tapes decide; "does
        not fit" where it is proven that no number of passes will do, or where the sheet would keep a set;
        "not found" otherwise, with the best two that were found.

    Raises
    ------
    Refused
        For a part that cannot be sprung, where that is asked, and for a chord that is not under its width.

    Notes
    -----
    How few passes will do at least is proven over all attitudes (`pass_bounds`). A strip bends to the curve
    of Euler's elastica, and its faces are strained by half its thickness over the radius (`sprung_sheet`).

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> answer = fc.passes(shop.parts["P10"], shop.tanks["T1"])
    >>> answer.verdict, len(answer.passes), answer.turn, answer.at_least.passes
    ('fits', 2, 'rolled over', 2)
    """
    answer = _passes(part, tank, angles, chord_mm)
    return replace(answer, cautions=cautions_of(answer, tank), asked=Shop.of(part, tank))


def _passes(part: Part, tank: Tank, angles: Angles | None, chord_mm: float | None) -> PassAnswer:
    """Return the answer, sheet sprung where that is asked or helps."""
    if chord_mm is not None:
        return _sprung(part, tank, sprung_to(part, chord_mm), angles)
    if not is_springy(part):
        return _rigid(part, tank, angles)
    answer = _rigid(part, tank, angles, "flat")
    if answer.verdict == "fits" and len(answer.passes) <= 2:
        return answer
    return _sprung_if_that_helps(part, tank, _only_flat(answer), angles)


def _only_flat(flat: PassAnswer) -> PassAnswer:
    """Return the answer for a sheet as far as it is one: what is proven of it flat may not be so sprung."""
    if flat.verdict != "does not fit":
        return flat
    reason = f"flat it does not go: {flat.reason}; sprung, no way was found"
    return replace(flat, verdict="not found", reason=reason)


def _sprung(part: Part, tank: Tank, sprung: Sprung, angles: Angles | None) -> PassAnswer:
    if sprung.keeps_a_set:
        names = (part.name, tank.name)
        none = AtLeast(1, "")
        return PassAnswer(*names, "does not fit", _set(sprung), (), None, None, 0.0, none, (), sprung=sprung)
    bent = _rigid(bent_part(part, sprung.chord_mm), tank, angles, "so sprung")
    return replace(bent, sprung=sprung)


def _set(sprung: Sprung) -> str:
    return (
        f"permanent set: sprung to that chord its faces are strained {sprung.strain:.2%}, and it springs "
        f"back from {sprung.yield_strain:.2%} at most"
    )


def _sprung_if_that_helps(part: Part, tank: Tank, flat: PassAnswer, angles: Angles | None) -> PassAnswer:
    """Return the answer for the sheet sprung until it goes between the walls, where that is better."""
    chord = _chord_mm(part, tank)
    if chord is None:
        return flat
    sprung = sprung_to(part, chord)
    if sprung.keeps_a_set:
        return replace(
            flat, reason=f"{flat.reason}. To go between the walls it would be sprung: {_set(sprung)}"
        )
    bent = _sprung(part, tank, sprung, angles)
    if bent.verdict != "fits" or (flat.verdict == "fits" and len(flat.passes) <= len(bent.passes)):
        return flat
    return replace(bent, reason=f"flat it is not found to go; sprung to an arc, {bent.reason}")


def _chord_mm(part: Part, tank: Tank) -> float | None:
    """Return the widest chord that goes between the long walls, tapes in hand; None where it goes flat."""
    room = tank.size_mm[1] - 2.0 * (tank.rules.side_clearance_mm + dip_problem(part, tank).tape_mm)
    thick, wide, _ = sorted(part.size_mm)
    if not thick < room < wide:
        return None
    # Flats for the arc count with the tapes, on both sides. Those of the arc a little tighter may be off by a
    # little more, as they are a whole number: half as much again is kept.
    kept = 3.0 * (bent_part(part, room).chord_mm - part.chord_mm)
    return room - kept if room - kept > thick else None


def _rigid(part: Part, tank: Tank, angles: Angles | None, shape: ShapeOf = "") -> PassAnswer:
    over = over_tank(dip_problem(part, tank))
    one = dip(part, tank, angles=angles, with_cures=False, vessel=over.at_hand.vessel)
    if isinstance(one, Fits):
        return _one(over, one)
    if angles is not None:
        return _so_hung(part, tank, angles)
    refused = one.proof if isinstance(one, DoesNotFit) else None
    at_least, never = bounds(over, refused=refused, shape=shape)
    windows = tuple(w for turn in END_FOR_END for w in EndForEnd(over, turn, 0.0, 0.0).windows())
    bound = at_least, windows
    if never is not None:
        reason = (
            "proven: no pass reaches the middle of it, however it is turned, so no number of passes will do"
        )
        return replace(_best(over, bound, ("does not fit", reason)), never=never)
    for tape, verdict, said in (
        (over.case.tape_mm, "fits", "wet all of it, tapes included"),
        (0.0, "measure again", "wet all of it by the sizes given; the tapes decide, so measure again"),
    ):
        found = _found(over, tape)
        if found is not None:
            reason = f"{count_words(len(found.ways))} {said}; {_not(at_least)}"
            return _answer(over, found, (verdict, reason), bound)  # type: ignore[arg-type]
    reason = f"no passes were found that wet all of it with the overlap; {_not(at_least)}"
    return _best(over, bound, ("not found", reason))


def _one(over: OverTank, one: Fits) -> PassAnswer:
    """Return the answer where it goes under in one pass, as `dip` advises."""
    names, pose = (over.case.part.name, over.case.tank.name), one.advice.pose
    shift = pose.shift_mm + pose.rotation @ over.case.points.middle_mm
    line = one.advice.fill.level_mm - float(pose.shift_mm[2])
    way = LetDown(pose.angles, pose.rotation, shift, pose.rotation[2], line, "floor")
    only = pass_of(over, way, one.advice.fill.level_mm)
    reason = "it goes under in one pass"
    return PassAnswer(*names, "fits", reason, (only,), None, None, 1.0, AtLeast(1, ""), ())


def _found(over: OverTank, tape_mm: float) -> _Found | None:
    """Return the passes to advise: two by a plain turn, unless other two share a band as wide as asked."""
    plain, two = None, advised(over, tape_mm)
    if two is not None:
        band = shared_along_mm(over, two.ways)
        plain = _Found(two.ways, two.turn, two.shared_mm, band)
        if band >= over.case.tank.rules.overlap_mm + tape_mm:
            return plain
    more = several(over, tape_mm)
    if more is None or (plain is not None and len(more.ways) > 2):
        return plain
    return _Found(more.ways, "hung anew", more.shared_mm, more.shared_mm)


def _so_hung(part: Part, tank: Tank, angles: Angles) -> PassAnswer:
    """Return the answer for one attitude: the deepest it goes, and the turn after which another helps."""
    free = replace(part, attitude=Attitude())
    over = over_tank(dip_problem(free, tank))
    overlap = tank.rules.overlap_mm
    unknown = AtLeast(1, ""), ()
    for tape, verdict, said in (
        (over.case.tape_mm, "fits", "so hung, two passes wet all of it, tapes included"),
        (
            0.0,
            "measure again",
            "so hung, two passes do by the sizes given; the tapes decide, so measure again",
        ),
    ):
        tried = _turned(over, angles, tape)
        enough = [two for two in tried if two.shared_mm >= overlap + tape]
        if enough:
            best = max(enough, key=lambda two: two.shared_mm)
            return _answer(over, best, (verdict, said), unknown)  # type: ignore[arg-type]
    most = max(tried, key=lambda two: covered(over, *two.ways), default=None)
    said = "so hung, two passes do not wet all of it with the overlap, however it is turned between them"
    if most is None:
        said = "so hung it cannot be let down clear of what stands in the tank"
        return PassAnswer(part.name, tank.name, "not found", said, (), None, None, 0.0, *unknown)
    return _answer(over, most, ("not found", said), unknown)


def _turned(over: OverTank, angles: Angles, tape_mm: float) -> list[_Found]:
    """Return two passes for every turn from an attitude, by exact distance."""
    turns: tuple[Turn, ...] = ("rolled over",) if angles.tilt_rad == 0.0 else END_FOR_END
    found = []
    for turn in turns:
        two = two_at(over, turn, angles.tilt_rad, angles.roll_rad, tape_mm, angles.swing_rad)
        ways = [settled(over, way, tape_mm) for way in two.ways] if two else []
        if two and len(ways) == 2 and ways[0] and ways[1]:
            kept = ways[0] is two.ways[0] and ways[1] is two.ways[1]
            shared = two.shared_mm if kept else -math.inf
            found.append(_Found((ways[0], ways[1]), turn, shared))
    return found


def _not(at_least: AtLeast) -> str:
    if at_least.passes == 1:
        return "one is not proven not to do"
    fewer = COUNTS[at_least.passes - 1] if at_least.passes <= len(COUNTS) else f"{at_least.passes - 1}"
    verb = "is" if at_least.passes == 2 else "are"
    shape = f", {at_least.shape}" if at_least.shape else ""
    return f"{fewer} {verb} proven not to do{shape}"


def _best(
    over: OverTank, bound: tuple[AtLeast, tuple[Window, ...]], said: tuple[PassVerdict, str]
) -> PassAnswer:
    """Return the answer with the best two passes found, which leave some dry."""
    evaluated: Iterable[_Found] = (_Found(two.ways, two.turn, two.shared_mm) for two in tries(over, 0.0))
    for best in sorted(evaluated, key=lambda two: -covered(over, *two.ways)):
        if covered(over, *best.ways) > 0.0 and all(settled(over, way, 0.0) is way for way in best.ways):
            return _answer(over, best, said, bound)
    names = (over.case.part.name, over.case.tank.name)
    reason = "no way was found to let it down until some of it is wet"
    return PassAnswer(*names, said[0], reason, (), None, None, 0.0, *bound)


def _answer(
    over: OverTank,
    found: _Found,
    said: tuple[PassVerdict, str],
    bound: tuple[AtLeast, tuple[Window, ...]],
) -> PassAnswer:
    shared = found.shared_mm if math.isfinite(found.shared_mm) else None
    band = found.band_mm
    if band is None and shared is not None and shared > 0.0:
        band = shared_along_mm(over, found.ways)
    return PassAnswer(
        over.case.part.name,
        over.case.tank.name,
        *said,
        tuple(pass_of(over, way, over.level_mm) for way in found.ways),
        found.turn,
        shared,
        covered(over, *found.ways),
        *bound,
        band_mm=band or None,
    )
