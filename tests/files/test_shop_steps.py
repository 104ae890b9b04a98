"""The steps of a shop file: read in their order, faults named with place and cure, and what they mean for loads."""

from __future__ import annotations

from pathlib import Path

import pytest

import fitcheck as fc
from fitcheck.questions.lot.ask import lot
from fitcheck.questions.lot.say import text
from fitcheck.words.errors import InputFault, Refused
from fitcheck.words.units import read_time, show_time

HEAD = """
[rules]
part_gap = "10 mm"
[liquids.bath]
specific_gravity = 1.0
[tanks.short]
inside = ["500 mm", "300 mm", "300 mm"]
liquid = "bath"
[tanks.long]
inside = ["1500 mm", "300 mm", "300 mm"]
liquid = "bath"
[racks.line]
kind = "rail"
rails = [{ length = "3 m", height = "2 m" }]
[parts.plate]
shape = "block"
size = ["400 mm", "80 mm", "20 mm"]
metal = "aluminium"
[parts.rail]
shape = "block"
size = ["1400 mm", "80 mm", "20 mm"]
metal = "aluminium"
"""


def read(folder: Path, steps: str) -> fc.Shop:
    path = folder / "shop.toml"
    path.write_text(HEAD + steps, encoding="utf-8")
    return fc.read_shop(path)


def test_steps_come_in_the_order_of_the_file(tmp_path: Path) -> None:
    shop = read(
        tmp_path,
        '[steps.etch]\ntank = "short"\ndwell = "8 min"\nwait_at_most = "90 s"\n'
        '[steps.rinse]\ntanks = ["long", "short"]\ndwell = "1 h 30 min"\ndrip = "1 min"\n'
        '[steps.dry]\nrack = "line"\ndwell = "2 h"\n',
    )
    assert [(s.name, s.tanks, s.rack, s.dwell_s, s.drip_s, s.wait_at_most_s) for s in shop.steps] == [
        ("etch", ("short",), None, 480.0, 0.0, 90.0),
        ("rinse", ("long", "short"), None, 5400.0, 60.0, None),
        ("dry", (), "line", 7200.0, 0.0, None),
    ]


@pytest.mark.parametrize(
    ("step", "told"),
    [
        ('tank = "shrt"\ndwell = "8 min"', '[steps.etch] tank: there is no tank "shrt"; did you mean short?'),
        ('tank = "short"\ndwell = 8', "[steps.etch] dwell: "),
        ('tank = "short"\ndwell = "8"', "[steps.etch] dwell: "),
        ('tank = "short"', "[steps.etch]: dwell is missing"),
        ('dwell = "8 min"', "[steps.etch]: tank is missing"),
        ('tank = "short"\nrack = "line"\ndwell = "8 min"', "tank and rack are both given"),
        ('tanks = ["short", "lnog"]\ndwell = "8 min"', "tanks, item 2: there is no tank"),
        ('tanks = []\ndwell = "8 min"', "there are no tanks in it"),
        ('rack = "wall"\ndwell = "8 min"', 'there is no rack "wall"'),
        ('tank = "short"\ndwell = "-8 min"', "is below 0"),
        ('tank = "short"\ndwell = "8 min"\ndrop = "1 min"', "did you mean drip?"),
    ],
)
def test_a_fault_is_one_line_with_place_and_cure(tmp_path: Path, step: str, told: str) -> None:
    with pytest.raises(InputFault) as raised:
        read(tmp_path, f"[steps.etch]\n{step}\n")
    (fault,) = raised.value.faults
    assert told.replace("[steps.etch]: ", "").replace("[steps.etch] dwell: ", "") in str(fault)
    assert "line " in str(fault) and "[steps.etch]" in str(fault)


def test_a_part_that_fits_not_every_step_is_said_to_be_done_by_hand_there(tmp_path: Path) -> None:
    shop = read(
        tmp_path,
        '[steps.etch]\ntank = "short"\ndwell = "8 min"\n[steps.rinse]\ntank = "long"\ndwell = "1 min"\n'
        '[steps.rinse_again]\ntank = "long"\ndwell = "1 min"\n',
    )
    answer = lot(shop)
    # The two rinses are in the same tank: their loads are told once.
    assert [work.steps for work in answer.works] == [("etch",), ("rinse", "rinse_again")]
    assert [(each.part, each.work) for each in answer.left_out] == [("rail", "etch")]
    assert "etch: spray or wipe it" in text(answer, shop)
    assert {part.part for load in answer.lots if load.tank == "long" for part in load.parts} == {
        "plate",
        "rail",
    }


@pytest.mark.parametrize(
    ("text", "seconds", "shown"),
    [
        ("90 s", 90.0, "90 s"),
        ("8 min", 480.0, "8 min"),
        ("1 h 30 min", 5400.0, "1 h 30 min"),
        ("2 h", 7200.0, "2 h"),
    ],
)
def test_times_are_read_and_shown(text: str, seconds: float, shown: str) -> None:
    assert read_time(text) == seconds
    assert show_time(seconds) == shown


def test_a_bare_time_is_refused() -> None:
    with pytest.raises(Refused, match="min"):
        read_time("8")
