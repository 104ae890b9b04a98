"""The command `store`: whether the parts hang on a rack, or lie in its bays."""

from __future__ import annotations

from typing import Annotated

import typer

from fitcheck.cli.finish import CODE_OF_VERDICT, finish, finish_json
from fitcheck.cli.options import AsJson, Picture, ShopFile, check_picture, named, part_named
from fitcheck.words.errors import Fault, InputFault

RackName = Annotated[str, typer.Argument(metavar="RACK", help="A rack of it.")]


def store(
    shop: ShopFile,
    rack: RackName,
    only: Annotated[
        str | None, typer.Option("--parts", metavar="A,B", help="These parts only; all where left out.")
    ] = None,
    as_json: AsJson = False,
    picture: Picture = None,
) -> None:
    """Ask where parts hang on rails, or lie in bays: all pieces of the shop, or those of --parts."""
    check_picture(picture)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.register import text, to_dict
    from fitcheck.questions.store.ask import store as ask

    known = read_shop(shop)
    the_rack = named(shop, "rack", rack, known.racks)
    names = list(known.parts) if only is None else [name.strip() for name in only.split(",")]
    parts = [part_named(known, shop, name) for name in dict.fromkeys(names)]
    if not parts:
        raise InputFault([Fault(str(shop), "there is no part in it", "add a [parts.NAME] with its size")])
    answer = ask(the_rack, parts, known.rules)
    if picture is not None:
        from fitcheck.questions.store.draw import draw

        draw(answer, known, picture)
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(to_dict(answer, known.show), code)
    finish(text(answer, known), code)
