"""`fitcheck hang`: how to sling a part, what each leg carries, and whether the hook goes high enough."""

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
    TankName,
    Tilt,
    angles_given,
    check_picture,
    part_and_tank,
)
from fitcheck.cli.quantities import read_option
from fitcheck.words.errors import Refused
from fitcheck.words.units import quoted, read_length


def hang(  # noqa: PLR0913, PLR0917 - one parameter for each option
    shop: ShopFile,
    part: PartName,
    tank: TankName,
    picks: Annotated[
        str | None,
        typer.Option(metavar="1,2", help="Which of the part's picks, counted from 1; all where left out."),
    ] = None,
    legs: Annotated[
        int | None,
        typer.Option(metavar="1|2|3", help="How many legs, where the part has no picks of its own."),
    ] = None,
    tilt: Tilt = None,
    roll: Roll = None,
    rise: Annotated[
        str | None,
        typer.Option(
            metavar="LENGTH", help="The hook over the higher pick; the best there is where left out."
        ),
    ] = None,
    as_json: AsJson = False,
    picture: Picture = None,
) -> None:
    """Ask how to sling a part over a tank: leg lengths and pulls, hook height, how it hangs under.

    Without --tilt and --roll it hangs level, as drawn. Picks are proposed for a part that has none.
    """
    check_picture(picture)
    angles = angles_given(tilt, roll, None)
    rise_mm = read_option("--rise", rise, read_length)
    numbers = read_option("--picks", picks, _numbers)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.hang.ask import hang as ask
    from fitcheck.questions.register import draw, text, to_dict

    known = read_shop(shop, part)
    the_part, the_tank = part_and_tank(known, shop, part, tank)
    answer = ask(the_part, the_tank, angles, rise_mm=rise_mm, picks=numbers, legs=legs)
    if picture is not None:
        draw(answer, picture, known)
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(to_dict(answer, known.show), code)
    finish(text(answer, known), code)


def _numbers(text: str) -> tuple[int, ...]:
    """Return the numbers of picks as they are typed: 1,2."""
    words = text.replace(",", " ").split()
    if not words or not all(word.isascii() and word.isdigit() for word in words):
        raise Refused(f"{quoted(text)} is not a list of picks", "count the part's picks from 1, as in 1,2")
    return tuple(int(word) for word in words)
