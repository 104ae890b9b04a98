"""`fitcheck view`: the answer in a window that can be turned."""

from __future__ import annotations

from fitcheck.rim.cli.finish import CODE_OF_VERDICT, finish
from fitcheck.rim.cli.options import PartName, ShopFile, TankName, part_and_tank


def view(shop: ShopFile, part: PartName, tank: TankName) -> None:
    """Show the part in the tank in a window, hung as advised."""
    from fitcheck.questions.dip import dip as ask
    from fitcheck.rim.cli.dip_text import verdict_line
    from fitcheck.rim.draw import view_dip
    from fitcheck.rim.files.shop_file import read_shop

    known = read_shop(shop)
    the_part, the_tank = part_and_tank(known, shop, part, tank)
    answer = ask(the_part, the_tank)
    view_dip(answer, the_part, the_tank, known.show)
    finish(verdict_line(answer, known.show), CODE_OF_VERDICT[answer.verdict])
