"""A dip answer in the words of the shop: the verdict in one line, then the numbers, then the cautions."""

from __future__ import annotations

import math

from fitcheck.questions.dip.answer import (
    Advice,
    Cure,
    Deciding,
    DipAnswer,
    DoesNotFit,
    Fits,
    LeastLevel,
    MeasureAgain,
    NotFound,
)
from fitcheck.questions.dip.say_insertion import how_in, moves_in
from fitcheck.say.attitude_words import hanging, heights
from fitcheck.say.held_words import air_words, carried_words
from fitcheck.say.lines import aligned, cautions_text, folded
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.way_in import WayIn
from fitcheck.words.rounding import at_least, at_most, enough, is_under_a_mark, some
from fitcheck.words.units import (
    Show,
    show_force,
    show_length,
    show_mass,
    show_volume,
)

CURE_WORDS = {
    "length": "longer inside",
    "width": "wider inside",
    "depth": "deeper",
    "freeboard": "less freeboard",
    "cover": "less cover",
    "side_clearance": "less side clearance",
}
SIDE_WORDS = {"length": "length", "width": "width", "height": "height", "walls": "the walls"}


def verdict_line(answer: DipAnswer, show: Show) -> str:
    """Return the whole verdict in one line; no two of the four read alike."""
    name, spare = f"{answer.part} in {answer.tank}", answer.spare
    match answer:
        case Fits():
            return f"{name}: fits, with {some(spare.mm, show)} to spare"
        case DoesNotFit():
            short_mm = -spare.at_most_mm
            or_more = "" if is_under_a_mark(short_mm, show) else " or more"
            return f"{name}: does not fit, short by {some(short_mm, show)}{or_more} (proven)"
        case MeasureAgain():
            tape = at_most((spare.high_mm - spare.low_mm) / 2.0, show)
            return (
                f"{name}: measure again, {_by_the_sizes(spare.mm, show)}, and the tape may be out by {tape}"
            )
        case NotFound():
            return f"{name}: not found, neither a way to hang it nor a proof that there is none"


def text(answer: DipAnswer, shop: Shop) -> str:
    """Return the answer as text: verdict, numbers, cures, cautions."""
    told = dip_text(answer, shop.parts[answer.part], shop.show)
    return "\n\n".join(block for block in (told, cautions_text(answer.cautions, shop.show)) if block)


def dip_text(answer: DipAnswer, part: Part, show: Show) -> str:
    """Return the answer as text: verdict, numbers, cures. Its cautions are told by `cautions_text`."""
    rows: list[tuple[str, str]] = []
    match answer:
        case Fits(advice=advice, least=least):
            rows = [*_advice_rows(advice, answer, part, show), *_least_rows(least, part, show)]
            rows += _way_rows(answer.way_in, part, show)
        case MeasureAgain(advice=advice, least=least):
            rows = [*_advice_rows(advice, answer, part, show), *_least_rows(least, part, show)]
        case DoesNotFit(nearest=nearest):
            rows = [("Nearest to it", hanging(nearest, part, show)), *_room_rows(answer, show)]
        case NotFound(nearest=nearest, next_try=next_try):
            rows = [
                ("Nearest to it", hanging(nearest, part, show)),
                *_room_rows(answer, show),
                ("Left open", f"{answer.effort.open_share:.2%} of all ways to hang it"),
                ("Next", next_try),
            ]
    blocks = [verdict_line(answer, show), folded(answer.reason), "\n".join(aligned(rows))]
    if isinstance(answer, DoesNotFit) and answer.cures:
        cures = [f"  {cure_line(cure, show)}" for cure in answer.cures]
        blocks.append("\n".join(["Any one of these would make it fit:", *cures]))
    return "\n\n".join(block for block in blocks if block)


def _way_rows(way: WayIn | None, part: Part, show: Show) -> list[tuple[str, str]]:
    """Return how it gets in, where it may not simply be let down."""
    if way is None:
        return []
    rows = [("Way in", how_in(way, show))]
    if way.kind != "straight down":
        rows += [(f"  {k + 1}", line) for k, line in enumerate(moves_in(way, part, show))]
    return rows


def cure_line(cure: Cure, show: Show) -> str:
    """Return "2 1/8 in deeper", rounded up so that it does cure."""
    return f"{enough(cure.by_mm, show)} {CURE_WORDS[cure.what]}"


def _by_the_sizes(spare_mm: float, show: Show) -> str:
    if spare_mm < 0.0:
        return f"by the sizes given it is short by {at_most(-spare_mm, show)}"
    return f"by the sizes given it has {some(spare_mm, show)} to spare"


def _advice_rows(advice: Advice, answer: DipAnswer, part: Part, show: Show) -> list[tuple[str, str]]:
    fill = advice.fill
    down = show_length(fill.from_rim_mm, show)
    before_mm = fill.level_mm + fill.from_rim_mm - fill.level_before_mm
    rows = [
        ("How it hangs", hanging(advice.pose, part, show)),
        ("Where", heights(advice.pose, part, show)),
        ("Room left here", _room(advice.spare_mm, show)),
        *_room_rows(answer, show),
        ("Fill line", f"{down} down from the rim, part in ({show_length(fill.level_mm, show)} of liquid)"),
        ("Before the part", f"{show_length(before_mm, show)} down from the rim"),
        ("Liquid", show_volume(fill.liquid_l, show)),
        (
            "Rise",
            f"{show_length(fill.rise_mm, show)}; the part displaces {show_volume(fill.displaced_l, show)}",
        ),
        ("Freeboard", show_length(fill.freeboard_mm, show)),
        ("Air caught", air_words(advice.held, show)),
        ("Carried out", f"{carried_words(advice.held, show)}; it weighs {_lifted(advice, part, show)}"),
        ("Under", _under(advice, show)),
    ]
    if fill.overflow_l > 0.0:
        rows.append(("Overflow", f"{show_volume(fill.overflow_l, show)} runs over the rim"))
    return rows


def _lifted(advice: Advice, part: Part, show: Show) -> str:
    dry, wet = show_mass(part.mass_kg, show), show_mass(advice.wet_mass_kg, show)
    return f"{wet} at lift-out, {dry} dry" if wet != dry else f"{dry}"


def _under(advice: Advice, show: Show) -> str:
    if advice.uplift_n > 0.0:
        return f"floats: {show_force(advice.uplift_n, show)} up, hold it down"
    return f"sinks: {show_force(-advice.uplift_n, show)} on the hook when it is under"


def _room(spare_mm: float, show: Show) -> str:
    if spare_mm < 0.0:
        return f"{at_most(-spare_mm, show)} short of the clearances"
    return f"{some(spare_mm, show)} beyond every clearance"


def _room_rows(answer: DipAnswer, show: Show) -> list[tuple[str, str]]:
    spare = answer.spare
    rows = []
    if math.isfinite(spare.at_most_mm):
        rows.append(
            ("Room at best", f"{_room(spare.mm, show)}; proven that {_bound(spare.at_most_mm, show)}")
        )
    if math.isfinite(spare.low_mm) and math.isfinite(spare.high_mm):
        rows.append(("With the tape", _between(spare.low_mm, spare.high_mm, show)))
    if answer.deciding:
        rows.append(("What decides", ", ".join(_deciding(row, show) for row in answer.deciding)))
    return rows


def _bound(at_most_mm: float, show: Show) -> str:
    if at_most_mm < 0.0:
        return f"no way is short by less than {at_least(-at_most_mm, show)}"
    return f"no way has more than {at_most(at_most_mm, show)}"


def _between(low_mm: float, high_mm: float, show: Show) -> str:
    """Return a range that may reach from too short to room enough."""
    if high_mm < 0.0:
        return f"from {at_most(-low_mm, show)} to {at_least(-high_mm, show)} short"
    if low_mm < 0.0:
        return f"from {at_most(-low_mm, show)} short to {at_most(high_mm, show)} to spare"
    return f"from {at_least(low_mm, show)} to {at_most(high_mm, show)} to spare"


def _deciding(row: Deciding, show: Show) -> str:
    if row.spare_mm < 0.0:
        return f"{SIDE_WORDS[row.side]} ({at_most(-row.spare_mm, show)} short)"
    return f"{SIDE_WORDS[row.side]} ({some(row.spare_mm, show)} left)"


def _least_rows(least: LeastLevel | None, part: Part, show: Show) -> list[tuple[str, str]]:
    if least is None:
        return []
    level = show_length(least.level_mm, show)
    proven = at_least(least.at_least_mm, show)
    return [("Lowest level", f"{level}, hung {hanging(least.pose, part, show)}; proven never under {proven}")]
