"""A caution reaches whoever asks, the same from every front, and every caution has its sentence."""

from __future__ import annotations

import ast
import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from oracles.demo_answers import ASKED, SHOP, answer_to

import fitcheck
import fitcheck as fc
from fitcheck.draw.sheet_sections import Notes, Page
from fitcheck.page.live import Asked, Desk
from fitcheck.questions.chart.page import read_first
from fitcheck.say.cautions import AS_TOLD, PLAIN, WITH_NUMBERS, sentence, sentences
from fitcheck.sheet.kit import Order, kit
from fitcheck.things.stock import HOLD_DOWN
from fitcheck.words.units import show_force

PACKAGE = Path(fitcheck.__file__).parent
FLOATS = answer_to("dip")
PART, TANK = SHOP.parts["P11"], SHOP.tanks["T1"]


def lines_of(*pages: Page) -> list[str]:
    """Return the lines of notes that pages have."""
    notes = [each for page in pages for each in page.sections if isinstance(each, Notes)]
    return [line for each in notes for line in each.lines]


def is_told(caution: fc.Caution, lines: list[str]) -> bool:
    """Tell whether lines of pages say a caution; where slings are drawn theirs says that it floats."""
    if sentence(caution, SHOP.show) in lines:
        return True
    if caution.kind != "floats":
        return False
    up = show_force(caution.number("uplift_n"), SHOP.show)
    told = f"floats: {up} pushes it up when it is under"
    hold = f"Hold it down with at least {HOLD_DOWN:g} times that"
    return any(told in line and hold in line and "let nobody hold it by hand" in line for line in lines)


def test_the_part_floats_and_its_answer_says_so_first() -> None:
    assert isinstance(FLOATS, fc.Fits)
    assert FLOATS.advice.uplift_n > 0.0
    assert [caution.kind for caution in FLOATS.cautions] == ["floats", "low rim", "water test", "outranked"]
    assert FLOATS.cautions[0].number("uplift_n") == FLOATS.advice.uplift_n


def test_json_has_the_sentences_of_the_values() -> None:
    assert FLOATS.to_dict(SHOP.show)["cautions"] == list(sentences(FLOATS.cautions, SHOP.show))
    # Two things alone know no unit of their shop.
    assert FLOATS.to_dict()["cautions"] == list(sentences(FLOATS.cautions, "mm"))
    assert FLOATS.to_dict()["cautions"][0].startswith("P11 floats: 338.1 N pushes it up")


def test_the_text_has_them_word_for_word_in_their_order() -> None:
    text = " ".join(FLOATS.text(SHOP).split())
    places = [text.find(told) for told in sentences(FLOATS.cautions, SHOP.show)]
    assert -1 not in places
    assert places == sorted(places)


def test_the_printed_set_has_them() -> None:
    laid = kit(SHOP, [PART], [TANK], Order("a4", False, SHOP.show, SHOP.name))
    lines = lines_of(*(each.page for each in laid))
    assert [each.kind for each in FLOATS.cautions if not is_told(each, lines)] == []


def test_the_live_page_has_them() -> None:
    shown = Desk().shown(SHOP, Asked("P11", "T1", FLOATS.advice.pose.angles))
    assert shown.answer.cautions == FLOATS.cautions
    # What goes with every lift of the tank stands beside the page.
    lines = lines_of(shown.page, read_first(SHOP, [TANK]))
    assert [each.kind for each in FLOATS.cautions if not is_told(each, lines)] == []


def test_what_is_not_told_is_seen() -> None:
    assert not is_told(FLOATS.cautions[0], ["It floats: 1 lbf pushes it up when it is under."])
    assert not is_told(FLOATS.cautions[1], list(PLAIN.values()))


@pytest.mark.parametrize("kind", ASKED)
def test_every_answer_is_cautioned_in_all_of_its_words(kind: str) -> None:
    answer = answer_to(kind)
    assert all(isinstance(caution, fc.Caution) for caution in answer.cautions)
    assert AS_TOLD not in {caution.kind for caution in answer.cautions}
    told = sentences(answer.cautions, SHOP.show)
    assert len(told) == len(answer.cautions), "one is told twice"
    text = " ".join(answer.text(SHOP).split())
    assert [line for line in told if line not in text] == []


def cautions_made() -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Return every caution that is made: the file, its kind and the names of its values."""
    for path in sorted(PACKAGE.rglob("*.py")):
        nodes = list(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))
        # Names that come in a mapping stand as text in the same file.
        texts = {
            node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str)
        }
        for node in nodes:
            if isinstance(node, ast.Call) and ast.unparse(node.func) in {"Caution", "Caution.of"}:
                named = {each.arg for each in node.keywords if each.arg}
                more = (
                    {each for each in texts if each.isidentifier()}
                    if len(named) < len(node.keywords)
                    else set()
                )
                yield (
                    path.relative_to(PACKAGE).as_posix(),
                    ast.unparse(node.args[0]),
                    tuple(sorted(named | more)),
                )


MADE = [each for each in cautions_made() if each[1] != "AS_TOLD"]


def test_every_room_that_sends_a_part_into_a_bath_makes_cautions() -> None:
    rooms = {path.split("/")[1] for path, _, _ in MADE if path.startswith("questions/")}
    rooms |= {path.parent.name for path in (PACKAGE / "questions").glob("*/cautions.py")}
    assert {"dip", "passes", "pocket", "block", "hang", "lot", "ladder", "day", "mix"} <= rooms


@pytest.mark.parametrize(("path", "kind", "names"), MADE, ids=str)
@pytest.mark.parametrize("show", ["ft-in", "mm"])
def test_every_caution_that_is_made_has_its_sentence(
    path: str, kind: str, names: tuple[str, ...], show: fc.Show
) -> None:
    word = ast.literal_eval(kind)
    # A sentence asks for its values by name: one that is not given is a KeyError.
    told = sentence(fc.Caution.of(word, **dict.fromkeys(names, "1")), show)
    assert told.endswith((".", ")"))
    assert (word in PLAIN) != (word in WITH_NUMBERS)
    assert (word in PLAIN) == (not names)


def test_no_sentence_is_for_nobody() -> None:
    made = {ast.literal_eval(kind) for _, kind, _ in MADE}
    assert sorted({*PLAIN, *WITH_NUMBERS} - made) == []


def test_no_caution_is_worded_outside_say() -> None:
    worded = set(PLAIN.values())
    elsewhere = [
        path.relative_to(PACKAGE).as_posix()
        for path in PACKAGE.rglob("*.py")
        if path.relative_to(PACKAGE).parts[0] != "say"
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and node.value in worded
    ]
    assert elsewhere == []


def test_json_keeps_them_through_a_file() -> None:
    told = json.loads(json.dumps(FLOATS.to_dict(SHOP.show)))
    again = fc.answer_from_dict(told, SHOP)
    assert sentences(again.cautions, SHOP.show) == sentences(FLOATS.cautions, SHOP.show)
    assert again.to_dict() == told
