"""Cautions of tanks and baths as sentences, each with where it comes from."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fitcheck.things.caution import Caution
from fitcheck.things.stock import HOLD_DOWN
from fitcheck.words.rounding import at_least
from fitcheck.words.units import (
    MM2_PER_M2,
    Show,
    show_area,
    show_force,
    show_length,
    show_mass,
    show_volume,
)

# Those that have no numbers.
BATH: Mapping[str, str] = {
    "water test": (
        "On paper until proven in plain water: fill to the line and dip the part, or a dummy of its size, "
        "before anything is mixed (common practice)."
    ),
    "outranked": (
        "The safety sheet, the bath maker's sheet, local codes and a competent person outrank all figures "
        "here."
    ),
    "hydrogen": (
        "Etching gives off hydrogen, which gathers in the same high pockets as the air: one that is vented "
        "only at the start goes bare later. It burns from about 4 % in air: no flame near, exhaust at the "
        "rim, and no lid on a bath at work."
    ),
    "drilling": (
        "Holes told here are where geometry wants them: whoever answers for the part's strength and "
        "tightness says whether it may be drilled there."
    ),
    "band shows": (
        "What is treated twice shows as a band. Keep the edge wet between the passes: a dry line shows too "
        "(common practice)."
    ),
    "sprung sheet": (
        "A sprung sheet lets go with a snap: straps in good order, nobody in line with its edges, and "
        "gloves. The yield is where 0.2 % of set is left already: bend an offcut first (common practice)."
    ),
    "air in passes": (
        "What caught air keeps bare counts as wet here: bleed it at each attitude (fitcheck pocket tells "
        "where a hole would help)."
    ),
    "way down": (
        "Not looked at is the way down: where walls lean in towards the rim, see that it goes down straight."
    ),
    "end stands out": "The end that stands out is held and cannot swing: nobody stands under it.",
    "blocks float": (
        "An empty block is a float: strap or ballast every piece before any liquid goes in, pad its edges "
        "against the lining, and try it in plain water (common practice)."
    ),
    "ask an engineer": (
        "Thrust, bending and floor figures are to ask an engineer with; they approve no wall, board, strap "
        "or floor."
    ),
}


def _air_stays(caution: Caution, show: Show) -> str:
    air, allowed = (show_volume(caution.number(name), show) for name in ("air_l", "at_most_l"))
    stays = f"{air} of air stays in {caution.word('part')} here"
    bare = show_area(caution.number("bare_m2") * MM2_PER_M2, show)
    return (
        f"{stays}, more than air_at_most allows ({allowed}): {bare} of metal stays bare. "
        "Ask fitcheck pocket for a better way up, or where a bleed hole would help."
    )


def _not_covered(caution: Caution, show: Show) -> str:
    level, covers = (show_length(caution.number(name), show) for name in ("level_mm", "covers_mm"))
    return (
        f"At the level asked for, {level}, {caution.word('part')} is not covered: that takes {covers} of "
        "liquid, part in. What stands out stays untreated."
    )


def _too_full(caution: Caution, show: Show) -> str:
    level, most = (show_length(caution.number(name), show) for name in ("level_mm", "at_most_mm"))
    over = caution.number("overflow_l")
    runs = f" {show_volume(over, show)} of the bath runs over the rim." if over > 0.0 else ""
    return (
        f"At the level asked for, {level}, {caution.word('tank')} is fuller than its freeboard allows "
        f"({most}, part in): it splashes over when the part goes in.{runs}"
    )


def _carries_out(caution: Caution, show: Show) -> str:
    bath = show_volume(caution.number("carry_out_l"), show)
    return (
        f"{caution.word('part')} comes out with {bath} of the bath in it, "
        f"{show_mass(caution.number('more_kg'), show)} more on the hook: ask with --prefer best-drain, or "
        "fitcheck pocket where a drain hole would help."
    )


def _floats(caution: Caution, show: Show) -> str:
    up = show_force(caution.number("uplift_n"), show)
    return (
        f"{caution.word('part')} floats: {up} pushes it up when it is under. Hold it down with at least "
        f"{HOLD_DOWN:g} times that (common practice), and let nobody hold it by hand."
    )


def _low_rim(caution: Caution, show: Show) -> str:
    high = show_length(caution.number("height_mm"), show)
    return (
        f"The rim of {caution.word('tank')} is {high} over the floor, under {caution.word('guarded')}: with "
        "a hazardous liquid it needs a rail, a cover or a higher rim (California Title 8 section 3480, "
        "quoted); federal 29 CFR 1910.28(b)(6) treats such tanks as dangerous equipment."
    )


def _narrow_band(caution: Caution, show: Show) -> str:
    return (
        f"The band that is treated twice is {at_least(caution.number('band_mm'), show)} wide where it is "
        f"narrowest, square to the line; the overlap of {show_length(caution.number('overlap_mm'), show)} is "
        "kept along the part. A level half as much too low in both passes leaves a dry line: set tilt and "
        "level by marks on the part."
    )


BATH_WITH_NUMBERS: Mapping[str, Callable[[Caution, Show], str]] = {
    "air stays": _air_stays,
    "carries out": _carries_out,
    "floats": _floats,
    "low rim": _low_rim,
    "narrow band": _narrow_band,
    "not covered": _not_covered,
    "too full": _too_full,
}
