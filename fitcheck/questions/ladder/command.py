"""`fitcheck ladder`: in what order, with which blocks, on how much liquid."""

from __future__ import annotations

from typing import Annotated

import typer

from fitcheck.cli.finish import CODE_OF_VERDICT, finish, finish_json
from fitcheck.cli.options import AsJson, Picture, ShopFile, check_picture, tank_named
from fitcheck.cli.progress import ticking
from fitcheck.cli.quantities import read_option
from fitcheck.questions.lot.command import OneTank
from fitcheck.words.units import read_volume


def ladder(
    shop: ShopFile,
    tank: OneTank = None,
    mixed: Annotated[
        str | None,
        typer.Option(
            metavar="VOLUME", help='What is mixed for each tank, "300 gal": what can be done on it?'
        ),
    ] = None,
    blocks: Annotated[
        int | None,
        typer.Option(
            metavar="N",
            help="Build at most N blocks for a tank, and stand them beside one load after another.",
        ),
    ] = None,
    as_json: AsJson = False,
    picture: Picture = None,
) -> None:
    """Ask for the order of loads and blocks in which liquid is only added, and least is mixed."""
    check_picture(picture)
    mixed_l = read_option("--mixed", mixed, read_volume)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.ladder.ask import ladder as ask
    from fitcheck.questions.ladder.record import ladder_json
    from fitcheck.questions.ladder.say import ladder_text, with_ladder_cautions

    known = read_shop(shop)
    if tank is not None:
        tank_named(known, shop, tank)
    with ticking(len(known.parts), "every part with its blocks") as tick:
        answer = ask(known, tank, mixed_l, tick, few=blocks)
    answer = with_ladder_cautions(answer, known.parts, known.tanks, known.show)
    if picture is not None and answer.steps:
        from fitcheck.questions.ladder.draw import draw_ladder

        draw_ladder(answer, known.show, picture, known.name)
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(ladder_json(answer), code)
    finish(ladder_text(answer, known.parts, known.show), code)
