"""`fitcheck demo`: a small boatyard's finishing bay to try every question on."""

from __future__ import annotations

import shlex
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fitcheck.cli.finish import finish, finish_json
from fitcheck.cli.options import AsJson, part_and_tank
from fitcheck.cli.progress import watched
from fitcheck.files.written import write_all
from fitcheck.words.errors import Fault, InputFault
from fitcheck.words.units import Show, read_angle, show_length, show_volume

if TYPE_CHECKING:
    from fitcheck.questions.dip.answer import DipAnswer
    from fitcheck.questions.pocket.answer import PocketAnswer
    from fitcheck.things.part import Part
    from fitcheck.things.shop import Shop
    from fitcheck.things.tank import Tank

YARD, BLOCKS = "yard.toml", "blocks.toml"


@dataclass(frozen=True, slots=True)
class Question:
    """What the yard asks: in its own words, and of which part, tank and file; rolled so, or any way."""

    words: str
    part: str
    tank: str
    file: str = YARD
    roll: str | None = None

    def command(self, folder: Path) -> str:
        """Return what to type for the whole answer."""
        return (
            f"fitcheck dip {_typed(folder / self.file)} {self.part} {self.tank}{_option('roll', self.roll)}"
        )


@dataclass(frozen=True, slots=True)
class PocketQuestion:
    """What the yard asks of what a part catches, hung so."""

    words: str
    part: str
    tilt: str | None = None
    roll: str | None = None

    def command(self, folder: Path) -> str:
        """Return what to type for the whole answer."""
        angles = _option("tilt", self.tilt) + _option("roll", self.roll)
        return f"fitcheck pocket {_typed(folder / YARD)} {self.part}{angles}"


def _typed(path: Path) -> str:
    """Return a path as a shell takes it: in quotes where there are blanks in it."""
    return shlex.quote(str(path))


def _option(name: str, value: str | None) -> str:
    return f' --{name} "{value}"' if value else ""


# What the yard wants to know before it buys a drum.
QUESTIONS = (
    Question("The boom. We meant to fill the long tank: how little liquid will do?", "P01", "T1"),
    Question("The boom again, with the side blocks stood in the tank.", "P01", "T1", BLOCKS),
    Question("The boom with its ends plugged: by how much does it lift the liquid?", "P01s", "T1", BLOCKS),
    Question('The mast is longer than the tank inside. "Tilt it in", they say.', "P02", "T1"),
    Question("The hatch frame: too wide laid flat, too tall upright. Is there a way between?", "P08", "T1"),
    Question("Rib no. 2 stood upright, as anybody would.", "P07", "T2", roll="90 deg"),
    Question("Rib no. 2 in any way at all.", "P07", "T2"),
    Question("The saddle section in the short trough: can we trust the tape?", "P23", "T5"),
)
POCKET_QUESTIONS = (
    PocketQuestion("The fuel-tank section, hung as drawn with its open face up.", "P03", roll="0 deg"),
    PocketQuestion("The hatch pan, open side down, one edge up.", "P10", "30 deg", "180 deg"),
    PocketQuestion("The hatch pan again, one corner up.", "P10", "20.7 deg", "157.8 deg"),
)


def demo(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Where to write it.")],
    as_json: AsJson = False,
) -> None:
    """Write the demo yard into DIR and answer its main questions."""
    written = write_demo(folder)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions.register import to_dict
    from fitcheck.say.lines import cautions_text

    shops = {file: read_shop(folder / file) for file in (YARD, BLOCKS)}
    texts = [f"Our yard: {', '.join(file.name for file in written)}, written into {folder}"]
    answers, caught = [], []
    for question in watched(QUESTIONS, "the yard's questions"):
        answer, told = _answered(question, shops[question.file], folder)
        answers.append(answer)
        texts.append(f"{question.words}\n$ {question.command(folder)}\n{told}")
    for asked in POCKET_QUESTIONS:
        held, told = _caught(asked, shops[YARD])
        caught.append(held)
        texts.append(f"{asked.words}\n$ {asked.command(folder)}\n{told}")
    if as_json:
        finish_json(
            {
                "written": [str(path) for path in written],
                "answers": [to_dict(each, shops[YARD].show) for each in answers],
                "pockets": [to_dict(each, shops[YARD].show) for each in caught],
            }
        )
    cautions = dict.fromkeys(line for each in (*answers, *caught) for line in each.cautions)
    texts += [cautions_text(cautions, shops[YARD].show), _what_next(folder)]
    finish("\n\n".join(texts))


def _caught(question: PocketQuestion, shop: Shop) -> tuple[PocketAnswer, str]:
    """Return what a part catches, and its gist as text."""
    from fitcheck.questions.pocket.ask import pocket
    from fitcheck.questions.pocket.say import first_line
    from fitcheck.things.pose import Angles

    part = shop.parts[question.part]
    tilt, roll = (read_angle(angle) if angle else 0.0 for angle in (question.tilt, question.roll))
    answer = pocket(part, Angles(tilt, roll))
    return answer, _lines([first_line(answer, part, shop.show)])


def _answered(question: Question, shop: Shop, folder: Path) -> tuple[DipAnswer, str]:
    """Return the answer to a question, and its gist as text."""
    from fitcheck.questions.dip.ask import dip
    from fitcheck.things.pose import Angles

    part, tank = part_and_tank(shop, folder / question.file, question.part, question.tank)
    angles = Angles(0.0, read_angle(question.roll), 0.0) if question.roll else None
    answer = dip(part, tank, angles=angles)
    return answer, _gist(answer, part, tank, shop.show)


def _gist(answer: DipAnswer, part: Part, tank: Tank, show: Show) -> str:
    """Return the verdict and the lines that one works by; the command tells the rest."""
    from fitcheck.questions.dip.answer import DoesNotFit, Fits
    from fitcheck.questions.dip.say import cure_line, verdict_line
    from fitcheck.questions.fill.ask import fill
    from fitcheck.say.attitude_words import hanging

    lines = [verdict_line(answer, show)]
    if isinstance(answer, DoesNotFit):
        lines += [f"one change that would do: {cure_line(cure, show)}" for cure in answer.cures]
    elif isinstance(answer, Fits):
        advice = answer.advice.fill
        full = fill(tank, tank.depth_mm - tank.rules.freeboard_mm)[0]
        lines += [
            f"how it hangs: {hanging(answer.advice.pose, part, show)}",
            f"fill line: {show_length(advice.from_rim_mm, show)} down from the rim, part in; it rises by "
            f"{show_length(advice.rise_mm, show)}",
            f"liquid: {show_volume(advice.liquid_l, show)}; to the freeboard the tank would take "
            f"{show_volume(full.liquid_l, show)}",
        ]
    else:
        lines.append(answer.reason)
    return _lines(lines)


def _lines(lines: list[str]) -> str:
    from fitcheck.say.lines import folded

    return "\n".join(folded(line, "  ", "    ") for line in lines)


def _what_next(folder: Path) -> str:
    yard = _typed(folder / YARD)
    return (
        "Then try:\n"
        f"  fitcheck chart {yard}\n"
        f"  fitcheck pass {yard} P02 T1\n"
        f"  fitcheck block {yard} T1 --for P08\n"
        f"  fitcheck dip {yard} P08 T1 --picture {_typed(folder / 'P08.png')}"
    )


def write_demo(folder: Path) -> tuple[Path, ...]:
    """Write the demo's files into `folder` (made where it is not there), all of them or none.

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
    contents = {folder / name: content for name, content in files.items()}
    write_all(contents)
    return tuple(contents)


def _demo_files() -> dict[str, bytes]:
    data = resources.files("fitcheck.files") / "demo"
    return {
        item.name: item.read_bytes()
        for item in sorted(data.iterdir(), key=lambda i: i.name)
        if item.is_file()
    }
