"""`fitcheck view`: the answer in a window that can be turned."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fitcheck.rim.cli.finish import CODE_OF_VERDICT, finish, finish_json
from fitcheck.rim.cli.options import AsJson, PartName, ShopFile, TankName, check_file, part_and_tank

if TYPE_CHECKING:
    from fitcheck.things.answers import Answer
    from fitcheck.things.hanging import HangAnswer
    from fitcheck.things.part import Part
    from fitcheck.things.tank import Tank


def view(
    shop: ShopFile,
    part: PartName,
    tank: TankName,
    page: Annotated[
        Path | None,
        typer.Option("--html", metavar="FILE.html", help="Write a page for a browser instead."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Show the part in the tank in a window, hung as advised; or as a page that needs no network."""
    from fitcheck.questions.dip import dip as ask
    from fitcheck.rim.cli.cautions import with_cautions
    from fitcheck.rim.cli.dip_text import verdict_line
    from fitcheck.rim.draw import view_dip
    from fitcheck.rim.files.answer_json import answer_json
    from fitcheck.rim.files.shop_file import read_shop
    from fitcheck.rim.files.written import write_text
    from fitcheck.rim.page.view_html import view_html

    check_file(page, "--html")
    known = read_shop(shop, part)
    the_part, the_tank = part_and_tank(known, shop, part, tank)
    answer = with_cautions(ask(the_part, the_tank), the_part, the_tank, known.show)
    if page is None:
        view_dip(answer, the_part, the_tank, known.show)
    else:
        write_text(
            page, view_html(answer, the_part, the_tank, known.show, _slung(answer, the_part, the_tank))
        )
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(answer_json(answer), code)
    finish(verdict_line(answer, known.show), code)


def _slung(answer: Answer, part: Part, tank: Tank) -> HangAnswer | None:
    """Return how the part is slung as advised, by its own picks or others; None where none will do."""
    from fitcheck.questions.hang import hang
    from fitcheck.things.answers import Fits, MeasureAgain
    from fitcheck.words.errors import Refused

    if not isinstance(answer, Fits | MeasureAgain):
        return None
    try:
        return hang(part, tank, answer.advice.pose.angles)
    except Refused:
        return None
