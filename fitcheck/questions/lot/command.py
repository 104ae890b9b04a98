"""`fitcheck lot`: which parts go in together."""

from __future__ import annotations

from typing import Annotated

import typer

from fitcheck.cli.finish import CODE_OF_VERDICT, finish, finish_json, note
from fitcheck.cli.options import AsJson, Picture, ShopFile, check_picture, tank_named
from fitcheck.cli.progress import ticking

OneTank = Annotated[
    str | None,
    typer.Option("--tank", metavar="TANK", help="In this tank only; else for every step or liquid."),
]


def lot(shop: ShopFile, tank: OneTank = None, as_json: AsJson = False, picture: Picture = None) -> None:
    """Ask which parts go in together, in the fewest loads."""
    check_picture(picture)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.lot.ask import lot as ask
    from fitcheck.questions.register import draw, text, to_dict

    known = read_shop(shop)
    if tank is not None:
        tank_named(known, shop, tank)
    with ticking(len(known.parts), "every part in its tanks") as tick:
        answer = ask(known, tank, tick)
    if picture is not None:
        for line in draw(answer, picture):
            note(line)
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(to_dict(answer), code)
    finish(text(answer), code)
