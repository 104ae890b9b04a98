"""The chart is every part in every tank, and each row is what dip says."""

from __future__ import annotations

import re
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from multiprocessing import get_context

import pytest
from strategies.drawn_cases import drawn
from strategies.solids import box, hulled, part_of, tank_of

from fitcheck.questions.chart.answer import ChartRow
from fitcheck.questions.chart.ask import chart
from fitcheck.questions.chart.say import BY_HAND, by_hand_table
from fitcheck.questions.dip.answer import Fits, MeasureAgain
from fitcheck.questions.dip.ask import dip
from fitcheck.things.answer import Verdict
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Rules


def yard() -> Shop:
    """Return a shop whose chart has all four verdicts."""
    rules = Rules(
        side_clearance_mm=10.0, bottom_clearance_mm=20.0, cover_mm=10.0, freeboard_mm=40.0, tape_tank_mm=4.0
    )
    tanks = {
        "long": tank_of(box((3000.0, 400.0, 600.0)), rules),
        "square": tank_of(box((1000.0, 1000.0, 700.0)), rules),
        "blocked": tank_of(
            box((1000.0, 600.0, 700.0)), rules, post=box((100.0, 100.0, 700.0), (450.0, 250.0, 0.0))
        ),
        "hopper": drawn(12).tank,
    }
    parts = {
        "plank": part_of(box((1200.0, 200.0, 20.0))),
        "plate": part_of(box((900.0, 500.0, 5.0))),
        "exact": part_of(box((500.0, 379.0, 379.0))),
        "chest": part_of(box((900.0, 400.0, 400.0))),
        "lump": part_of(hulled(drawn(12).part.solid.vertices_mm)),
    }
    return Shop(
        "yard",
        tanks={name: replace(tank, name=name) for name, tank in tanks.items()},
        parts={name: replace(part, name=name) for name, part in parts.items()},
    )


def test_every_row_is_what_dip_says() -> None:
    shop, calls = yard(), []
    rows = chart(shop, lambda: calls.append(1))
    assert len(rows) == 20
    assert len(calls) == len(shop.parts)
    assert [(row.part, row.tank) for row in rows] == [(p, t) for p in shop.parts for t in shop.tanks]
    for row in rows:
        _check(row, shop)
    assert {row.verdict for row in rows} == {"fits", "does not fit", "measure again"}


def _check(row: ChartRow, shop: Shop) -> None:
    answer = dip(shop.parts[row.part], shop.tanks[row.tank], with_cures=False)
    assert row.verdict == answer.verdict
    assert (row.spare_mm, row.spare_at_most_mm) == (answer.spare.mm, answer.spare.at_most_mm)
    if isinstance(answer, Fits):
        assert row.tilt_rad == answer.advice.pose.angles.tilt_rad
        assert row.least_level_mm == answer.least.level_mm
    elif isinstance(answer, MeasureAgain):
        assert row.tilt_rad == answer.advice.pose.angles.tilt_rad
        assert row.least_level_mm is not None
    else:
        assert row.tilt_rad is None
        assert row.least_level_mm is None


def test_the_rows_do_not_depend_on_who_does_them() -> None:
    shop, calls = yard(), []
    with ProcessPoolExecutor(2, get_context("spawn")) as executor:
        assert chart(shop, lambda: calls.append(1), executor) == chart(shop)
    assert len(calls) == len(shop.parts)


def test_an_empty_shop_has_an_empty_chart() -> None:
    assert chart(Shop("none")).rows == ()


def test_a_row_without_a_pose_has_none() -> None:
    rows = {(row.part, row.tank): row for row in chart(yard())}
    assert rows["plank", "long"].tilt_rad == pytest.approx(0.0, abs=1e-6)
    refused = [row for row in rows.values() if row.verdict == "does not fit"]
    assert all(row.spare_at_most_mm < 0.0 for row in refused)


def test_steps_that_no_tank_takes_a_part_for_are_named() -> None:
    def row(part: str, tank: str, verdict: Verdict) -> ChartRow:
        return ChartRow(part, tank, verdict, 0.0, 0.0, None, None)

    rows = (
        *(row("hatch", tank, "fits") for tank in ("T1", "T2", "T3")),
        *(row("boom", tank, "does not fit") for tank in ("T1", "T2")),
        row("boom", "T3", "fits"),
        row("mast", "T1", "does not fit"),
        row("mast", "T2", "measure again"),
        row("mast", "T3", "not found"),
    )
    steps = (("etch", ("T1",)), ("rinse", ("T2", "T3")), ("coat", ("T1", "T2")), ("dip", ("T3",)))
    lines = by_hand_table(rows, steps).splitlines()[4:]
    assert [re.split(r"  +", line) for line in lines] == [
        ["boom", "etch, coat", BY_HAND],
        ["mast", "etch", BY_HAND],
        ["mast", "rinse, coat", "measure again"],
        ["mast", "dip", "not found"],
    ]
    assert not by_hand_table(rows[:3], steps)
