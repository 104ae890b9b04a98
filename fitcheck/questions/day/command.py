"""`fitcheck day`: when each load is where."""

from __future__ import annotations

from fitcheck.cli.finish import CODE_OF_VERDICT, finish, finish_json
from fitcheck.cli.options import AsJson, Picture, ShopFile, check_picture
from fitcheck.cli.progress import ticking


def day(shop: ShopFile, as_json: AsJson = False, picture: Picture = None) -> None:
    """Ask for a timetable of the loads through the steps, the last one done as early as can be."""
    check_picture(picture)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.day.ask import day as ask
    from fitcheck.questions.day.record import day_json
    from fitcheck.questions.day.say import day_text, with_day_cautions

    known = read_shop(shop)
    with ticking(len(known.parts), "every part at every step") as tick:
        answer = ask(known, tick)
    answer = with_day_cautions(answer, known)
    if picture is not None and answer.loads:
        from fitcheck.questions.day.draw import draw_day

        draw_day(answer, picture, known.name)
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(day_json(answer), code)
    finish(day_text(answer, known.show), code)
