"""`fitcheck weigh`: what a part weighs dry, under the liquid, and lifted out of it."""

from __future__ import annotations

from fitcheck.cli.finish import finish, finish_json
from fitcheck.cli.options import (
    AsJson,
    PartName,
    Roll,
    ShopFile,
    Swing,
    TankName,
    Tilt,
    angles_given,
    part_and_tank,
)


def weigh(  # noqa: PLR0913, PLR0917 - one parameter for each option
    shop: ShopFile,
    part: PartName,
    tank: TankName,
    tilt: Tilt = None,
    roll: Roll = None,
    swing: Swing = None,
    as_json: AsJson = False,
) -> None:
    """Ask what a part weighs dry, under the liquid, and lifted out with what stands in it.

    Without angles it hangs as dip advises.
    """
    angles = angles_given(tilt, roll, swing)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.register import text, to_dict
    from fitcheck.questions.weigh.ask import weigh as ask

    known = read_shop(shop, part)
    answer = ask(*part_and_tank(known, shop, part, tank), angles)
    if as_json:
        finish_json(to_dict(answer, known.show))
    finish(text(answer, known))
