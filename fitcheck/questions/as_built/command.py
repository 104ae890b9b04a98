"""`fitcheck as-built`: what size the tank really is, from a plain-water test, and which answers change."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated

import typer

from fitcheck.cli.finish import finish, finish_json
from fitcheck.cli.options import AsJson, ShopFile, TankName, tank_named
from fitcheck.cli.progress import ticking
from fitcheck.cli.quantities import read_option
from fitcheck.words.units import Show, read_length, show_area, show_length, show_volume

if TYPE_CHECKING:
    from fitcheck.questions.as_built.answer import AsBuilt, Change


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
    from fitcheck.questions.as_built.ask import Errors
    from fitcheck.questions.as_built.ask import as_built as ask
    from fitcheck.questions.as_built.record import as_built_json
    from fitcheck.say.legacy_cautions import OUTRANKED

    readings = read_readings(pairs)
    known = read_shop(shop)
    the_tank = tank_named(known, shop, tank)
    with ticking(len(known.parts), f"what changes in {tank}") as tick:
        answer = ask(the_tank, readings, Errors(stick_mm, water / 100.0), known.parts.values(), tick)
    answer = replace(answer, cautions=(PLAN_ONLY, OUTRANKED))
    if as_json:
        finish_json(as_built_json(answer))
    finish(_text(answer, known.show))


PLAN_ONLY = (
    "Water tells the plan's area, not which side is off: the sizes share it as two equal tapes would. Tape "
    "length and width again at floor, middle and rim."
)


def _text(answer: AsBuilt, show: Show) -> str:
    from fitcheck.questions.as_built.record import tank_card
    from fitcheck.say.lines import aligned, cautions_text

    was, now = (
        " x ".join(show_length(side, show) for side in tank.size_mm[:2])
        for tank in (answer.tank, answer.corrected)
    )
    changed = [change for change in answer.changes if change.is_one]
    area, error = show_area(answer.floor_mm2, show), show_area(answer.floor_error_mm2, show)
    rows = [
        ("Plan", f"{area} at the floor, give or take {error} (one standard error)"),
        ("Bow", _bow(answer, show)),
    ]
    if answer.misfit is not None:
        word = "as stated" if answer.misfit <= 2.0 else "more than was stated: look for a slip"
        rows.append(("Readings", f"scatter by {answer.misfit:.1f} of the stated error, {word}"))
    for reading, left in zip(answer.readings, answer.left_l, strict=True):
        level, litres = show_length(reading.level_mm, show), show_volume(reading.liquid_l, show)
        rows.append(("", f"{level}: {litres}, {show_volume(left, show)} over the fit"))
    told = [(change.part, _told(change, show)) for change in changed]
    blocks = [
        f"{answer.tank.name}: {now} in plan as built, {was} as taped",
        "\n".join(aligned(rows)),
        f"Put into the shop file:\n\n{tank_card(answer)}",
        f"{len(changed)} of {len(answer.changes)} answers change",
        "\n".join(aligned(told)),
        cautions_text(answer.cautions),
    ]
    return "\n\n".join(block for block in blocks if block)


def _bow(answer: AsBuilt, show: Show) -> str:
    error = show_length(answer.bow_error_mm, show)
    if len(answer.readings) < 3:
        return "three levels or more would show it"
    if not answer.shows_bow:
        return f"none to be seen in these readings (standard error {error})"
    wider = show_length(answer.bow_mm, show)
    return f"{wider} wider at the highest level read than at the floor, give or take {error}"


def _told(change: Change, show: Show) -> str:
    words = (
        change.verdict
        if change.verdict == change.verdict_was
        else f"{change.verdict_was}, now {change.verdict}"
    )
    if change.level_mm is None or change.liquid_l is None:
        return words
    now = f"{show_length(change.level_mm, show)} of liquid, {show_volume(change.liquid_l, show)}"
    if change.level_was_mm is None or change.liquid_was_l is None:
        return f"{words}: {now}"
    was = f"{show_length(change.level_was_mm, show)}, {show_volume(change.liquid_was_l, show)}"
    return f"{words}: {now} instead of {was}"
