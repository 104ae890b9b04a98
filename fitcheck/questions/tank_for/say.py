"""A tank that is to be built, in the words of the shop."""

from __future__ import annotations

from fitcheck.questions.tank_for.answer import NewTank, TankForAnswer
from fitcheck.say.lines import aligned, cautions_text, folded
from fitcheck.things.shop import Shop
from fitcheck.words.units import Show, show_length, show_volume


def text(answer: TankForAnswer, shop: Shop) -> str:
    """Return the answer as text: the tank for all in one line, then for fewer parts, and for two passes."""
    first, show = answer.tanks[0], shop.show
    bound = show_volume(answer.at_least_l, show)
    word = "proven" if len(answer.parts) == 1 else "best found; proven"
    rows = [(f"{len(tank.takes)} of {len(answer.parts)}", _line(tank, show)) for tank in answer.tanks]
    unsure = [f"{part} ({verdict})" for part, verdict in answer.checked if verdict != "fits"]
    blocks = [
        f"For {len(answer.parts)} of {len(answer.parts)} parts in one pass: {_line(first, show)}",
        folded(f"{word} that no box tank for all of them does with less than {bound} up to its level"),
        "\n".join(aligned([("Takes", "liquid against share of the list"), *rows])),
        _cut(first, answer.board_mm, show),
        _two_passes(answer, show),
        f"Look again at {', '.join(unsure)}" if unsure else "",
        cautions_text(answer.cautions, show),
    ]
    return "\n\n".join(block for block in blocks if block)


def _two_passes(answer: TankForAnswer, show: Show) -> str:
    """Return the tank for two passes, and which parts take them."""
    if answer.in_two is None:
        return "In two passes no less liquid was found to do"
    twice = ", ".join(part for part, count in answer.in_two_passes if count > 1)
    line = f"In two passes (best found, not proven least): {_line(answer.in_two, show)}"
    return f"{folded(f'{line}; turned end for end: {twice}')}\n{_cut(answer.in_two, answer.board_mm, show)}"


def _cut(tank: NewTank, board_mm: float, show: Show) -> str:
    """Return the panels to cut."""
    cut = "; ".join(
        f"{panel.count} {panel.name} {' x '.join(show_length(side, show) for side in panel.size_mm)}"
        for panel in tank.panels
    )
    return "\n".join(aligned([("Cut", f"{cut}, of {show_length(board_mm, show)} board, inside sizes kept")]))


def _line(tank: NewTank, show: Show) -> str:
    size = " x ".join(show_length(side, show) for side in tank.inside_mm)
    return (
        f"{size} inside, {show_volume(tank.liquid_l, show)} at {show_length(tank.level_mm, show)} of liquid"
    )
