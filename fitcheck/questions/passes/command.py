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
    from fitcheck.geometry.statics.sprung_sheet import bent_part
    from fitcheck.questions.passes.ask import passes as ask
    from fitcheck.questions.passes.record import pass_json
    from fitcheck.questions.passes.say import pass_text
    from fitcheck.say.legacy_cautions import with_pass_cautions

    known = read_shop(shop, part)
    the_part, the_tank = part_and_tank(known, shop, part, tank)
    answer = with_pass_cautions(ask(the_part, the_tank, angles, chord), the_tank, known.show)
    if answer.sprung is not None:
        the_part = bent_part(the_part, answer.sprung.chord_mm)
    if picture is not None:
        from fitcheck.questions.passes.draw import draw_passes

        draw_passes(answer, the_part, the_tank, known.show, picture, known.name)
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(pass_json(answer), code)
    finish(pass_text(answer, the_part, known.show), code)
