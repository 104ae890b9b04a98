"""A weighing in the words of the shop: the three weights in one line, then how they come about."""

from __future__ import annotations

from fitcheck.questions.weigh.answer import WeighAnswer
from fitcheck.say.attitude_words import attitude
from fitcheck.say.held_words import NOTHING_L
from fitcheck.say.lines import aligned, cautions_text, folded
from fitcheck.things.shop import Shop
from fitcheck.words.units import Show, show_force, show_mass, show_volume


def text(answer: WeighAnswer, shop: Shop) -> str:
    """Return the answer as text: the weights in one line, the numbers, the cautions."""
    show = shop.show
    how = attitude(answer.angles, shop.parts[answer.part], show)
    rows = [
        ("How it hangs", how if answer.advised else f"{how}, as asked"),
        ("In air", f"{show_mass(answer.dry_kg, show)}, {show_force(answer.dry_n, show)} on the hook"),
        ("Under the liquid", f"{_under(answer, show)}; it displaces {show_volume(answer.displaced_l, show)}"),
        ("Lifted out", f"{show_force(answer.lift_out_n, show)} on the hook, {_with_liquid(answer, show)}"),
        (
            "Most on the hook",
            f"{show_force(answer.most_n, show)}; what clings, suction and jerks come on top",
        ),
    ]
    blocks = [folded(first_line(answer, show)), "\n".join(aligned(rows))]
    return "\n\n".join([*blocks, cautions_text(answer.cautions, show)])


def first_line(answer: WeighAnswer, show: Show) -> str:
    """Return the three weights in one line."""
    dry, wet = show_mass(answer.dry_kg, show), show_mass(answer.lift_out_kg, show)
    return f"{answer.part} in {answer.tank}: {dry} dry, {_under(answer, show)}, {wet} lifted out"


def _under(answer: WeighAnswer, show: Show) -> str:
    if answer.under_n < 0.0:
        return f"floats with {show_force(-answer.under_n, show)} when it is under"
    return f"{show_force(answer.under_n, show)} on the hook when it is under"


def _with_liquid(answer: WeighAnswer, show: Show) -> str:
    if answer.carry_out_l < NOTHING_L:
        return "no liquid stands in it"
    return f"with {show_volume(answer.carry_out_l, show)} of the bath in it"
