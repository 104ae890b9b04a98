"""`fitcheck tank-for`: which box tank is to be built for a list of parts."""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import TYPE_CHECKING, Annotated

import typer

from fitcheck.cli.finish import finish, finish_json
from fitcheck.cli.options import AsJson, ShopFile, part_named
from fitcheck.cli.progress import ticking
from fitcheck.words.units import Show, show_length, show_volume

if TYPE_CHECKING:
    from fitcheck.questions.tank_for.answer import NewTank, TankForAnswer


def tank_for(
    shop: ShopFile,
    parts: Annotated[
        str | None,
        typer.Option("--for", metavar="PART[,PART]", help="The parts it is to take; all where left out."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Ask which box tank takes these parts, one at a time in one pass or in two, on the least liquid."""
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.tank_for.ask import tank_for as ask
    from fitcheck.say.legacy_cautions import ENGINEER, OUTRANKED, WATER_TEST

    known = read_shop(shop)
    named = list(known.parts.values())
    if parts is not None:
        named = [part_named(known, shop, name.strip()) for name in parts.split(",") if name.strip()]
    with ticking(len(named), "how each part may hang") as tick:
        answer = ask(named, known.rules, tick=tick)
    answer = replace(answer, cautions=(ENGINEER, AIR, WATER_TEST, OUTRANKED))
    if as_json:
        finish_json(
            asdict(answer)
            | {
                "checked": dict(answer.checked),
                "proven_parts": dict(answer.proven_parts),
                "in_two_passes": dict(answer.in_two_passes),
            }
        )
    finish(_text(answer, known.show))


AIR = "Air that a part catches was not looked at: ask fitcheck dip with the new tank before it is built."


def _text(answer: TankForAnswer, show: Show) -> str:
    from fitcheck.say.lines import aligned, cautions_text, folded

    first = answer.tanks[0]
    bound = show_volume(answer.at_least_l, show)
    word = "proven" if len(answer.parts) == 1 else "best found; proven"
    rows = [(f"{len(tank.takes)} of {len(answer.parts)}", _line(tank, show)) for tank in answer.tanks]
    unsure = [f"{part} ({verdict})" for part, verdict in answer.checked if verdict != "fits"]
    blocks = [
        f"For {len(answer.parts)} of {len(answer.parts)} parts in one pass: {_line(first, show)}",
        folded(f"{word} that no box tank for all of them does with less than {bound} up to its level"),
        "\n".join(aligned([("Takes", "liquid against share of the list"), *rows])),
        _cut(first, show),
        _two_passes(answer, show),
        f"Look again at {', '.join(unsure)}" if unsure else "",
        cautions_text(answer.cautions),
    ]
    return "\n\n".join(text for text in blocks if text)


def _two_passes(answer: TankForAnswer, show: Show) -> str:
    """Return the tank for two passes, and which parts take them."""
    from fitcheck.say.lines import folded

    if answer.in_two is None:
        return "In two passes no less liquid was found to do"
    twice = ", ".join(part for part, count in answer.in_two_passes if count > 1)
    line = f"In two passes (best found, not proven least): {_line(answer.in_two, show)}"
    return f"{folded(f'{line}; turned end for end: {twice}')}\n{_cut(answer.in_two, show)}"


def _cut(tank: NewTank, show: Show) -> str:
    """Return the panels to cut."""
    from fitcheck.say.lines import aligned

    cut = "; ".join(
        f"{panel.count} {panel.name} {' x '.join(show_length(side, show) for side in panel.size_mm)}"
        for panel in tank.panels
    )
    return "\n".join(aligned([("Cut", f"{cut}, of 3/4 in board, inside sizes kept")]))


def _line(tank: NewTank, show: Show) -> str:
    size = " x ".join(show_length(side, show) for side in tank.inside_mm)
    return (
        f"{size} inside, {show_volume(tank.liquid_l, show)} at {show_length(tank.level_mm, show)} of liquid"
    )
