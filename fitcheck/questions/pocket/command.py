"""`fitcheck pocket`: where air is caught going in, and liquid carried out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from fitcheck.cli.finish import finish, finish_json, note
from fitcheck.cli.options import (
    AsJson,
    PartName,
    Picture,
    Roll,
    ShopFile,
    Swing,
    Tilt,
    angles_given,
    check_picture,
    part_named,
    photographer_for,
    tank_named,
)
from fitcheck.cli.progress import ticking
from fitcheck.words.errors import Fault, InputFault

if TYPE_CHECKING:
    from pathlib import Path

    from fitcheck.draw.space_photo import Photographer
    from fitcheck.questions.pocket.answer import PocketAnswer
    from fitcheck.things.shop import Shop


def pocket(  # noqa: PLR0913, PLR0917 - one parameter for each option
    shop: ShopFile,
    part: PartName,
    tilt: Tilt = None,
    roll: Roll = None,
    swing: Swing = None,
    tank: Annotated[
        str | None,
        typer.Option(metavar="TANK", help="Show where it goes under in this tank, and the best way there."),
    ] = None,
    as_json: AsJson = False,
    picture: Picture = None,
) -> None:
    """Ask where air is caught going in, and liquid carried out; which way up is best.

    Without --tilt, --roll or --swing: as drawn, and the map over all tilts and rolls.
    """
    check_picture(picture)
    angles = angles_given(tilt, roll, swing)
    if tank is not None and angles is not None:
        raise InputFault([Fault("--tank", "it belongs to the map", "leave it out, or the angles")])
    with photographer_for(picture) as photographer:
        from fitcheck.files.shop_file import read_shop
        from fitcheck.questions.pocket.ask import pocket as ask
        from fitcheck.questions.pocket.ask import ticks_of
        from fitcheck.questions.register import text, to_dict

        known = read_shop(shop, part)
        the_part = part_named(known, shop, part)
        the_tank = None if tank is None else tank_named(known, shop, tank)
        with ticking(0 if angles else ticks_of(the_part), f"all ways up of {part}") as progress:
            answer = ask(the_part, angles, the_tank, progress)
        if picture is not None and photographer is not None:
            _draw(answer, known, picture, photographer)
    if as_json:
        finish_json(to_dict(answer, known.show))
    finish(text(answer, known))


def _draw(answer: PocketAnswer, shop: Shop, picture: Path, photographer: Photographer) -> None:
    """Draw the answer into `picture`; what the artist has to say goes to stderr."""
    from fitcheck.questions.pocket.draw import draw_pocket

    part = shop.parts[answer.part]
    for line in draw_pocket(answer, part, shop.show, shop.name, picture, photographer):
        note(line)
