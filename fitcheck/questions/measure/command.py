"""`fitcheck measure`: what is in the file."""

from __future__ import annotations

from typing import Annotated

import typer

from fitcheck.cli.finish import finish, finish_json
from fitcheck.cli.options import (
    AsJson,
    ShopFile,
    part_named,
    parts_of,
)


def measure(
    shop: ShopFile,
    part: Annotated[
        str | None,
        typer.Argument(metavar="PART", help="A part; every part where left out."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Ask what is in the file: size, volume, wetted area and mass of each part."""
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.measure.ask import measure as ask
    from fitcheck.questions.measure.say import measured_text
    from fitcheck.questions.register import to_dict

    known = read_shop(shop)
    parts = parts_of(known, shop) if part is None else [part_named(known, shop, part)]
    answers = [ask(each) for each in parts]
    if as_json:
        finish_json([to_dict(answer, known.show) for answer in answers])
    finish(measured_text(answers, known.show))
