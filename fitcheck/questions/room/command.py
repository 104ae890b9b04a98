"""The command `room`: does what stands there leave doors, working places and aisles free; where to put it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from fitcheck.cli.finish import CODE_OF_VERDICT, finish, finish_json
from fitcheck.cli.options import AsJson, Picture, ShopFile, check_file, check_picture, named
from fitcheck.words.errors import Fault, InputFault

RoomName = Annotated[str, typer.Argument(metavar="ROOM", help="A room of it.")]


def room(
    shop: ShopFile,
    room_name: RoomName,
    arranged: Annotated[
        bool, typer.Option("--arrange", help="Find places for the fixtures that have no at.")
    ] = False,
    as_json: AsJson = False,
    picture: Picture = None,
    plan: Annotated[
        Path | None,
        typer.Option("--dxf", metavar="FILE.dxf", help="Write the plan as a drawing to scale, in mm."),
    ] = None,
) -> None:
    """Ask whether fixtures stand clear of each other, of doors and of working places, with aisles.

    With --arrange those that have no place are given one: several layouts, the best first.
    """
    check_picture(picture)
    _check_dxf(plan)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.register import text, to_dict
    from fitcheck.questions.room.arrange import arrange
    from fitcheck.questions.room.ask import room as ask

    known = read_shop(shop)
    the_room = named(shop, "room", room_name, known.rooms)
    answer = arrange(the_room) if arranged else ask(the_room)
    if picture is not None:
        from fitcheck.questions.room.draw import draw

        draw(answer, known, picture)
    if plan is not None:
        from fitcheck.questions.room.draw_dxf import write_room_dxf

        write_room_dxf(answer, known.show, plan)
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(to_dict(answer, known.show), code)
    finish(text(answer, known), code)


def _check_dxf(path: Path | None) -> None:
    """Refuse a drawing that could not be written, before any work is done for it."""
    if path is None:
        return
    if path.suffix.lower() != ".dxf":
        raise InputFault([Fault("--dxf", f"{path} does not end in .dxf", "name it as in plan.dxf")])
    check_file(path, "--dxf")
