"""The picture of passes: its words keep clear of each other, and its bands are what the passes share."""

from __future__ import annotations

import itertools
from pathlib import Path

import numpy as np
import pytest
from questions.passes.test_prove import CASES
from strategies.solids import box, part_of, tank_of

from fitcheck.draw.ink import Label, Marks, box_of
from fitcheck.draw.layout import SHEET_PT
from fitcheck.questions.passes.answer import PassAnswer
from fitcheck.questions.passes.ask import passes
from fitcheck.questions.passes.draw import draw_passes, passes_marks
from fitcheck.questions.passes.draw_bands import banded
from fitcheck.things.part import Part
from fitcheck.things.tank import Rules, Tank

STICK = part_of(box((1300.0, 60.0, 40.0)))
TROUGH = tank_of(box((1000.0, 200.0, 400.0)), Rules(20.0, 20.0, 20.0, 40.0, overlap_mm=50.0))
DRAWN: dict[str, tuple[Part, Tank]] = {
    "stick": (STICK, TROUGH),
    **{k: CASES[k] for k in ("many", "none")},
}


@pytest.fixture(scope="module")
def answers() -> dict[str, PassAnswer]:
    return {name: passes(*case) for name, case in DRAWN.items()}


def labels(marks: Marks) -> list[Label]:
    return [mark for mark in marks if isinstance(mark, Label) and mark.words]


@pytest.mark.parametrize("name", DRAWN)
def test_words_do_not_overlap_and_stay_on_the_sheet(answers: dict[str, PassAnswer], name: str) -> None:
    found = labels(passes_marks(answers[name], *DRAWN[name], "mm", "bay"))
    boxes = [(label.words, box_of(label)) for label in found]
    for words, each in boxes:
        assert 0.0 <= each.left < each.right <= SHEET_PT[0], words
        assert 0.0 <= each.low < each.high <= SHEET_PT[1], words
        assert not words.endswith("..."), words
    for (words, one), (others, two) in itertools.combinations(boxes, 2):
        across = min(one.right, two.right) - max(one.left, two.left)
        up = min(one.high, two.high) - max(one.low, two.low)
        assert across <= 0.5 or up <= 0.5, (words, others)


def test_what_it_says(answers: dict[str, PassAnswer]) -> None:
    words = [label.words for label in labels(passes_marks(answers["stick"], *DRAWN["stick"], "mm", "bay"))]
    assert {"Pass 1", "Pass 2", "how often", "two passes", "treated twice", "wet once"} <= set(words)
    words = [label.words for label in labels(passes_marks(answers["none"], *DRAWN["none"], "mm", "bay"))]
    assert {"DOES NOT FIT", "the best that was found", "dry"} <= set(words)


def test_the_bands_are_what_two_passes_share(answers: dict[str, PassAnswer]) -> None:
    """On the top and the underside of a stick the band is as long as the two wet lengths overlap there."""
    answer = answers["stick"]
    ups = np.array([each.pose.rotation[2] for each in answer.passes])
    lines = np.array([each.level_mm - each.pose.shift_mm[2] for each in answer.passes])
    top, under, _ = banded(answer, STICK)
    for face, z in ((top, 40.0), (under, 0.0)):
        ends = np.sort((lines - ups[:, 2] * z) / ups[:, 0])
        left, _, right, _ = face.twice.bounds()
        assert (left, right) == pytest.approx(tuple(ends), abs=1e-3)
        assert face.dry.is_empty()
        # Together they are all of the face.
        assert face.once.area() == pytest.approx(1300.0 * 60.0)


def test_it_is_written(answers: dict[str, PassAnswer], tmp_path: Path) -> None:
    draw_passes(answers["stick"], *DRAWN["stick"], "ft-in", tmp_path / "passes.svg", "bay")
    assert "two passes" in (tmp_path / "passes.svg").read_text()
