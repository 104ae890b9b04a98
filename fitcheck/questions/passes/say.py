"""More than one pass, in the words of the shop."""

from __future__ import annotations

from dataclasses import replace

from fitcheck.questions.passes.answer import CUPFUL_L, AtLeast, Pass, PassAnswer, Window, count_words
from fitcheck.say.attitude_words import hanging, heights_between
from fitcheck.say.lines import aligned, cautions_text, folded
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.springing import Sprung
from fitcheck.words.rounding import at_least, at_most, is_under_a_mark
from fitcheck.words.units import (
    MM2_PER_M2,
    Show,
    show_angle,
    show_area,
    show_force,
    show_length,
    show_volume,
)

TURN_WORDS = {
    "same face up": "turned end for end, the same face up",
    "upside down": "turned end for end and over, the other face up",
    "rolled over": "rolled over about its length, its ends left where they are",
    "hung anew": "hung anew for each pass, as each pass says",
}
HELD_WORDS = {
    "floor": "let all the way down",
    "rim": "let down until it lies over the rim, its clearance kept",
    "what stands there": "let down until it is near what stands in the tank",
}


def text(answer: PassAnswer, shop: Shop) -> str:
    """Return the answer as text: the verdict in one line, then each pass, then the cautions."""
    show, part = shop.show, _sized(answer, shop.parts[answer.part])
    rows = [] if answer.sprung is None else sprung_rows(answer.sprung, show)
    rows += [row for k, each in enumerate(answer.passes) for row in _pass_rows(k, each, part, show)]
    if answer.turn is not None:
        rows.append(("Between", TURN_WORDS[answer.turn]))
    if answer.overlap_mm is not None:
        rows.append(("Overlap", overlap_words(answer.overlap_mm, answer.band_mm, part, show)))
    if answer.passes:
        rows.append(("Wet in all", f"{answer.covered:.1%} of the surface"))
    if answer.never is None:
        rows.append(("At least", at_least_words(answer.at_least)))
    else:
        away = at_least(answer.never.distance_mm, show)
        room = at_most(answer.never.room_mm, show)
        rows.append(
            ("Why never", f"its middle lies {away} from what must go in with it; the bath has {room}")
        )
    rows += [("Two passes do", _window(window)) for window in answer.windows]
    blocks = [
        _verdict_line(answer),
        folded(answer.reason),
        "\n".join(aligned(rows)),
        cautions_text(answer.cautions, show),
    ]
    return "\n\n".join(block for block in blocks if block)


def _sized(answer: PassAnswer, part: Part) -> Part:
    """Return the part with the sizes that it has as it goes in; no words need its solid, which stays flat."""
    if answer.sprung is None:
        return part
    size = list(part.size_mm)
    thick, wide, _ = sorted(range(3), key=part.size_mm.__getitem__)
    size[wide], size[thick] = answer.sprung.chord_mm, answer.sprung.rise_mm
    return replace(part, size_mm=(size[0], size[1], size[2]))


def _verdict_line(answer: PassAnswer) -> str:
    name, passes = f"{answer.part} in {answer.tank}", count_words(len(answer.passes))
    sprung = ", sprung to an arc" if answer.sprung is not None else ""
    if answer.verdict == "fits":
        proven = f" ({_fewer(answer)})" if len(answer.passes) > 1 else ""
        return f"{name}: {passes}{sprung}{proven}"
    if answer.verdict == "measure again":
        return f"{name}: measure again, the tapes decide whether {passes}{sprung} will do"
    if answer.verdict == "does not fit":
        if answer.never is None:
            return f"{name}: does not fit so sprung, it would keep a set"
        return f"{name}: does not fit, no number of passes wets all of it (proven)"
    return f"{name}: not found, no passes that wet all of it"


def _fewer(answer: PassAnswer) -> str:
    known, count = answer.at_least.passes, len(answer.passes)
    if known == count:
        fewer = count_words(count - 1).split()[0]
        return f"{fewer} {'is' if count == 2 else 'are'} proven not to do"
    return f"fewer not shown to be too few; at least {known}"


def at_least_words(bound: AtLeast) -> str:
    """Return how many passes are proven to be needed, and by what."""
    count = count_words(bound.passes)
    count = f"{bound.shape}, {count}" if bound.shape and bound.because else count
    match bound.because:
        case "dip":
            return f"{count}: proven that it does not go under in one"
        case "points" if bound.points_mm is not None:
            return f"{count}: so many corners of it lie too far apart to go under two at a time (proven)"
        case "area" if bound.share_at_most is not None:
            return f"{count}: no pass wets more than {bound.share_at_most:.1%} of its surface (proven)"
    return f"{count}; more is not shown"


def _pass_rows(k: int, each: Pass, part: Part, show: Show) -> list[tuple[str, str]]:
    down, liquid = show_length(each.fill.from_rim_mm, show), show_volume(each.fill.liquid_l, show)
    wet = show_area(each.wet_m2 * MM2_PER_M2, show)
    bare = show_area(each.air_m2 * MM2_PER_M2, show)
    keeps = (
        f"; {show_volume(each.air_l, show)} of air keeps {bare} of that bare" if each.air_l > CUPFUL_L else ""
    )
    return [
        (f"Pass {k + 1}", f"{hanging(each.pose, part, show)}; {HELD_WORDS[each.held_by]}"),
        ("", heights_between(each.lowest_mm, each.highest_mm, show)),
        ("", f"liquid {down} down from the rim, {liquid}"),
        ("", f"wets {wet}, {each.covers:.1%} of the surface{keeps}"),
    ]


def sprung_rows(sprung: Sprung, show: Show) -> list[tuple[str, str]]:
    """Return how a sheet is sprung, how tight it may be and what holds it, each with its name."""
    curve = "an arc" if sprung.curve == "arc" else "a U"
    chord, rise = show_length(sprung.chord_mm, show), show_length(sprung.rise_mm, show)
    radius, least = show_length(sprung.radius_mm, show), at_most(sprung.least_radius_mm, show)
    rows = [
        ("Sprung", f"across its width to {curve}, {chord} over its outer edges, {rise} high over all"),
        ("", f"radius {radius}: its faces are strained {sprung.strain:.2%}"),
        ("Springs back", f"from {sprung.yield_strain:.2%}, a radius of {least} or more ({sprung.source})"),
    ]
    if sprung.pull_n is not None:
        rows.append(
            ("Held by", f"straps from edge to edge, {show_force(sprung.pull_n, show)} between them all")
        )
    alone = f"held by straps alone its middle bends to {show_length(sprung.strapped_radius_mm, show)}"
    sets = ", and keeps a set: hold it round" if sprung.strapped_strain > sprung.yield_strain else ""
    return [*rows, ("", f"{alone}, {sprung.strapped_strain:.2%}{sets}")]


def overlap_words(overlap_mm: float, band_mm: float | None, part: Part, show: Show) -> str:
    """Return what passes share along the part, and how wide that is at least, or what they leave dry."""
    if is_under_a_mark(abs(overlap_mm), show):
        return "none: they only just meet"
    if overlap_mm < 0.0:
        return f"none: {at_most(-overlap_mm, show)} stay dry between them"
    # Lines that lie almost level on a part are far apart along it, and near each other all the same.
    along = "all along it" if overlap_mm > max(part.size_mm) else f"{at_least(overlap_mm, show)} at least"
    band = "" if band_mm is None else f", in a band {at_least(band_mm, show)} wide or more"
    return f"{along}, treated twice{band}"


def _window(window: Window) -> str:
    return (
        f"let all the way down and tilted {show_angle(window.low_rad)} to {show_angle(window.high_rad)}, "
        f"{TURN_WORDS[window.turn]} (by the sizes as given)"
    )
