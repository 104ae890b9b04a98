"""`fitcheck block`: which block or dam saves most liquid, stays down, and leaves the parts free."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from fitcheck.cli.finish import Code, finish, finish_json
from fitcheck.cli.options import (
    AsJson,
    PaperWord,
    Picture,
    ShopFile,
    TankName,
    check_picture,
    part_named,
    tank_named,
)


def block(  # noqa: PLR0913, PLR0917 - one parameter for each option
    shop: ShopFile,
    tank: TankName,
    parts: Annotated[
        str, typer.Option("--for", metavar="PART[,PART]", help="The parts that go in, one after another.")
    ],
    as_json: AsJson = False,
    picture: Picture = None,
    to: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", help="Write the build sheet of the first design there."),
    ] = None,
    paper: Annotated[PaperWord, typer.Option(help="The paper of the build sheet.")] = "letter",
) -> None:
    """Ask which block or dam saves most liquid, stays down, and leaves the parts free."""
    check_picture(picture)
    if to is not None:
        from fitcheck.sheet.files import check_folder

        check_folder(to)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.block.ask import block as ask
    from fitcheck.questions.block.record import block_json
    from fitcheck.questions.block.say import block_text
    from fitcheck.say.legacy_cautions import with_block_cautions

    known = read_shop(shop)
    the_tank = tank_named(known, shop, tank)
    named = [part_named(known, shop, name.strip()) for name in parts.split(",") if name.strip()]
    answer = with_block_cautions(ask(the_tank, named, known.stock), the_tank, known.show)
    code = Code.YES if answer.designs else Code.NO
    if picture is not None and answer.designs:
        from fitcheck.questions.block.draw import draw_block

        draw_block(answer, named[0], the_tank, known.show, picture, known.name)
    if to is not None and answer.designs:
        from fitcheck.questions.block.page import Built, building_pages
        from fitcheck.sheet.files import write_set
        from fitcheck.sheet.paper import laid_out, numbered

        built = Built(answer, answer.designs[0], tuple(named), the_tank, known.stock)
        pages = [laid_out(page, paper) for page in building_pages(built, known.show, known.name)]
        laid = [numbered(page, k + 1, len(pages)) for k, page in enumerate(pages)]
        write_set(to, laid, f"{the_tank.name}: {known.name}")
    if as_json:
        finish_json(block_json(answer), code)
    finish(block_text(answer, {part.name: part for part in named}, known.show), code)
