"""That a room has no layout, looked at again without a solver: shown where it is so, and never where one stands."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from oracles.exhaustive import layouts, small_room
from strategies.rooms import FT, fixture, rectangle, south_door
from strategies.small_yard import as_written

from fitcheck.questions.register import prove
from fitcheck.questions.room import prove_layout
from fitcheck.questions.room.arrange import arrange
from fitcheck.questions.room.prove_layout import no_layout_is_left
from fitcheck.things.proved import NotChecked
from fitcheck.things.room import KeepClear, Room, Work
from fitcheck.things.shop import Shop


def benches(wide_ft: float, tall_ft: float, *sizes_ft: tuple[float, float], **more: Any) -> Room:
    ring = tuple(
        (FT * x, FT * y) for x, y in ((0.0, 0.0), (wide_ft, 0.0), (wide_ft, tall_ft), (0.0, tall_ft))
    )
    loose = tuple(fixture(f"bench {k}", size, None, Work()) for k, size in enumerate(sizes_ft))
    return Room("shed", ring, fixtures=loose, **more)


@pytest.mark.parametrize(
    ("room", "none"),
    [
        (benches(7, 4, (6, 2), (6, 2)), False),
        (benches(7, 3.9, (6, 2), (6, 2)), True),
        (benches(5, 5, (3, 2), (3, 2), (3, 2), (3, 2)), False),  # as a pinwheel
        (benches(4.99, 5, (3, 2), (3, 2), (3, 2), (3, 2)), True),
        (benches(4.2, 4.19, (2.013, 3.11), (2.41, 3.07)), True),  # no common step
        (benches(4.53, 4.19, (2.013, 3.11), (2.41, 3.07)), False),
        (benches(7, 4, (6, 2), (6, 2), doors=(south_door(1, 2),)), True),
        (replace(benches(7, 7, (3, 3)), outline_mm=rectangle(7, 7)[:2] + ((7 * FT, 2 * FT), (2 * FT, 2 * FT), (2 * FT, 7 * FT), (0.0, 7 * FT))), True),
        (benches(7, 4, (6, 2), (6, 2), keep_clear=(KeepClear("panel", rectangle(1, 1)),)), False),
        (benches(6, 4, (6, 2), (6, 2), keep_clear=(KeepClear("panel", rectangle(1, 1)),)), True),
    ],
)  # fmt: skip
def test_rooms_that_can_be_reckoned_by_hand(room: Room, none: bool) -> None:
    assert no_layout_is_left(room) == none


def test_floor_for_working_and_what_hangs_over_it() -> None:
    work = Work(front_mm=2.0 * FT)
    desk = fixture("desk", (4, 2), None, work)
    stove = fixture("stove", (2, 2), (0, 0))
    assert no_layout_is_left(Room("office", rectangle(5, 4), fixtures=(desk, stove)))
    assert not no_layout_is_left(Room("office", rectangle(6, 4), fixtures=(desk, stove)))
    # Over seven feet it is in nobody's way.
    high = replace(stove, over_mm=7.0 * FT)
    assert not no_layout_is_left(Room("office", rectangle(5, 4), fixtures=(desk, high)))


@pytest.mark.parametrize("seed", range(12))
def test_small_rooms_beside_every_layout_there_is(seed: int) -> None:
    room = small_room(np.random.default_rng(seed), aisle=False)
    stands = next(layouts(room), None) is not None
    # A door's swing is not all kept free here, so that a "no" may be left open.
    assert no_layout_is_left(room) == (not stands) or (not stands and bool(room.doors))


def test_what_was_not_looked_at_to_its_end_is_not_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(prove_layout, "MOST_SIFTED", 1)
    assert not no_layout_is_left(benches(4.99, 5, (3, 2), (3, 2), (3, 2), (3, 2)))


def test_an_answer_is_shown_again_and_a_forged_one_is_not() -> None:
    full, roomy = benches(7, 3.9, (6, 2), (6, 2)), benches(7, 4, (6, 2), (6, 2))
    told = as_written(arrange(full))
    shown = prove(told, Shop.of(full))
    assert shown.holds
    assert shown.not_checked == ()
    assert prove(told, Shop.of(roomy)).not_checked == (NotChecked("verdict", "that no layout stands"),)
