"""`fitcheck carry`: whether a part can be carried through, and how."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from fitcheck.cli.finish import CODE_OF_VERDICT, finish, finish_json
from fitcheck.cli.options import AsJson, PartName, Picture, ShopFile, check_picture, named
from fitcheck.words.errors import Fault, InputFault


def carry(  # noqa: PLR0913, PLR0917 - one parameter for each option
    shop: ShopFile,
    part: PartName,
    route: Annotated[str, typer.Argument(metavar="ROUTE", help="A route of it.")],
    sharp: Annotated[bool, typer.Option("--sharp", help="Look four times finer before giving up.")] = False,
    as_json: AsJson = False,
    picture: Picture = None,
    animation: Annotated[
        Path | None,
        typer.Option("--animation", metavar="FILE.svg", help="Write the way as a drawing that moves."),
    ] = None,
) -> None:
    """Ask whether a part can be carried through corridors and doors, level or tipped up."""
    check_picture(picture)
    _check_animation(animation)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.carry.ask import carry as ask
    from fitcheck.questions.register import text, to_dict

    known = read_shop(shop, part)
    the_part = named(shop, "part or assembly", part, {**known.parts, **known.assemblies})
    the_route = named(shop, "route", route, known.routes)
    answer = ask(the_part, the_route, sharp=sharp)
    if picture is not None:
        from fitcheck.questions.carry.draw import draw

        draw(answer, known, picture)
    if animation is not None and answer.path:
        from fitcheck.questions.carry.draw_animation import write_animation

        write_animation(answer, the_route, animation)
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(to_dict(answer, known.show), code)
    finish(text(answer, known), code)


def _check_animation(path: Path | None) -> None:
    """Refuse an animation that could not be written, before any work is done for it."""
    if path is None:
        return
    if path.suffix.lower() != ".svg":
        raise InputFault([Fault("--animation", f"{path} does not end in .svg", "name it as in way.svg")])
    check_picture(path, "--animation")
