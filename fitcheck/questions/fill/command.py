"""`fitcheck fill`: how much liquid stands how high."""

from __future__ import annotations

from typing import Annotated

import typer

from fitcheck.cli.finish import finish, finish_json
from fitcheck.cli.options import (
    AsJson,
    Picture,
    ShopFile,
    TankName,
    check_picture,
    tank_named,
)
from fitcheck.cli.quantities import read_option
from fitcheck.words.errors import Fault, InputFault
from fitcheck.words.units import MM_PER_INCH, Show, read_length, read_volume

# A dip-stick has a line for each inch, or for each 25 mm.
STICK_STEP_MM: dict[Show, float] = {"ft-in": MM_PER_INCH, "mm": 25.0}


def fill(
    shop: ShopFile,
    tank: TankName,
    level: Annotated[
        str | None,
        typer.Option(metavar="LEVEL", help='How much is in it at this level over its floor: "16 in".'),
    ] = None,
    liquid: Annotated[
        str | None,
        typer.Option(metavar="VOLUME", help='How high this much stands in it: "50 gal".'),
    ] = None,
    as_json: AsJson = False,
    picture: Picture = None,
) -> None:
    """Ask how much liquid stands in a tank at which level, no part in.

    Without --level or --liquid: the whole dip-stick.
    """
    if level is not None and liquid is not None:
        raise InputFault([Fault("--level and --liquid", "both are given", "leave one of them out")])
    check_picture(picture)
    level_mm = read_option("--level", level, read_length)
    liquid_l = read_option("--liquid", liquid, read_volume)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.fill.ask import fill as ask
    from fitcheck.questions.register import draw, text, to_dict

    known = read_shop(shop)
    answer = ask(tank_named(known, shop, tank), level_mm, liquid_l, STICK_STEP_MM[known.show])
    if picture is not None:
        draw(answer, picture, known)
    if as_json:
        finish_json(to_dict(answer, known.show))
    finish(text(answer, known))
