"""A day's timetable: equal to every timetable there is, its rules kept, forgeries refused, faults in one line."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from strategies.day_shop import DAY, SHOP, STEPS

import fitcheck as fc
from fitcheck.draw.ink import Label
from fitcheck.geometry.solver.timetable import Hands, Stay, timetable
from fitcheck.questions.day.answer import DayAnswer, DayLoad, Visit
from fitcheck.questions.day.ask import day
from fitcheck.questions.day.draw import day_marks, draw, svg
from fitcheck.questions.day.prove import times_hold
from fitcheck.questions.day.say import text as text_of
from fitcheck.things.crew import Crew
from fitcheck.things.step import Step
from fitcheck.words.errors import InputFault, Refused
from fitcheck.words.units import clock


def read(folder: Path, text: str) -> fc.Shop:
    path = folder / "shop.toml"
    path.write_text(text, encoding="utf-8")
    return fc.read_shop(path)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> fc.Shop:
    return read(tmp_path_factory.mktemp("day"), SHOP + STEPS + DAY)


@pytest.fixture(scope="module")
def told(shop: fc.Shop) -> DayAnswer:
    return day(shop)


# --- The least end, against every timetable there is -------------------------------------------------------------


def every_end(loads: list[list[Stay]], hands: Hands, most: int) -> int:
    """Return the earliest end of all timetables in whole seconds, by trying every time and place there is.

    What is allowed is told by the code that looks at answers again, which shares nothing with the solver.
    """
    steps = [
        Step(f"s{k}", ("a", "b"), None, stay.dwell_s, stay.drip_s, stay.away_at_most_s)
        for k, stay in enumerate(loads[0])
    ]
    crew = Crew(hands.people, hands.each, hands.transfer_s)
    ways = [list(_ways_of(steps, stays, hands, most)) for stays in loads]
    best = most + 1
    for chosen in itertools.product(*ways):
        end = max(load.visits[-1].free_s for load in chosen)
        if end < best and _apart(chosen) and all(check.holds for check in times_hold(steps, crew, chosen)):
            best = end
    return best


def _ways_of(steps: list[Step], stays: list[Stay], hands: Hands, most: int) -> Iterator[DayLoad]:
    """Give all times at which one load may go through its steps, and all its places."""
    for times in itertools.product(range(most), repeat=len(stays)):
        visits = [
            (enter, enter + stay.dwell_s, enter + stay.dwell_s + stay.drip_s)
            for enter, stay in zip(times, stays, strict=True)
        ]
        starts = [0, *(free for _, _, free in visits)]
        if visits[-1][2] > most or any(
            enter < before + hands.transfer_s for (enter, _, _), before in zip(visits, starts, strict=False)
        ):
            continue
        for places in itertools.product(*(stay.choices for stay in stays)):
            rows = [
                Visit(step.name, ("ab"[uses[0][0]],), *visit)
                for step, uses, visit in zip(steps, places, visits, strict=True)
            ]
            yield DayLoad((("p", 1),), tuple(rows), ())


def _apart(loads: tuple[DayLoad, ...]) -> bool:
    visits = [visit for load in loads for visit in load.visits]
    return all(
        one.places != two.places or one.free_s <= two.enter_s or two.free_s <= one.enter_s
        for one, two in itertools.combinations(visits, 2)
    )


@pytest.mark.parametrize("seed", range(8))
def test_no_timetable_is_done_sooner(seed: int) -> None:
    rng = np.random.default_rng(seed)
    hands = Hands(int(rng.integers(1, 4)), 1, int(rng.integers(0, 2)))
    shapes = [(int(rng.integers(1, 4)), int(rng.integers(0, 2))) for _ in range(2)]
    anywhere, one_only = (((0, 1),), ((1, 1),)), (((int(rng.integers(0, 2)), 1),),)
    loads = [
        [
            Stay(
                anywhere if rng.random() < 0.5 else one_only,
                dwell,
                drip,
                drip + hands.transfer_s + int(rng.integers(0, 2)),
            )
            for dwell, drip in shapes
        ]
        for _ in range(2)
    ]
    # Waits are a rule of the step, not of the load.
    loads[1] = [replace(two, away_at_most_s=one.away_at_most_s) for one, two in zip(*loads, strict=True)]
    found = timetable(loads, (1, 1), hands)
    assert found.at_least_s == found.end_s == every_end(loads, hands, found.end_s)


def test_two_loads_in_one_tank_by_hand() -> None:
    """Closed form: n loads in one tank take n (dwell + drip), and once to carry the first there."""
    stay = Stay((((0, 1),),), 300, 60)
    found = timetable([[stay]] * 4, (1,), Hands(2, 1, 60))
    assert (found.end_s, found.at_least_s) == (60 + 4 * 360, 60 + 4 * 360)
    # With one to carry and hold what drips, the next is carried only when the one before has dripped.
    assert timetable([[stay]] * 4, (1,), Hands(1, 1, 60)).end_s == 4 * (60 + 360)


def test_more_people_never_make_it_later() -> None:
    stays = [Stay((((0, 1),), ((1, 1),)), 120, 30, 180), Stay((((2, 1),),), 60, 30)]
    ends = [timetable([stays] * 4, (1, 1, 1), Hands(people, 1, 60)).end_s for people in (1, 2, 3)]
    assert ends == sorted(ends, reverse=True)
    assert ends[0] > ends[2]


# --- Of a shop ---------------------------------------------------------------------------------------------------


def test_every_piece_goes_through_or_is_listed(shop: fc.Shop, told: DayAnswer) -> None:
    assert sorted(piece for load in told.loads for piece in load.parts) == [("plate", k) for k in range(1, 7)]
    # It would hang across the rail, but it is too long for both kinds of tank.
    assert [(each.part, each.work) for each in told.left_out] == [("boom", "etch"), ("boom", "rinse")]
    assert told.verdict == "does not fit"
    assert len(told.loads) == 2
    assert told.finish_s == told.at_least_s


def test_it_is_told_by_the_clock(shop: fc.Shop, told: DayAnswer) -> None:
    text = text_of(told, shop)
    assert text.startswith(f"2 loads, done at {clock(8 * 3600 + told.finish_s)} (proven: these loads are not")
    assert "08:01   load 1   into etch (etch, level" in text
    assert "wait_at_most is not given for rinse:" in text
    assert "boom" in text.partition("Left out")[2]


def test_a_day_too_short_is_said_to_be(shop: fc.Shop, told: DayAnswer) -> None:
    fitting = DayAnswer.of(told.crew, told.loads, told.at_least_s, ())
    assert fitting.verdict == "fits"
    short = replace(told.crew, hours_s=told.finish_s - 1.0)
    assert DayAnswer.of(short, told.loads, told.at_least_s, ()).verdict == "does not fit"
    assert DayAnswer.of(short, told.loads, told.finish_s - 60, ()).verdict == "not found"


def test_the_picture_has_a_bar_for_each_stay(shop: fc.Shop, told: DayAnswer, tmp_path: Path) -> None:
    marks, (wide, high) = day_marks(told, "Yard")
    numbers = [mark for mark in marks if isinstance(mark, Label) and mark.words in {"1", "2"}]
    assert len(numbers) == sum(len(visit.places) for load in told.loads for visit in load.visits)
    assert all(0.0 < mark.at[0] < wide and 0.0 < mark.at[1] < high for mark in numbers)
    assert draw(told, shop, tmp_path / "day.svg") == ()
    assert (tmp_path / "day.svg").stat().st_size > 1000
    assert "</svg>" in (told._repr_html_() or "")
    none = DayAnswer.of(told.crew, (), 0, told.left_out)
    said = ("no picture was drawn: nothing goes through all the steps",)
    assert draw(none, shop, tmp_path / "none.svg") == said
    assert not (tmp_path / "none.svg").exists()
    assert svg(none, shop) is None


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (SHOP + STEPS, "the shop does not say who carries"),
        (SHOP + DAY, "there are no steps in this shop"),
        (
            SHOP + STEPS.replace('"3 min"', '"90 s"', 1) + DAY,
            "[steps.etch] wait_at_most: dripping and carrying",
        ),
    ],
)
def test_a_day_that_cannot_be_asked_is_refused(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(Refused) as raised:
        day(read(tmp_path, text))
    assert said in str(raised.value)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("people = 2", "people = 0", "[day] people"),
        ("people = 2", "people = 1", "2 people carry a load, and there are 1"),
        ('transfer = "1 min"', "transfer = 1", "[day] transfer"),
        ('transfer = "1 min"\n', "", "transfer is missing"),
        ('"8:00"', '"25:00"', "is not a time of day"),
        ("hours", "houses", "did you mean hours?"),
    ],
)
def test_faults_of_the_day_are_one_line(tmp_path: Path, old: str, new: str, said: str) -> None:
    with pytest.raises(InputFault) as raised:
        read(tmp_path, SHOP + STEPS + DAY.replace(old, new, 1))
    (fault,) = raised.value.faults
    assert said in str(fault)


def test_the_clock_goes_on_past_midnight() -> None:
    assert [clock(seconds) for seconds in (0.0, 29_100.0, 29_130.0, 94_200.0)] == [
        "00:00",
        "08:05",
        "08:05:30",
        "26:10",
    ]
