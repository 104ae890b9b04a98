"""`fitcheck block`: which block or dam saves most liquid, stays down, and leaves the parts free."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

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

if TYPE_CHECKING:
    from fitcheck.questions.block.answer import BlockAnswer
    from fitcheck.things.shop import Shop


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
    from fitcheck.questions import register
    from fitcheck.questions.block.ask import block as ask

    known = read_shop(shop)
    the_tank = tank_named(known, shop, tank)
    named = [part_named(known, shop, name.strip()) for name in parts.split(",") if name.strip()]
    answer = ask(the_tank, named, known.stock)
    code = Code.YES if answer.designs else Code.NO
    if picture is not None and answer.designs:
        register.draw(answer, picture, known)
    if to is not None and answer.designs:
        _write_sheet(answer, known, to, paper)
    if as_json:
        finish_json(register.to_dict(answer, known.show), code)
    finish(register.text(answer, known), code)


def _write_sheet(answer: BlockAnswer, shop: Shop, to: Path, paper: PaperWord) -> None:
    """Write the build sheet of the first design into a folder."""
    from fitcheck.questions.block.page import Built, building_pages
    from fitcheck.sheet.files import write_set
    from fitcheck.sheet.paper import laid_out, numbered

    tank, parts = shop.tanks[answer.tank], tuple(shop.parts[name] for name in answer.parts)
    built = Built(answer, answer.designs[0], parts, tank, shop.stock)
    pages = [laid_out(page, paper) for page in building_pages(built, shop.show, shop.name)]
    laid = [numbered(page, k + 1, len(pages)) for k, page in enumerate(pages)]
    write_set(to, laid, f"{tank.name}: {shop.name}")
