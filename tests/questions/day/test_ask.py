"""A day's timetable: equal to every timetable there is, its rules kept, forgeries refused, faults in one line."""

from __future__ import annotations

import itertools
import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import fitcheck as fc
from fitcheck.draw.ink import Label
from fitcheck.geometry.solver.timetable import Hands, Stay, timetable
from fitcheck.questions.day.answer import DayAnswer, DayLoad, Visit
from fitcheck.questions.day.ask import day
from fitcheck.questions.day.draw import day_marks, draw_day
from fitcheck.questions.day.prove import prove_day, times_hold
from fitcheck.questions.day.record import day_from_json, day_json
from fitcheck.questions.day.say import day_text, with_day_cautions
from fitcheck.things.crew import Crew
from fitcheck.things.step import Step
from fitcheck.words.errors import InputFault, Refused
from fitcheck.words.units import clock

SHOP = """
[shop]
name = "Yard"
[rules]
part_gap = "10 mm"
side_clearance = "10 mm"
bottom_clearance = "20 mm"
[liquids.bath]
specific_gravity = 1.0
[tanks.etch]
inside = ["1000 mm", "300 mm", "400 mm"]
liquid = "bath"
[tanks.rinse]
inside = ["1000 mm", "400 mm", "400 mm"]
liquid = "bath"
[tanks.trough]
inside = ["1000 mm", "200 mm", "400 mm"]
liquid = "bath"
[racks.line]
kind = "rail"
rails = [{ length = "3 m", height = "2 m" }, { length = "1 m", height = "2 m" }]
part_gap = "50 mm"
[parts.plate]
shape = "block"
size = ["800 mm", "80 mm", "20 mm"]
metal = "aluminium"
count = 6
tilt_at_most = "0 deg"
roll_at_most = "0 deg"
swing_at_most = "0 deg"
[parts.boom]
shape = "block"
size = ["2400 mm", "80 mm", "20 mm"]
metal = "aluminium"
"""
STEPS = """
[steps.etch]
tank = "etch"
dwell = "8 min"
drip = "1 min"
wait_at_most = "3 min"
[steps.rinse]
tanks = ["rinse", "trough"]
dwell = "3 min"
[steps.dry]
rack = "line"
dwell = "20 min"
"""
DAY = '[day]\npeople = 2\npeople_per_load = 2\ntransfer = "1 min"\nstart = "8:00"\nhours = "2 h"\n'


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


def test_what_is_told_holds(shop: fc.Shop, told: DayAnswer) -> None:
    again = day_from_json(json.loads(json.dumps(day_json(told))))
    checks = prove_day(shop, again, told.finish_s, told.verdict)
    assert all(check.holds for check in checks), [check.what for check in checks if not check.holds]


def _moved(load: DayLoad, k: int, by_s: int) -> DayLoad:
    visits = list(load.visits)
    one = visits[k]
    visits[k] = replace(one, enter_s=one.enter_s + by_s, out_s=one.out_s + by_s, free_s=one.free_s + by_s)
    return replace(load, visits=tuple(visits))


def _forged(told: DayAnswer) -> dict[str, DayAnswer]:
    first, second, *rest = told.loads
    early = [_moved(first, 0, -30), _moved(first, 1, -30), _moved(first, 1, 600)]
    short = replace(first.visits[0], out_s=first.visits[0].out_s - 1)
    places = replace(first.visits[1], places=("etch",))
    rail = replace(first.visits[2], places=("line rail 9",))

    def with_first(load: DayLoad) -> DayAnswer:
        return replace(told, loads=(load, second, *rest))

    return {
        "there is time to carry": with_first(early[0]),
        "time to carry": with_first(early[1]),
        "none waits longer": with_first(early[2]),
        "stays and drips": with_first(replace(first, visits=(short, *first.visits[1:]))),
        "a way to hang": with_first(replace(first, visits=(first.visits[0], places, first.visits[2]))),
        "racks": with_first(replace(first, visits=(*first.visits[:2], rail))),
        "at once has its places": replace(told, loads=(first, replace(second, visits=(*second.visits[:2], first.visits[2])), *rest)),
        "no tank has two": replace(told, loads=(first, replace(second, visits=first.visits), *rest)),
        "people": replace(told, loads=(first, replace(second, visits=first.visits), *rest)),
        "every piece": replace(told, loads=(first, *rest)),
        "the same in all": with_first(replace(first, lots=(first.lots[0], second.lots[1]))),
        "steps in their order": with_first(replace(first, visits=(*first.visits[1:], first.visits[0]))),
        "not done sooner": replace(told, at_least_s=told.at_least_s + 1),
        "what is listed": replace(told, left_out=(replace(told.left_out[0], work="rinse"), *told.left_out[1:], replace(told.left_out[0], part="plate", count=6))),
        "that of the shop": replace(told, crew=replace(told.crew, people=4)),
        "nearer than part_gap": with_first(replace(first, lots=(replace(first.lots[0], parts=tuple(replace(row, pose=first.lots[0].parts[0].pose) for row in first.lots[0].parts)), first.lots[1]))),
    }  # fmt: skip


def test_forgeries_are_refused(shop: fc.Shop, told: DayAnswer) -> None:
    for what, forged in _forged(told).items():
        wrong = [c.what for c in times_hold(shop.steps, told.crew, forged.loads) if not c.holds]
        if not any(what in each for each in wrong):
            wrong = [c.what for c in prove_day(shop, forged, forged.finish_s, forged.verdict) if not c.holds]
        assert any(what in each for each in wrong), (what, wrong)
    assert not prove_day(shop, told, told.finish_s - 1, told.verdict)[1].holds
    with pytest.raises(Refused, match="there is no part"):
        prove_day(shop, replace(told, loads=(replace(told.loads[0], parts=(("mast", 1),)),)), 0, "fits")


def test_it_is_told_by_the_clock(shop: fc.Shop, told: DayAnswer) -> None:
    text = day_text(with_day_cautions(told, shop), "mm")
    assert text.startswith(f"2 loads, done at {clock(8 * 3600 + told.finish_s)} (proven: these loads are not")
    assert "08:01   load 1   into etch (etch, level" in text
    assert "wait_at_most is not given for rinse:" in text
    assert "boom" in text.partition("Left out")[2]


def test_a_day_too_short_is_said_to_be(shop: fc.Shop, told: DayAnswer) -> None:
    fitting = replace(told, left_out=())
    assert fitting.verdict == "fits"
    late = replace(fitting, crew=replace(told.crew, hours_s=told.finish_s - 1.0))
    assert late.verdict == "does not fit"
    assert replace(late, at_least_s=told.finish_s - 60).verdict == "not found"


def test_the_picture_has_a_bar_for_each_stay(told: DayAnswer, tmp_path: Path) -> None:
    marks, (wide, high) = day_marks(told, "Yard")
    numbers = [mark for mark in marks if isinstance(mark, Label) and mark.words in {"1", "2"}]
    assert len(numbers) == sum(len(visit.places) for load in told.loads for visit in load.visits)
    assert all(0.0 < mark.at[0] < wide and 0.0 < mark.at[1] < high for mark in numbers)
    draw_day(told, tmp_path / "day.svg", "Yard")
    assert (tmp_path / "day.svg").stat().st_size > 1000


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
