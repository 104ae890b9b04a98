"""`fitcheck pass`: in how many passes every bit of a part gets wet, and how it is turned between them."""

from __future__ import annotations

from typing import Annotated

import typer

from fitcheck.cli.finish import CODE_OF_VERDICT, finish, finish_json
from fitcheck.cli.options import (
    AsJson,
    PartName,
    Picture,
    Roll,
    ShopFile,
    Swing,
    TankName,
    Tilt,
    angles_given,
    check_picture,
    part_and_tank,
)
from fitcheck.cli.quantities import read_option
from fitcheck.words.units import read_length


def passes(  # noqa: PLR0913, PLR0917 - one parameter for each option
    shop: ShopFile,
    part: PartName,
    tank: TankName,
    tilt: Tilt = None,
    roll: Roll = None,
    swing: Swing = None,
    sprung: Annotated[
        str | None,
        typer.Option(
            metavar="CHORD", help="The part is flat sheet, sprung until its long edges are so far apart."
        ),
    ] = None,
    as_json: AsJson = False,
    picture: Picture = None,
) -> None:
    """Ask in how many passes every bit of a part gets wet, turned how, overlapping how much.

    With --tilt, --roll or --swing: how deep it goes at that attitude, out over the rim, how much of it is
    wet, and whether a second pass wets the rest. Sheet whose alloy is known is sprung where it does not go
    flat.
    """
    check_picture(picture)
    angles = angles_given(tilt, roll, swing)
    chord = read_option("--sprung", sprung, read_length)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.passes.ask import passes as ask
    from fitcheck.questions.register import draw, text, to_dict

    known = read_shop(shop, part)
    the_part, the_tank = part_and_tank(known, shop, part, tank)
    answer = ask(the_part, the_tank, angles, chord)
    if picture is not None:
        draw(answer, picture, known)
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(to_dict(answer, known.show), code)
    finish(text(answer, known), code)
