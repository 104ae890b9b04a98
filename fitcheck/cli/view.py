"""`fitcheck view`: the answer in a window that can be turned."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fitcheck.cli.finish import CODE_OF_VERDICT, finish, finish_json
from fitcheck.cli.options import AsJson, PartName, ShopFile, TankName, check_file, part_and_tank

if TYPE_CHECKING:
    from fitcheck.questions.dip.answer import DipAnswer
    from fitcheck.questions.hang.answer import HangAnswer
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
    from fitcheck.files.shop_file import read_shop
    from fitcheck.files.written import write_text
    from fitcheck.page.view_html import view_html
    from fitcheck.questions.dip.ask import dip as ask
    from fitcheck.questions.dip.draw_window import view_dip
    from fitcheck.questions.dip.say import verdict_line
    from fitcheck.questions.register import to_dict

    check_file(page, "--html")
    known = read_shop(shop, part)
    the_part, the_tank = part_and_tank(known, shop, part, tank)
    answer = ask(the_part, the_tank)
    if page is None:
        view_dip(answer, the_part, the_tank, known.show)
    else:
        write_text(
            page, view_html(answer, the_part, the_tank, known.show, _slung(answer, the_part, the_tank))
        )
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(to_dict(answer, known.show), code)
    finish(verdict_line(answer, known.show), code)


def _slung(answer: DipAnswer, part: Part, tank: Tank) -> HangAnswer | None:
    """Return how the part is slung as advised, by its own picks or others; None where none will do."""
    from fitcheck.questions.dip.answer import Fits, MeasureAgain
    from fitcheck.questions.hang.ask import hang
    from fitcheck.words.errors import Refused

    if not isinstance(answer, Fits | MeasureAgain):
        return None
    try:
        return hang(part, tank, answer.advice.pose.angles)
    except Refused:
        return None
