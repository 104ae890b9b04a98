"""Passes in words: of a sheet that is sprung, those of the part as it goes in, told from its flat drawing."""

from __future__ import annotations

from dataclasses import replace

import pytest
from questions.passes.test_prove import CASES

from fitcheck.geometry.statics.sprung_sheet import bent_part
from fitcheck.questions.passes.answer import PassAnswer, count_words
from fitcheck.questions.passes.ask import passes
from fitcheck.questions.passes.draw import svg
from fitcheck.questions.passes.say import text
from fitcheck.say.attitude_words import hanging, heights
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop, Show
from fitcheck.things.tank import Tank


@pytest.fixture(scope="module")
def sprung() -> tuple[PassAnswer, Part, Tank]:
    sheet, tank = CASES["sprung"]
    return passes(sheet, tank, chord_mm=705.0), sheet, tank


@pytest.mark.parametrize("show", ["mm", "ft-in"])
def test_a_sprung_sheet_hangs_as_it_is_bent(sprung: tuple[PassAnswer, Part, Tank], show: Show) -> None:
    answer, sheet, tank = sprung
    assert answer.sprung is not None
    bent = bent_part(sheet, answer.sprung.chord_mm)
    said = " ".join(text(answer, replace(Shop.of(sheet, tank), show=show)).split())
    for each in answer.passes:
        assert hanging(each.pose, bent, show) in said
        assert heights(each.pose, bent, show) in said


def test_a_sheet_drawn_across_is_as_wide_as_its_chord(sprung: tuple[PassAnswer, Part, Tank]) -> None:
    """Drawn with its width along x, the end that is up is up by the chord's rise, not by the flat width's."""
    answer, sheet, tank = sprung
    long, wide, thick = sheet.size_mm
    across = replace(sheet, size_mm=(wide, long, thick))
    assert answer.sprung is not None
    bent = replace(across, size_mm=(answer.sprung.chord_mm, long, answer.sprung.rise_mm))
    said = " ".join(text(answer, Shop.of(across, tank)).split())
    assert hanging(answer.passes[0].pose, bent, "mm") in said
    assert hanging(answer.passes[0].pose, across, "mm") not in said


def test_the_picture_as_svg_has_the_sheet_as_it_is_bent(sprung: tuple[PassAnswer, Part, Tank]) -> None:
    answer, sheet, tank = sprung
    picture = svg(answer, Shop.of(sheet, tank))
    assert picture.startswith("<svg")
    assert "sprung to an arc" in picture


def test_passes_are_counted_in_words() -> None:
    assert [count_words(count) for count in (0, 1, 2, 8, 9)] == [
        "no passes",
        "one pass",
        "two passes",
        "eight passes",
        "9 passes",
    ]
