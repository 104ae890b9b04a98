"""What is dangerous about passes is told as values: of the answer, when it is so and only then."""

from __future__ import annotations

from dataclasses import replace

import pytest
from questions.passes.test_prove import CASES, DEEP, SECTION
from strategies.solids import box, part_of

from fitcheck.questions.passes.answer import CUPFUL_L, PassAnswer
from fitcheck.questions.passes.ask import passes
from fitcheck.questions.passes.cautions import cautions_of
from fitcheck.say.cautions import sentences
from fitcheck.things.tank import Rim, Tank

STANDING = ["water test", "outranked"]


@pytest.fixture(scope="module")
def two() -> PassAnswer:
    return passes(SECTION, DEEP)


def kinds(answer: PassAnswer, tank: Tank = DEEP) -> list[str]:
    return [each.kind for each in cautions_of(answer, tank)]


def test_an_answer_brings_its_cautions(two: PassAnswer) -> None:
    one = passes(part_of(box((1500.0, 600.0, 300.0))), DEEP)
    assert [each.kind for each in one.cautions] == STANDING
    assert [each.kind for each in two.cautions][:2] == ["band shows", "end stands out"]
    assert two.cautions == cautions_of(two, DEEP)
    assert two.asked is not None
    assert (two.asked.parts[two.part], two.asked.tanks[two.tank]) == (SECTION, DEEP)


def test_each_is_told_when_it_is_so(two: PassAnswer) -> None:
    plain = replace(two, band_mm=DEEP.rules.overlap_mm)
    assert kinds(plain) == ["band shows", "end stands out", *STANDING]
    assert "narrow band" in kinds(replace(plain, band_mm=DEEP.rules.overlap_mm - 1e-6))
    first, second = plain.passes
    for air_l, told in ((CUPFUL_L, False), (CUPFUL_L + 1e-9, True)):
        airy = replace(plain, passes=(first, replace(second, air_l=air_l)))
        assert ("air in passes" in kinds(airy)) == told
    assert "way down" in kinds(plain, replace(DEEP, is_box=False))
    assert "low rim" in kinds(plain, replace(DEEP, rim=Rim(900.0, None)))


def test_a_sheet_that_is_sprung_lets_go_with_a_snap() -> None:
    sheet, tank = CASES["sprung"]
    for chord_mm, verdict in ((705.0, "fits"), (60.0, "does not fit")):
        answer = passes(sheet, tank, chord_mm=chord_mm)
        assert answer.verdict == verdict
        assert any("lets go with a snap" in line for line in sentences(answer.cautions, "mm"))
