"""`fitcheck pass`: in how many passes every bit of a part gets wet, and how it is turned between them."""

from __future__ import annotations

from fitcheck.rim.cli.finish import CODE_OF_VERDICT, finish, finish_json
from fitcheck.rim.cli.options import AsJson, PartName, ShopFile, TankName, part_and_tank


def passes(shop: ShopFile, part: PartName, tank: TankName, as_json: AsJson = False) -> None:
    """Ask in how many passes every bit of a part gets wet, turned how, overlapping how much."""
    from fitcheck.questions.passes import passes as ask
    from fitcheck.rim.cli.cautions import with_pass_cautions
    from fitcheck.rim.cli.pass_text import pass_text
    from fitcheck.rim.files.pass_json import pass_json
    from fitcheck.rim.files.shop_file import read_shop

    known = read_shop(shop, part)
    the_part, the_tank = part_and_tank(known, shop, part, tank)
    answer = with_pass_cautions(ask(the_part, the_tank), the_tank, known.show)
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(pass_json(answer), code)
    finish(pass_text(answer, the_part, known.show), code)
