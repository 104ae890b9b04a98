"""`fitcheck prove`: whether an answer that was written down is right for this shop."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fitcheck.cli.finish import Code, finish, finish_json
from fitcheck.cli.options import AsJson, ShopFile
from fitcheck.words.errors import Fault, InputFault, Refused

if TYPE_CHECKING:
    from fitcheck.things.proved import Proved
    from fitcheck.words.json_values import Json

WHAT = "what a question printed with --json"
# The proof of one "no" takes some hundred kilobytes; a file far larger is something else.
LARGEST_BYTES = 200_000_000


def prove(
    shop: ShopFile,
    answer: Annotated[
        Path,
        typer.Argument(metavar="ANSWER.json", help="What a question printed with --json."),
    ],
    as_json: AsJson = False,
) -> None:
    """Check an answer again, from the shop file and the answer alone, by code that does not search.

    Where a bound can be worked out again only by the code that found it, that is said.
    """
    data = _read(answer)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.register import prove as prove_one

    known = read_shop(shop)
    rows = data if isinstance(data, list) else [data]
    if not rows:
        raise InputFault([Fault(answer.name, "there is no answer in it", f"name {WHAT}")])
    try:
        found = [prove_one(row, known) for row in rows]
    except Refused as fault:
        raise InputFault([Fault(answer.name, fault.problem, fault.cure)]) from fault
    code = _code(found)
    if as_json:
        told = [_json(each) for each in found]
        finish_json(told if isinstance(data, list) else told[0], code)
    finish("\n\n".join(_text(each) for each in found), code)


def _code(found: list[Proved]) -> Code:
    if not all(each.holds for each in found):
        return Code.NO
    # Whether the verdict is so stays open; what else is not checked is told, and changes nothing.
    open_ones = (left for each in found for left in each.not_checked if left.key == "verdict")
    return Code.UNSETTLED if any(True for _ in open_ones) else Code.YES


def _read(path: Path) -> object:
    """Return what is in the file, or raise `InputFault` with what is wrong with it."""
    if not path.is_file():
        raise InputFault([Fault(str(path), "there is no such file", f"name {WHAT}")])
    if path.stat().st_size > LARGEST_BYTES:
        raise InputFault([Fault(path.name, "this is far too large for an answer", f"name {WHAT}")])
    try:
        return json.loads(path.read_bytes())
    except (ValueError, RecursionError) as fault:
        raise InputFault([Fault(path.name, f"this is not JSON ({fault})", f"name {WHAT}")]) from fault


def _json(proved: Proved) -> Json:
    return {
        "kind": "prove",
        "holds": proved.holds,
        "of": proved.of,
        "verdict": proved.verdict,
        "checked": [check.what for check in proved.checks if check.holds],
        "not_so": [check.what for check in proved.checks if not check.holds],
        "not_checked": [{"key": each.key, "why": each.why} for each in proved.not_checked],
    }


def _text(proved: Proved) -> str:
    says = "does not hold"
    if proved.holds:
        says = "holds as far as it was checked" if proved.not_checked else "holds"
    about = ", ".join(word for word in (proved.of, proved.verdict) if word)
    lines = [f"{about}: {says}"]
    lines += [f"  {'so    ' if check.holds else 'NOT SO'}  {check.what}" for check in proved.checks]
    lines += [f"  not checked: {each.key}: {each.why}" for each in proved.not_checked]
    return "\n".join(lines)
