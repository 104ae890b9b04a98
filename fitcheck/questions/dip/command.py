"""`fitcheck dip`: whether it goes under in one pass, and how it should hang."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from fitcheck.cli.finish import CODE_OF_VERDICT, finish, finish_json, note
from fitcheck.cli.options import (
    AsJson,
    PartName,
    Picture,
    Roll,
    ShopFile,
    Swing,
    Tilt,
    angles_given,
    check_file,
    check_picture,
    part_and_tank,
    part_named,
    photographer_for,
    tanks_of,
)
from fitcheck.cli.progress import watched
from fitcheck.cli.quantities import read_option
from fitcheck.words.units import read_length

if TYPE_CHECKING:
    from fitcheck.draw.space_photo import Photographer
    from fitcheck.questions.dip.answer import DipAnswer
    from fitcheck.questions.hang.answer import HangAnswer
    from fitcheck.things.part import Part
    from fitcheck.things.shop import Shop
    from fitcheck.things.tank import Tank
    from fitcheck.words.units import Show

# The same words as `Prefer` of answer.py, which would bring numpy along; a test holds them equal.
PreferWord = Literal["level", "least-liquid", "most-room", "best-drain"]


def dip(  # noqa: PLR0913, PLR0917 - one parameter for each option
    shop: ShopFile,
    part: PartName,
    tank: Annotated[
        str | None,
        typer.Argument(metavar="TANK", help="A tank; every tank, best first, where left out."),
    ] = None,
    tilt: Tilt = None,
    roll: Roll = None,
    swing: Swing = None,
    prefer: Annotated[
        PreferWord,
        typer.Option(help="Which way to hang it is advised, of those that fit."),
    ] = "level",
    level: Annotated[
        str | None,
        typer.Option(metavar="LEVEL", help="Liquid over the tank floor, part in, instead of the lowest."),
    ] = None,
    proof: Annotated[
        Path | None,
        typer.Option(metavar="FILE.json", help="Write the answer with all that proves it, for prove."),
    ] = None,
    as_json: AsJson = False,
    picture: Picture = None,
    section: Annotated[
        Path | None,
        typer.Option("--section", metavar="FILE.png", help="Draw a section through the tightest spot too."),
    ] = None,
) -> None:
    """Ask whether a part goes under in one pass, how it should hang, and on how much liquid."""
    check_picture(picture)
    check_picture(section, "--section")
    check_file(proof, "--proof")
    angles = angles_given(tilt, roll, swing)
    level_mm = read_option("--level", level, read_length)
    with photographer_for(picture) as photographer:
        from fitcheck.files.shop_file import read_shop
        from fitcheck.questions.dip.ask import dip as ask
        from fitcheck.questions.dip.say import dip_text
        from fitcheck.questions.dip.say_tanks import tanks_table
        from fitcheck.questions.register import to_dict
        from fitcheck.say.lines import cautions_text

        known = read_shop(shop, part)
        the_part, tanks = _asked(known, shop, part, tank)
        answers = [
            ask(the_part, each, prefer, angles, level_mm) for each in watched(tanks, f"{part} in each tank")
        ]
        answers.sort(key=lambda answer: _rank(answer, prefer))
        best = answers[0]
        if proof is not None:
            _write_proof(answers if tank is None else [best], proof, alone=tank is not None)
        if picture is not None and photographer is not None:
            _draw(best, known, picture, photographer)
        if section is not None:
            _cut(best, known, section)
    code = CODE_OF_VERDICT[best.verdict]
    if as_json:
        rows = [to_dict(answer, known.show) | _hook_json(_slung(answer, known)) for answer in answers]
        finish_json(rows[0] if tank is not None else rows, code)
    table = tanks_table(answers, known.show) if tank is None else ""
    texts = [
        table,
        dip_text(best, the_part, known.show),
        _hook_text(_slung(best, known), known.show),
        cautions_text(best.cautions, known.show),
    ]
    finish("\n\n".join(text for text in texts if text), code)


def _write_proof(answers: list[DipAnswer], path: Path, alone: bool) -> None:
    """Write answers as JSON: the one, or a list of them."""
    from fitcheck.files.written import write_text
    from fitcheck.questions.register import to_dict

    data = [to_dict(each) for each in answers]
    write_text(path, json.dumps(data[0] if alone else data) + "\n")


def _asked(shop: Shop, shop_file: Path, part: str, tank: str | None) -> tuple[Part, list[Tank]]:
    """Return the part, and the one tank or every tank."""
    if tank is None:
        return part_named(shop, shop_file, part), tanks_of(shop, shop_file)
    the_part, the_tank = part_and_tank(shop, shop_file, part, tank)
    return the_part, [the_tank]


def _slung(answer: DipAnswer, shop: Shop) -> HangAnswer | None:
    """Return how the part hangs by its own picks at the pose advised; None where it has none that will do."""
    from fitcheck.questions.dip.answer import Fits, MeasureAgain
    from fitcheck.questions.hang.ask import hang
    from fitcheck.words.errors import Refused

    part = shop.parts[answer.part]
    if not isinstance(answer, Fits | MeasureAgain) or not len(part.picks_mm):
        return None
    try:
        return hang(part, shop.tanks[answer.tank], answer.advice.pose.angles)
    except Refused:
        return None  # the command hang tells what is wrong with the picks


def _hook_json(slung: HangAnswer | None) -> dict[str, object]:
    if slung is None:
        return {}
    found = {"hook_mm": slung.hook.needed_mm, "hook_spare_mm": slung.hook.spare_mm}
    return {key: value for key, value in found.items() if value is not None}


def _hook_text(slung: HangAnswer | None, show: Show) -> str:
    if slung is None or slung.hook.needed_mm is None:
        return ""
    from fitcheck.say.lines import folded
    from fitcheck.words.rounding import at_least, enough

    needs = f"Slung by its picks the hook needs {enough(slung.hook.needed_mm, show)} over the shop floor"
    spare = slung.hook.spare_mm
    if spare is None:
        return folded(f"{needs}; fitcheck hang tells the rest")
    left = (
        f"{at_least(spare, show)} is to spare" if spare >= 0.0 else f"{enough(-spare, show)} more than it has"
    )
    return folded(f"{needs}: {left}; fitcheck hang tells the rest")


def _cut(answer: DipAnswer, shop: Shop, section: Path) -> None:
    """Draw the section through the tightest spot of a part that goes under."""
    from fitcheck.questions.dip.answer import Fits, MeasureAgain

    if not isinstance(answer, Fits | MeasureAgain):
        note("no section was drawn: the part does not go under; --picture shows what is in the way")
        return
    from fitcheck.questions.dip.draw_scene import scene_of
    from fitcheck.questions.dip.draw_tightest import draw_tightest

    draw_tightest(scene_of(answer, shop.parts[answer.part], shop.tanks[answer.tank]), shop.show, section)


def _draw(answer: DipAnswer, shop: Shop, picture: Path, photographer: Photographer) -> None:
    """Draw the answer into `picture`; what the artist has to say goes to stderr."""
    from fitcheck.questions.dip.draw import drawn, put_on_paper

    part, tank = shop.parts[answer.part], shop.tanks[answer.tank]
    for line in put_on_paper(drawn(answer, part, tank, shop.show, shop.name), picture, photographer):
        note(line)


def _rank(answer: DipAnswer, prefer: str) -> tuple[int, float]:
    """Order answers best first: by verdict, then by room, or by liquid where that is preferred."""
    from fitcheck.questions.dip.answer import Fits, MeasureAgain

    order = ("fits", "measure again", "not found", "does not fit")
    if prefer == "least-liquid" and isinstance(answer, Fits | MeasureAgain):
        return order.index(answer.verdict), answer.advice.fill.liquid_l
    return order.index(answer.verdict), -answer.spare.mm
