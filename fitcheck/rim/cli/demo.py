"""`fitcheck demo`: a small boatyard's finishing bay to try every question on."""

from __future__ import annotations

import os
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fitcheck.rim.cli.finish import finish, finish_json
from fitcheck.rim.cli.options import AsJson, part_and_tank
from fitcheck.rim.cli.progress import watched
from fitcheck.words.errors import Fault, InputFault

if TYPE_CHECKING:
    from fitcheck.things.answers import Answer

YARD = "yard.toml"
# What the yard wants to know before it buys a drum: the question, the part, the tank.
QUESTIONS = (
    ("The boom in the long tank: how little liquid will do?", "P01", "T1"),
    ("The mast is longer than the tank inside: can it be tilted in?", "P02", "T1"),
    ("The hatch frame is too wide laid flat and too tall upright: is there a way between?", "P08", "T1"),
    ("Rib no. 2 has next to nothing to spare upright: is there a better way?", "P07", "T2"),
    ("The saddle section in the short trough: can we trust the tape?", "P23", "T5"),
)


def demo(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Where to write it.")],
    as_json: AsJson = False,
) -> None:
    """Write the demo yard into DIR and answer its main questions."""
    written = write_demo(folder)
    from fitcheck.questions.dip import dip as ask
    from fitcheck.rim.cli.cautions import with_cautions
    from fitcheck.rim.cli.dip_text import cautions_text, dip_text
    from fitcheck.rim.files.answer_json import answer_json
    from fitcheck.rim.files.shop_file import read_shop

    yard = folder / YARD
    shop = read_shop(yard)
    answers: list[Answer] = []
    texts = [f"Wrote {', '.join(map(str, written))}"]
    for question, part_name, tank_name in watched(QUESTIONS, "the yard's questions"):
        part, tank = part_and_tank(shop, yard, part_name, tank_name)
        answers.append(with_cautions(ask(part, tank), tank, shop.show))
        command = f"$ fitcheck dip {yard} {part_name} {tank_name}"
        texts.append(f"{question}\n{command}\n\n{dip_text(answers[-1], part, shop.show)}")
    if as_json:
        finish_json(
            {"written": [str(path) for path in written], "answers": [answer_json(each) for each in answers]}
        )
    texts.append(cautions_text(dict.fromkeys(line for answer in answers for line in answer.cautions)))
    texts.append(
        f"Draw one of them:  fitcheck dip {yard} P08 T1 --picture {folder / 'P08.png'}\n"
        f"Ask about the lot: fitcheck chart {yard}"
    )
    finish("\n\n\n".join(texts))


def write_demo(folder: Path) -> tuple[Path, ...]:
    """Write the demo's files into `folder` (made where it is not there), each whole or not at all.

    Raises `InputFault` for every file that is there already; then nothing is written.
    """
    files = _demo_files()
    there = [folder / name for name in files if (folder / name).exists()]
    if folder.exists() and not folder.is_dir():
        there = [folder]
    if there:
        cure = "name a new folder; nothing was written"
        raise InputFault([Fault(str(path), "it is there already", cure) for path in there])
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        draft = folder / f".{name}.{os.getpid()}"
        draft.write_bytes(content)
        draft.replace(folder / name)
    return tuple(folder / name for name in files)


def _demo_files() -> dict[str, bytes]:
    data = resources.files("fitcheck.rim.files") / "demo"
    return {
        item.name: item.read_bytes()
        for item in sorted(data.iterdir(), key=lambda i: i.name)
        if item.is_file()
    }
