"""`fitcheck lot`: which parts go in together."""

from __future__ import annotations

from typing import Annotated

import typer

from fitcheck.cli.finish import CODE_OF_VERDICT, finish, finish_json
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
    from fitcheck.questions.lot.record import lot_json
    from fitcheck.questions.lot.say import lot_text, with_lot_cautions

    known = read_shop(shop)
    if tank is not None:
        tank_named(known, shop, tank)
    with ticking(len(known.parts), "every part in its tanks") as tick:
        answer = ask(known, tank, tick)
    answer = with_lot_cautions(answer, known.parts, known.tanks, known.show)
    if picture is not None:
        from fitcheck.questions.lot.draw import draw_lot

        draw_lot(answer, known.parts, known.tanks, known.show, picture, known.name)
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(lot_json(answer), code)
    finish(lot_text(answer, known.parts, known.show), code)
