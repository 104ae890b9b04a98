"""`fitcheck view`: the answer in a window that can be turned."""

from __future__ import annotations

from fitcheck.rim.cli.finish import CODE_OF_VERDICT, finish, finish_json
from fitcheck.rim.cli.options import AsJson, PartName, ShopFile, TankName, part_and_tank


def view(shop: ShopFile, part: PartName, tank: TankName, as_json: AsJson = False) -> None:
    """Show the part in the tank in a window, hung as advised."""
    from fitcheck.questions.dip import dip as ask
    from fitcheck.rim.cli.cautions import with_cautions
    from fitcheck.rim.cli.dip_text import verdict_line
    from fitcheck.rim.draw import view_dip
    from fitcheck.rim.files.answer_json import answer_json
    from fitcheck.rim.files.shop_file import read_shop

    known = read_shop(shop, part)
    the_part, the_tank = part_and_tank(known, shop, part, tank)
    answer = with_cautions(ask(the_part, the_tank), the_part, the_tank, known.show)
    view_dip(answer, the_part, the_tank, known.show)
    code = CODE_OF_VERDICT[answer.verdict]
    if as_json:
        finish_json(answer_json(answer), code)
    finish(verdict_line(answer, known.show), code)
