"""`fitcheck as-built`: what size the tank really is, from a plain-water test, and which answers change."""

from __future__ import annotations

from typing import Annotated

import typer

from fitcheck.cli.finish import finish, finish_json
from fitcheck.cli.options import AsJson, ShopFile, TankName, tank_named
from fitcheck.cli.progress import ticking
from fitcheck.cli.quantities import read_option
from fitcheck.words.units import read_length


def as_built(
    shop: ShopFile,
    tank: TankName,
    pairs: Annotated[
        str,
        typer.Option(
            metavar="PAIRS", help='Levels and volumes: a CSV file, or "100 mm = 90 L, 200 mm = 181 L".'
        ),
    ],
    stick: Annotated[str, typer.Option(metavar="LENGTH", help="How well a level is read.")] = "1 mm",
    water: Annotated[float, typer.Option(metavar="PERCENT", help="How well a volume is known.")] = 1.0,
    as_json: AsJson = False,
) -> None:
    """Ask what size the tank really is, from a plain-water test, and which answers change."""
    stick_mm = read_option("--stick", stick, read_length) or 0.0
    from fitcheck.files.readings import read_readings
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions import register
    from fitcheck.questions.as_built.ask import Errors
    from fitcheck.questions.as_built.ask import as_built as ask

    readings = read_readings(pairs)
    known = read_shop(shop)
    the_tank = tank_named(known, shop, tank)
    with ticking(len(known.parts), f"what changes in {tank}") as progress:
        answer = ask(the_tank, readings, Errors(stick_mm, water / 100.0), known.parts.values(), progress)
    if as_json:
        finish_json(register.to_dict(answer, known.show))
    finish(register.text(answer, known))
