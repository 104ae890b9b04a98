"""`fitcheck prove`: whether an answer that was written down is right for this shop."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from fitcheck.rim.cli.checks_text import checks_json, checks_lines
from fitcheck.rim.cli.finish import Code, finish, finish_json
from fitcheck.rim.cli.options import AsJson, ShopFile, part_and_tank
from fitcheck.words.errors import Fault, InputFault, Refused

if TYPE_CHECKING:
    from fitcheck.things.proved import Check, Proved
    from fitcheck.things.shop import Shop

WHAT = "what dip, pass, lot, ladder, day, carry, room or store --json printed"
# The proof of one "no" takes some hundred kilobytes; a file far larger is something else.
LARGEST_BYTES = 200_000_000


def prove(
    shop: ShopFile,
    answer: Annotated[
        Path,
        typer.Argument(
            metavar="ANSWER.json",
            help="What dip, pass, lot, ladder, day, carry, room or store --json printed.",
        ),
    ],
    as_json: AsJson = False,
) -> None:
    """Look at an answer again, from the shop file and the answer alone, by code that does not search."""
    data = _read(answer)
    from fitcheck.rim.cli.prove_again import is_again
    from fitcheck.rim.files.day_json import is_day
    from fitcheck.rim.files.lots_from_json import is_loads
    from fitcheck.rim.files.shop_file import read_shop

    known = read_shop(shop)
    with _named(answer.name):
        if is_day(data):
            _loads(_day_checks(data, known), answer.name, as_json)
        if is_loads(data):
            _loads(_load_checks(data, known), answer.name, as_json)
        if is_again(data):
            _again(data, known, as_json)
        found = [_proved(row, known, shop) for row in (data if isinstance(data, list) else [data])]
    code = Code.YES if all(each.holds for each in found) else Code.NO
    rows = [
        {
            "holds": each.holds,
            "part": each.part,
            "tank": each.tank,
            "verdict": each.verdict,
            **checks_json(each.checks),
        }
        for each in found
    ]
    if as_json:
        finish_json(rows if isinstance(data, list) else rows[0], code)
    finish("\n\n".join(_text(each) for each in found), code)


@contextmanager
def _named(name: str) -> Iterator[None]:
    """Have what is wrong with an answer told with the name of its file."""
    try:
        yield
    except Refused as fault:
        raise InputFault([Fault(name, fault.problem, fault.cure)]) from fault


def _loads(checks: Sequence[Check], name: str, as_json: bool) -> NoReturn:
    """Tell what came of loads, a fill ladder or a day, and end the command."""
    holds = all(check.holds for check in checks)
    code = Code.YES if holds else Code.NO
    if as_json:
        finish_json({"holds": holds, **checks_json(checks)}, code)
    finish("\n".join([f"{name}: {'holds' if holds else 'does not hold'}", *checks_lines(checks)]), code)


def _again(data: object, shop: Shop, as_json: bool) -> NoReturn:
    """Look at an answer about a way, a room or a rack, and end the command."""
    from fitcheck.rim.cli.prove_again import again_json, again_text, proved_again

    found = proved_again(data, shop)
    code = Code.NO if not found.holds else Code.UNSETTLED if found.not_shown else Code.YES
    if as_json:
        finish_json(again_json(found), code)
    finish(again_text(found), code)


def _load_checks(data: object, shop: Shop) -> tuple[Check, ...]:
    from fitcheck.questions.prove_few import prove_few
    from fitcheck.questions.prove_loads import Told, prove_loads
    from fitcheck.rim.files.lots_from_json import builds_from_json, loads_from_json

    told = loads_from_json(data)
    loads = [Told(each.lot, each.blocks, each.liquid_l, each.add_l) for each in told.loads]
    checks = prove_loads(shop, loads, told.left_out, told.bounds, told.mix_l, told.total_bound)
    return (*checks, *prove_few(shop, loads, builds_from_json(data)))


def _day_checks(data: object, shop: Shop) -> tuple[Check, ...]:
    from fitcheck.questions.prove_day import prove_day
    from fitcheck.rim.files.day_json import day_from_json
    from fitcheck.rim.files.json_values import mapping, number, text

    whole = mapping(data, "the answer")
    return prove_day(shop, day_from_json(data), number(whole, "finish_s"), text(whole, "verdict"))


def _read(path: Path) -> object:
    """Return what is in the file, or raise `InputFault` with what is wrong with it."""
    if not path.is_file():
        raise InputFault([Fault(str(path), "there is no such file", f"name {WHAT}")])
    if path.stat().st_size > LARGEST_BYTES:
        raise InputFault(
            [
                Fault(
                    path.name,
                    "this is far too large for an answer",
                    f"name {WHAT}",
                )
            ]
        )
    try:
        return json.loads(path.read_bytes())
    except (ValueError, RecursionError) as fault:
        problem = f"this is not JSON ({fault})"
        raise InputFault([Fault(path.name, problem, f"name {WHAT}")]) from fault


def _proved(row: object, shop: Shop, shop_file: Path) -> Proved:
    from fitcheck.questions.prove_dip import prove_dip
    from fitcheck.questions.prove_pass import prove_pass
    from fitcheck.rim.files.answer_from_json import answer_from_json
    from fitcheck.rim.files.pass_json import pass_from_json

    if isinstance(row, dict) and "passes" in row:
        passes = pass_from_json(row)
        return prove_pass(passes, *part_and_tank(shop, shop_file, passes.part, passes.tank))
    answer = answer_from_json(row)
    return prove_dip(answer, *part_and_tank(shop, shop_file, answer.part, answer.tank))


def _text(proved: Proved) -> str:
    says = "holds" if proved.holds else "does not hold"
    first = f"{proved.part} in {proved.tank}, {proved.verdict}: {says}"
    return "\n".join([first, *checks_lines(proved.checks)])
