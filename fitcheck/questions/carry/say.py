"""A carry answer in the words of the shop: the verdict in one line, then the way, then the cautions."""

from __future__ import annotations

from fitcheck.questions.carry.answer import CarryAnswer, KeyPose
from fitcheck.say.lines import aligned, cautions_text, folded
from fitcheck.things.shop import Shop
from fitcheck.words.rounding import at_least, is_under_a_mark
from fitcheck.words.units import Show, show_angle, show_length

# Key poses told; the JSON has them all.
MOST_STEPS = 12


def text(answer: CarryAnswer, shop: Shop) -> str:
    """Return the answer as text: the verdict, what is to spare, the way, the cautions."""
    show = shop.show
    blocks = [
        folded(f"{answer.part} by {answer.route}: {answer.verdict}, {answer.reason}"),
        "\n".join(aligned([*_spare_rows(answer, show), *_way_rows(answer, show)])),
        cautions_text(answer.cautions, show),
    ]
    return "\n\n".join(block for block in blocks if block)


def _spare_rows(answer: CarryAnswer, show: Show) -> list[tuple[str, str]]:
    rows = []
    if answer.width_spare_mm is not None:
        spare = f"at least {at_least(answer.width_spare_mm, show)} on each side, at the pinch"
        little = is_under_a_mark(answer.width_spare_mm, show)
        rows.append(("To spare", "nothing that could be promised" if little else spare))
    if answer.pinch_mm is not None:
        east, north = (show_length(side, show) for side in answer.pinch_mm)
        rows.append(("Pinch", f"with the middle of the part {east} east, {north} north"))
    return rows


def _way_rows(answer: CarryAnswer, show: Show) -> list[tuple[str, str]]:
    every = max(1, -(-len(answer.path) // MOST_STEPS))
    steps = [*answer.path[:-1:every], *answer.path[-1:]]
    return [("Way" if k == 0 else "", _step_words(step, show)) for k, step in enumerate(steps)]


def _step_words(step: KeyPose, show: Show) -> str:
    east, north = (show_length(side, show) for side in step.at_mm)
    tipped = f", tipped {show_angle(step.tilt_rad)}" if step.tilt_rad else ""
    return f"{east} east, {north} north, swung {show_angle(step.swing_rad)}{tipped}"
