"""`fitcheck carry`: whether a part can be carried through, and how."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fitcheck.cli.finish import CODE_OF_VERDICT, finish, finish_json
from fitcheck.cli.options import AsJson, PartName, Picture, ShopFile, check_picture, named
from fitcheck.words.errors import Fault, InputFault

if TYPE_CHECKING:
    from fitcheck.questions.carry.answer import CarryAnswer
    from fitcheck.words.units import Show

MOCK_UP = (
    "On paper: walk it first with a light dummy of the same size; handles, people and slings are not looked "
    "at (common practice)."
)
LIFT = "Who carries decides how much: NIOSH's load constant is 51 lb for one person, at best (DHHS 94-110)."
# Key poses printed; the JSON has them all.
MOST_STEPS = 12


def carry(  # noqa: PLR0913, PLR0917 - one parameter for each option
    shop: ShopFile,
    part: PartName,
    route: Annotated[str, typer.Argument(metavar="ROUTE", help="A route of it.")],
    sharp: Annotated[bool, typer.Option("--sharp", help="Look four times finer before giving up.")] = False,
    as_json: AsJson = False,
    picture: Picture = None,
    animation: Annotated[
        Path | None,
        typer.Option("--animation", metavar="FILE.svg", help="Write the way as a drawing that moves."),
    ] = None,
) -> None:
    """Ask whether a part can be carried through corridors and doors, level or tipped up."""
    check_picture(picture)
    _check_animation(animation)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.carry.ask import carry as ask
    from fitcheck.questions.carry.record import carry_json

    known = read_shop(shop, part)
    the_part = named(shop, "part or assembly", part, {**known.parts, **known.assemblies})
    the_route = named(shop, "route", route, known.routes)
    answer = replace(ask(the_part, the_route, sharp=sharp), cautions=(MOCK_UP, LIFT))
    if picture is not None:
        from fitcheck.questions.carry.draw import draw_carry

        draw_carry(answer, the_route, known.show, picture, known.name)
    if animation is not None and answer.path:
        from fitcheck.questions.carry.draw_animation import write_animation

        write_animation(answer, the_route, animation)
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(carry_json(answer), code)
    finish(_text(answer, known.show), code)


def _check_animation(path: Path | None) -> None:
    """Refuse an animation that could not be written, before any work is done for it."""
    if path is None:
        return
    if path.suffix.lower() != ".svg":
        raise InputFault([Fault("--animation", f"{path} does not end in .svg", "name it as in way.svg")])
    check_picture(path, "--animation")


def _text(answer: CarryAnswer, show: Show) -> str:
    from fitcheck.say.lines import aligned, cautions_text, folded
    from fitcheck.words.rounding import at_least, is_under_a_mark
    from fitcheck.words.units import show_angle, show_length

    first = folded(f"{answer.part} by {answer.route}: {answer.verdict}, {answer.reason}")
    rows = []
    if answer.width_spare_mm is not None:
        spare = f"at least {at_least(answer.width_spare_mm, show)} on each side, at the pinch"
        little = is_under_a_mark(answer.width_spare_mm, show)
        rows.append(("To spare", "nothing that could be promised" if little else spare))
    if answer.pinch_mm is not None:
        east, north = (show_length(side, show) for side in answer.pinch_mm)
        rows.append(("Pinch", f"with the middle of the part {east} east, {north} north"))
    every = max(1, -(-len(answer.path) // MOST_STEPS))
    steps = [*answer.path[:-1:every], *answer.path[-1:]]
    for k, step in enumerate(steps):
        east, north = (show_length(side, show) for side in step.at_mm)
        tipped = f", tipped {show_angle(step.tilt_rad)}" if step.tilt_rad else ""
        swing = show_angle(step.swing_rad)
        rows.append(("Way" if k == 0 else "", f"{east} east, {north} north, swung {swing}{tipped}"))
    blocks = [first, "\n".join(aligned(rows)) if rows else "", cautions_text(answer.cautions)]
    return "\n\n".join(block for block in blocks if block)
