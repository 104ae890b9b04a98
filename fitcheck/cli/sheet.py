"""`fitcheck sheet`: what is hung beside the tank, a page a lift, as PDF and as a page for a browser."""

from __future__ import annotations

from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fitcheck.cli.finish import finish, finish_json
from fitcheck.cli.options import AsJson, PaperWord, ShopFile, part_named, parts_of, tank_named, tanks_of
from fitcheck.cli.progress import ticking
from fitcheck.words.errors import Fault, InputFault

if TYPE_CHECKING:
    from fitcheck.sheet.paper import Laid


def sheet(  # noqa: PLR0913, PLR0917 - one parameter for each option
    shop: ShopFile,
    part: Annotated[str | None, typer.Option(metavar="PART", help="This part only.")] = None,
    tank: Annotated[str | None, typer.Option(metavar="TANK", help="This tank only.")] = None,
    paper: Annotated[PaperWord, typer.Option(help="The paper it is printed on.")] = "letter",
    to: Annotated[
        Path, typer.Option(metavar="FOLDER", help="Where to write it; made where it is not there.")
    ] = Path("sheets"),
    dip_stick: Annotated[
        bool, typer.Option("--dip-stick", help="To each lift, a strip with its fill lines, true to size.")
    ] = False,
    loads: Annotated[
        bool, typer.Option("--ladder", help="The whole kit too: loads, liquid and what to buy; takes longer.")
    ] = False,
    blocks: Annotated[
        int | None,
        typer.Option(metavar="N", help="With --ladder: at most N blocks built for a tank and all its loads."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Print the shop's sheets: one page a lift, with a page for the whole kit first."""
    from fitcheck.cli.crew import crew
    from fitcheck.sheet.files import check_folder, write_set

    check_folder(to)
    _check_blocks(blocks, loads and part is None and tank is None)
    with crew() if part is None else nullcontext() as executor:
        from fitcheck.files.shop_file import read_shop
        from fitcheck.questions.block.page_standing import shop_blocks
        from fitcheck.sheet.kit import Order, kit, rooms_of

        known = read_shop(shop, part)
        parts = parts_of(known, shop) if part is None else [part_named(known, shop, part)]
        if not parts:
            raise InputFault([Fault(str(shop), "there is no part in it", "add a [parts.NAME]")])
        tanks = tanks_of(known, shop) if tank is None else [tank_named(known, shop, tank)]
        with ticking(len(parts), "a page for each lift") as tick:
            whole = part is None and tank is None
            order = Order(
                paper,
                dip_stick,
                known.show,
                known.name,
                (*shop_blocks(known), *rooms_of(known)) if whole else (),
                whole and loads,
                blocks,
            )
            pages = kit(known, parts, tanks, order, executor, tick)
    written = write_set(to, pages, known.name or shop.stem)
    if as_json:
        finish_json({"files": [str(path) for path in written], "pages": [_page_json(laid) for laid in pages]})
    finish(_told(written, pages))


def _check_blocks(blocks: int | None, with_loads: bool) -> None:
    """Say at once what would be said only after all the lifts."""
    from fitcheck.questions.ladder.ask import MOST_BLOCKS

    if blocks is not None and not with_loads:
        cure = "give --ladder too, and neither --part nor --tank"
        raise InputFault([Fault("--blocks", "it is for the loads of the whole kit", cure)])
    if blocks is not None and not 0 <= blocks <= MOST_BLOCKS:
        raise InputFault([Fault("--blocks", f"{blocks} blocks", f"ask for 0 to {MOST_BLOCKS}")])


def _page_json(laid: Laid) -> dict[str, object]:
    page = laid.page
    about = {"part": page.part, "tank": page.tank, "verdict": page.verdict}
    return {"kind": page.kind, "number": laid.number, **{key: value for key, value in about.items() if value}}


def _told(written: tuple[Path, ...], pages: tuple[Laid, ...]) -> str:
    lifts = [laid for laid in pages if laid.page.kind in ("lift", "pass")]
    names = " and ".join(str(path) for path in written)
    return (
        f"{len(pages)} pages, {len(lifts)} of them lifts, into {names}\n\n"
        "Print at 100 %. Prove each lift in plain water first."
    )
