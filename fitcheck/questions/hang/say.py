"""How a part hangs, in the words of the shop: the verdict, then legs, hook and turns, then the cautions."""

from __future__ import annotations

from fitcheck.questions.hang.answer import HangAnswer, Leg, Rig, Swung
from fitcheck.say.attitude_words import SHOWN_RAD, attitude
from fitcheck.say.held_words import carried_words
from fitcheck.say.lines import aligned, cautions_text, folded
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.words.rounding import ROUNDING_MM, at_least, at_most, is_under_a_mark, some
from fitcheck.words.units import RAD_PER_DEGREE, Show, show_angle, show_force, show_length, show_mass

# Legs flatter than this are worth a look at other ways to lift (common practice).
FLAT_RAD = 45.0 * RAD_PER_DEGREE
NAMES = {"spreader": "Spreader", "lifting beam": "Lifting beam", "two hoists": "Two hoists"}


def text(answer: HangAnswer, shop: Shop) -> str:
    """Return the answer as text: the verdict in one line, the numbers, the cautions."""
    part, show = shop.parts[answer.part], shop.show
    blocks = [
        verdict_line(answer, part, show),
        folded(answer.reason),
        "\n".join(aligned(_rows(answer, part, show))),
        "\n".join(folded(f"note: {line}") for line in answer.notes),
        cautions_text(answer.cautions, show),
    ]
    return "\n\n".join(block for block in blocks if block)


def verdict_line(answer: HangAnswer, part: Part, show: Show) -> str:
    """Return the whole verdict in one line."""
    return f"{answer.part} over {answer.tank}: {answer.verdict}, {verdict_words(answer, part, show)}"


def verdict_words(answer: HangAnswer, part: Part, show: Show) -> str:
    """Return what the verdict hangs on, with its figure."""
    spare_mm = answer.hook.spare_mm or 0.0
    match answer.faults[0] if answer.faults else None:
        case "rolls over":
            words = f"its centre of mass is {_beside_picks(answer, show)}: it rolls over"
        case "slack leg":
            words = "its centre of mass lies beyond its picks: a leg goes slack"
        case "turns by itself":
            words = f"so slung it hangs {attitude(answer.angles, part, show)}"
        case "flat legs":
            words = f"legs at {show_angle(flattest_rad(answer))}: use a spreader or a second hoist"
        case "hook under its top":
            words = f"the hook is {at_most(-answer.over_top_mm, show)} lower than the part's highest point"
        case "heights missing":
            are = "is" if len(answer.missing) == 1 else "are"
            words = f"{' and '.join(answer.missing)} of {answer.tank} {are} not given"
        case "hook too low":
            words = spare_words(spare_mm, show)
        case "hook within the tape":
            tape = at_most(answer.hook.tape_mm, show)
            words = f"by the heights given {spare_words(spare_mm, show)}, and the tape may be out by {tape}"
        case None:
            words = f"with {some(spare_mm, show)} of hook height to spare"
    return words


def spare_words(spare_mm: float, show: Show) -> str:
    """Return what is left of the hook's height, or lacks."""
    if spare_mm < -ROUNDING_MM:
        return f"the hook is {at_most(-spare_mm, show)} too low"
    return f"{some(spare_mm, show)} of hook height is to spare"


def flattest_rad(answer: HangAnswer) -> float:
    """Return the angle of the flattest leg."""
    return min(leg.angle_rad for leg in answer.legs)


def _rows(answer: HangAnswer, part: Part, show: Show) -> list[tuple[str, str]]:
    rows = [("How it hangs", attitude(answer.angles, part, show)), ("Hook", _hook_place(answer, show))]
    rows += [(f"Leg {k + 1}", _leg(leg, show)) for k, leg in enumerate(answer.legs)]
    rows += [
        ("Hook height", _hook(answer, show)),
        ("On the hook", _on_hook(answer, show)),
        ("Carried out", f"{carried_words(answer.held, show)}; it weighs {_weighs(answer, show)}"),
        ("Steady", f"centre of mass {_beside_picks(answer, show)}"),
        ("Under", turned_words(answer, answer.under, show)),
        ("Lifted out", turned_words(answer, answer.breakout, show)),
    ]
    if answer.sag_mm is not None:
        rows.append(("Sag", f"{at_most(answer.sag_mm, show)} at most, under the line of its picks"))
    if answer.verdict != "fits" or flattest_rad(answer) < FLAT_RAD:
        rows += [(NAMES[rig.kind], _rig(rig, show)) for rig in answer.rigs]
    cure = _cure(answer, part, show)
    return [*rows, ("Would do", cure)] if cure else rows


def _hook_place(answer: HangAnswer, show: Show) -> str:
    rise = show_length(answer.rise_mm, show)
    higher = "its pick" if len(answer.legs) == 1 else "the higher pick"
    top = f"{show_length(answer.over_top_mm, show)} over its highest point"
    own = "; the picks are proposed" if answer.proposed else ""
    return f"plumb over the centre of mass, {rise} over {higher}, {top}{own}"


def _leg(leg: Leg, show: Show) -> str:
    at = ", ".join(f"{axis} {show_length(mm, show)}" for axis, mm in zip("xyz", leg.pick_mm, strict=True))
    pulls = [f"{show_force(leg.tension_n, show)} in air"]
    if leg.under_n is not None:
        pulls.append(f"{show_force(leg.under_n, show)} under")
    pulls.append(f"{show_force(leg.breakout_n, show)} lifted out")
    return (
        f"{show_length(leg.length_mm, show)} long from {at}; {show_angle(leg.angle_rad)} from level (factor "
        f"{leg.factor:.3f}); pulls {', '.join(pulls)}"
    )


def _hook(answer: HangAnswer, show: Show) -> str:
    hook = answer.hook
    if hook.needed_mm is None:
        return "not told without rim_height"
    clear = at_most(hook.clear_mm, show)
    needs = f"needs {at_most(hook.needed_mm, show)} over the shop floor, the part about {clear} over the rim"
    least = "" if hook.least_mm is None else f"; the lowest for these picks is {at_most(hook.least_mm, show)}"
    if hook.height_mm is None or hook.spare_mm is None:
        return f"{needs}{least}"
    return (
        f"{needs}; it goes to {show_length(hook.height_mm, show)}: {spare_words(hook.spare_mm, show)}{least}"
    )


def _on_hook(answer: HangAnswer, show: Show) -> str:
    air, out = show_force(answer.dry_n, show), show_force(answer.breakout.hook_n, show)
    under_n = answer.under.hook_n
    under = f"{show_force(under_n, show)} under" if under_n > 0.0 else "nothing under, where it floats"
    return f"{air} in air, {under}, {out} lifted out"


def _weighs(answer: HangAnswer, show: Show) -> str:
    return f"{show_mass(answer.wet_mass_kg, show)} at lift-out, {show_mass(answer.mass_kg, show)} dry"


def _beside_picks(answer: HangAnswer, show: Show) -> str:
    picks = "its pick" if len(answer.legs) == 1 else "its picks"
    if answer.below_mm < 0.0:
        return f"{at_most(-answer.below_mm, show)} over {picks}"
    if is_under_a_mark(answer.below_mm, show):
        return f"level with {picks}"
    return f"{at_least(answer.below_mm, show)} under {picks}"


def turned_words(answer: HangAnswer, swung: Swung, show: Show) -> str:
    """Return how the part turns in a state, from the way it hangs in air."""
    if swung.angles is None or swung.turn_rad is None:
        return f"floats: {show_force(-swung.hook_n, show)} up, the legs go slack"
    if swung.turn_rad < SHOWN_RAD:
        return "hangs as in air"
    tilt, roll = (
        swung.angles.tilt_rad - answer.angles.tilt_rad,
        swung.angles.roll_rad - answer.angles.roll_rad,
    )
    more = [
        f"{name} {'+' if by > 0.0 else '-'}{show_angle(abs(by))}"
        for name, by in (("tilt", tilt), ("roll", roll))
        if abs(by) >= SHOWN_RAD
    ]
    return f"turns by {show_angle(swung.turn_rad)} ({', '.join(more)})"


def _rig(rig: Rig, show: Show) -> str:
    one, other = (show_force(pull, show) for pull in rig.breakout_n)
    words = f"{show_length(rig.length_mm, show)} between plumb slings that pull {one} and {other} lifted out"
    if rig.upper_n is not None and rig.push_n is not None:
        upper = " and ".join(show_force(pull, show) for pull in rig.upper_n)
        push = show_force(rig.push_n, show)
        words += f"; its upper legs, none flatter than 60 deg, pull {upper} and press it with {push}"
    if rig.hook_mm is None:
        return words
    hook = "hooks" if rig.kind == "two hoists" else "hook"
    words += f"; {hook} at {at_most(rig.hook_mm, show)}"
    if rig.hook_spare_mm is None:
        return words
    left = rig.hook_spare_mm
    return (
        f"{words}, {some(left, show)} to spare"
        if left >= 0.0
        else f"{words}, {at_most(-left, show)} too high"
    )


def _cure(answer: HangAnswer, part: Part, show: Show) -> str:
    """Return what would make it hang, or what to measure; nothing where legs and hook are right."""
    hook, lower = answer.hook, answer.lower
    if "heights missing" in answer.faults:
        return f"{' and '.join(answer.missing)} measured, and written under [tanks.{answer.tank}]"
    if not {"flat legs", "hook too low", "hook within the tape"} & set(answer.faults):
        return ""
    if hook.least_mm is None or hook.height_mm is None:
        return ""
    enough_mm = hook.least_mm + hook.tape_mm
    if enough_mm <= hook.height_mm:
        rise, least = at_most(answer.least_rise_mm, show), at_most(hook.least_mm, show)
        return (
            f"the hook {rise} over the higher pick: its lowest for these picks, {least} over the shop floor"
        )
    words = [f"a hook that goes to {at_most(enough_mm, show)}"]
    words += [
        NAMES[rig.kind].lower()
        for rig in answer.rigs
        if rig.hook_spare_mm is not None and rig.hook_spare_mm >= hook.tape_mm
    ]
    if lower is not None:
        under = "and it goes under so" if lower.goes_under else "but it does not go under so in one pass"
        words.append(f"hung {attitude(lower.angles, part, show)}, {under}")
    return "; or ".join(words)
