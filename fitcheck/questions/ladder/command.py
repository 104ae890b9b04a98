"""`fitcheck ladder`: in what order, with which blocks, on how much liquid."""

from __future__ import annotations

from typing import Annotated

import typer

from fitcheck.cli.finish import CODE_OF_VERDICT, finish, finish_json, note
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
    from fitcheck.questions.register import draw, text, to_dict

    known = read_shop(shop)
    if tank is not None:
        tank_named(known, shop, tank)
    with ticking(len(known.parts), "every part with its blocks") as tick:
        answer = ask(known, tank, mixed_l, tick, few=blocks)
    if picture is not None:
        for line in draw(answer, picture):
            note(line)
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(to_dict(answer), code)
    finish(text(answer), code)
