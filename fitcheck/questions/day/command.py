"""`fitcheck day`: when each load is where."""

from __future__ import annotations

from fitcheck.cli.finish import CODE_OF_VERDICT, finish, finish_json, note
from fitcheck.cli.options import AsJson, Picture, ShopFile, check_picture
from fitcheck.cli.progress import ticking


def day(shop: ShopFile, as_json: AsJson = False, picture: Picture = None) -> None:
    """Ask for a timetable of the loads through the steps, the last one done as early as can be."""
    check_picture(picture)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.day.ask import day as ask
    from fitcheck.questions.register import draw, text, to_dict

    known = read_shop(shop)
    with ticking(len(known.parts), "every part at every step") as tick:
        answer = ask(known, tick)
    if picture is not None:
        for line in draw(answer, picture):
            note(line)
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(to_dict(answer), code)
    finish(text(answer), code)
