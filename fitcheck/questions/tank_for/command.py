"""`fitcheck tank-for`: which box tank is to be built for a list of parts."""

from __future__ import annotations

from typing import Annotated

import typer

from fitcheck.cli.finish import finish, finish_json
from fitcheck.cli.options import AsJson, ShopFile, part_named
from fitcheck.cli.progress import ticking


def tank_for(
    shop: ShopFile,
    parts: Annotated[
        str | None,
        typer.Option("--for", metavar="PART[,PART]", help="The parts it is to take; all where left out."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Ask which box tank takes these parts, one at a time in one pass or in two, on the least liquid."""
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions import register
    from fitcheck.questions.tank_for.ask import tank_for as ask

    known = read_shop(shop)
    named = list(known.parts.values())
    if parts is not None:
        named = [part_named(known, shop, name.strip()) for name in parts.split(",") if name.strip()]
    with ticking(len(named), "how each part may hang") as progress:
        answer = ask(named, known.rules, progress=progress)
    if as_json:
        finish_json(register.to_dict(answer, known.show))
    finish(register.text(answer, known))
