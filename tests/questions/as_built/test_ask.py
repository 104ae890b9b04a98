"""A water test of a tank that is known gives that tank back, no surer than its readings."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from strategies.solids import box, part_of, tank_of

from fitcheck.files.readings import read_readings
from fitcheck.files.shop_file import shop_from
from fitcheck.questions.as_built.ask import Errors, as_built
from fitcheck.things.reading import Reading
from fitcheck.things.tank import Rules
from fitcheck.words.errors import InputFault, Refused

TAPED = tank_of(box((1200.0, 600.0, 500.0)), Rules(tape_tank_mm=3.0))
LEVELS = np.array([100.0, 200.0, 300.0, 400.0])
EXACT = Errors(0.01, 1e-6)


def readings(litres: np.ndarray) -> list[Reading]:
    return [Reading(float(level), float(litre)) for level, litre in zip(LEVELS, litres, strict=True)]


def test_a_true_plan_comes_back() -> None:
    answer = as_built(TAPED, readings(1200.0 * 610.0 * LEVELS / 1e6), EXACT)
    assert answer.floor_mm2 == pytest.approx(1200.0 * 610.0, rel=1e-6)
    assert answer.bow_mm == 0.0
    length, width, _ = answer.corrected.size_mm
    assert length * width == pytest.approx(1200.0 * 610.0, rel=2e-4)  # the two corrections multiply


def test_a_bow_comes_back() -> None:
    # The long walls stand apart by 12 mm more at 400 mm than at the floor, evenly growing.
    area = 1200.0 * (604.0 * LEVELS + 12.0 / 400.0 * LEVELS**2 / 2.0)
    answer = as_built(TAPED, readings(area / 1e6), EXACT)
    assert answer.bow_mm == pytest.approx(12.0, abs=0.01)
    assert answer.floor_mm2 == pytest.approx(1200.0 * 604.0, rel=1e-6)
    assert answer.corrected.rules.tape_tank_mm >= 6.0


def test_what_stands_in_the_tank_is_no_missing_plan() -> None:
    blocked = tank_of(box((1200.0, 600.0, 500.0)), post=box((200.0, 600.0, 250.0)))
    litres = (1200.0 * 606.0 * LEVELS - 200.0 * 600.0 * np.minimum(LEVELS, 250.0)) / 1e6
    assert as_built(blocked, readings(litres), EXACT).floor_mm2 == pytest.approx(1200.0 * 606.0, rel=1e-6)


def test_the_error_told_is_the_error_made() -> None:
    # 400 tests with readings out by the stated errors: two in three lie within one standard error.
    random = np.random.default_rng(9)
    true = 1200.0 * 606.0
    inside = 0
    for _ in range(400):
        seen = true * (LEVELS + random.normal(0.0, 1.0, 4)) / 1e6 * (1.0 + random.normal(0.0, 0.01, 4))
        answer = as_built(TAPED, readings(seen))
        inside += abs(answer.floor_mm2 - true) <= answer.floor_error_mm2
    # Larger where readings scatter more than stated, so rather more than 68 %; a twentieth is their own luck.
    assert 0.63 <= inside / 400 <= 0.90


def test_two_readings_show_no_bow() -> None:
    answer = as_built(TAPED, [Reading(100.0, 73.0), Reading(400.0, 292.0)])
    assert (answer.shows_bow, answer.bow_mm) == (False, 0.0)


def test_answers_that_change_are_told() -> None:
    part = part_of(box((1198.0, 590.0, 20.0)), name="lid")
    part = type(part)("lid", part.solid, part.skin, 1.0, part.centre_mm, part.size_mm, tape_mm=0.0)
    tank = tank_of(box((1200.0, 600.0, 500.0)), Rules(cover_mm=20.0))
    answer = as_built(tank, readings(1150.0 * 570.0 * LEVELS / 1e6), EXACT, [part])
    (change,) = answer.changes
    assert change.is_one
    assert change.verdict_was == "fits"


def test_the_card_can_be_read_back() -> None:
    answer = as_built(TAPED, readings(1200.0 * 610.0 * LEVELS / 1e6), EXACT)
    text = f'[liquids.w]\nspecific_gravity = 1.0\n{answer.card}\nliquid = "w"\n'
    read = shop_from(text, Path("shop.toml")).tanks["tank"]
    assert read.size_mm == pytest.approx(answer.corrected.size_mm, abs=0.05)


def test_readings_as_typed_and_from_a_file(tmp_path: Path) -> None:
    typed = read_readings("4 in = 19 gal, 200 mm = 145 L")
    assert typed[0] == Reading(pytest.approx(101.6), pytest.approx(71.92, abs=0.01))
    file = tmp_path / "test.csv"
    file.write_text("level,volume\n4 in,19 gal\n200 mm,145 L\n")
    assert read_readings(str(file)) == typed
    with pytest.raises(InputFault) as caught:
        read_readings("4 = 19 gal, 200 mm = 145, 1 in = 2 gal = 3")
    assert len(caught.value.faults) == 3
    with pytest.raises(InputFault, match="no such file"):
        read_readings(str(tmp_path / "none.csv"))


@pytest.mark.parametrize(
    "pairs",
    [[], [Reading(0.0, 1.0)], [Reading(501.0, 400.0)], [Reading(100.0, -1.0)], [Reading(100.0, 7200.0)]],
)
def test_readings_that_cannot_be(pairs: list[Reading]) -> None:
    with pytest.raises(Refused):
        as_built(TAPED, pairs)
