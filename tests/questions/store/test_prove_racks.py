"""How many racks it takes, looked at again without a solver: what is told is shown, and one more is not."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from strategies.small_yard import Change, as_written, seen
from strategies.solids import box as body
from strategies.solids import part_of

from fitcheck.questions.store import prove_racks
from fitcheck.questions.store.ask import store
from fitcheck.questions.store.prove_racks import fewer_are_ruled_out, no_rail_takes
from fitcheck.things.part import Attitude, Part
from fitcheck.things.proved import Proved
from fitcheck.things.rack import Bay, BayRack, Rail, RailRack
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Rules

STRAIGHT = Attitude(0.0, 0.0, 0.0)


def part(name: str, size_mm: tuple[float, float, float], count: int = 1, **more: Any) -> Part:
    return replace(part_of(body(size_mm)), name=name, count=count, tape_mm=0.0, **more)


def rails(*lengths_mm: float, gap: float = 0.0, high_mm: float = 2000.0, **more: Any) -> RailRack:
    return RailRack("dry", tuple(Rail(length, high_mm) for length in lengths_mm), gap, **more)


def test_pieces_that_are_longer_together_than_their_rails() -> None:
    slabs = [part("slab", (400.0, 300.0, 50.0), 5, attitude=STRAIGHT)]
    rack = rails(1000.0, gap=100.0)
    # Two to a rail: 400 + 100 + 400. Three racks.
    assert store(rack, slabs).at_least_racks == 3
    assert fewer_are_ruled_out(3, rack, slabs, 0.0)
    assert not fewer_are_ruled_out(4, rack, slabs, 0.0)


def test_pieces_that_only_do_not_share_out() -> None:
    """Three of 600 on two rails of 1000: short of neither length nor height, but each takes a rail."""
    slabs = [part("slab", (600.0, 300.0, 50.0), 3, attitude=STRAIGHT)]
    rack = rails(1000.0, 1000.0)
    assert store(rack, slabs).at_least_racks == 2
    assert fewer_are_ruled_out(2, rack, slabs, 0.0)
    assert not fewer_are_ruled_out(3, rack, slabs, 0.0)


def test_what_was_not_looked_at_to_its_end_is_not_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    slabs = [part("slab", (600.0, 300.0, 50.0), 3, attitude=STRAIGHT)]
    monkeypatch.setattr(prove_racks, "MOST_TRIES", 2)
    assert not fewer_are_ruled_out(2, rails(1000.0, 1000.0), slabs, 0.0)


@pytest.mark.parametrize("seed", range(8))
def test_random_kits_need_as_many_as_the_solver_says(seed: int) -> None:
    rng = np.random.default_rng(seed)
    rack = rails(*rng.integers(8, 20, 2) * 100.0, gap=50.0, high_mm=900.0)
    kit = [
        part(f"p{k}", tuple(rng.integers(2, 9, 3) * 100.0), int(rng.integers(1, 3)), attitude=STRAIGHT)
        for k in range(5)
    ]
    told = store(rack, kit, Rules()).at_least_racks
    assert told is not None
    assert fewer_are_ruled_out(told, rack, kit, 0.0)
    assert not fewer_are_ruled_out(told + 1, rack, kit, 0.0)


def test_the_tape_speaks_for_fewer_racks() -> None:
    slabs = [part("slab", (501.0, 300.0, 50.0), 2, attitude=STRAIGHT)]
    assert fewer_are_ruled_out(2, rails(1000.0), slabs, 0.0)
    assert not fewer_are_ruled_out(2, rails(1000.0), [replace(slabs[0], tape_mm=2.0)], 0.0)


def test_bays_by_metal_and_by_load() -> None:
    slab = [part("slab", (1000.0, 500.0, 100.0), 5)]
    wall = BayRack("wall", (Bay("A", (1100.0, 600.0, 300.0)),), 0.0)
    assert store(wall, slab).at_least_racks == 2
    assert fewer_are_ruled_out(2, wall, slab, 0.0)
    assert not fewer_are_ruled_out(3, wall, slab, 0.0)
    weak = BayRack("wall", wall.bays, 0.0, load_kg=1.1 * slab[0].mass_kg)
    assert store(weak, slab).at_least_racks == 5
    assert fewer_are_ruled_out(5, weak, slab, 0.0)
    assert not fewer_are_ruled_out(6, weak, slab, 0.0)


@pytest.mark.parametrize(
    ("size_mm", "rack", "nowhere"),
    [
        ((3000.0, 3000.0, 3000.0), rails(4000.0), True),  # too tall
        ((3000.0, 100.0, 100.0), rails(1000.0, high_mm=3500.0), False),  # on end
        ((4500.0, 100.0, 100.0), rails(1000.0), True),  # over 12 ft across, and too long along
        ((500.0, 100.0, 100.0), rails(1000.0, load_kg=0.1), True),
        ((900.0, 400.0, 100.0), rails(500.0, 500.0, apart_mm=600.0, high_mm=1000.0), False),
        ((900.0, 400.0, 400.0), rails(500.0, 500.0, apart_mm=600.0, high_mm=800.0), True),
    ],
)
def test_what_no_rail_takes(size_mm: tuple[float, float, float], rack: RailRack, nowhere: bool) -> None:
    bar = part("bar", size_mm)
    assert no_rail_takes(rack, bar, 0.0) == nowhere
    assert (store(rack, [bar]).at_least_racks is None) == nowhere


KIT = [part("slab", (600.0, 300.0, 50.0), 3, attitude=STRAIGHT), part("rib", (100.0, 50.0, 50.0), 2)]
RACK = rails(1000.0, 1000.0)


def again(change: Change | None = None, kit: list[Part] = KIT) -> Proved:
    return seen(
        replace(Shop.of(RACK, *KIT), rules=Rules(tape_part_mm=0.0)), as_written(store(RACK, kit)), change
    )


def test_an_answer_is_shown_in_full() -> None:
    found = again()
    assert found.holds
    assert found.not_checked == ()
    assert "no fewer than 2 of these racks take them all" in [check.what for check in found.checks]


def test_an_answer_about_some_of_the_parts_is_told_to_be_so() -> None:
    found = again(kit=KIT[1:])
    assert found.holds
    assert found.not_checked == ()
    assert found.checks[0].what.startswith("every part of rib is told once")


@pytest.mark.parametrize(
    "change",
    [
        lambda data: data.update(at_least_racks=3),
        lambda data: data["left_out"][0].update(count=2),
        lambda data: data["left_out"].append({"part": "rib", "count": 1, "why": ""}),
        lambda data: data.update(parts=["slab"]),
        lambda data: data.update(parts=["slab", "rib", "spar"]),
        lambda data: data.update(left_out=[]),
        lambda data: data.update(parts=[]),
        lambda data: data.update(verdict="fits"),
    ],
)
def test_a_forged_one_is_not(change: Change) -> None:
    found = again(change)
    assert not found.holds or found.not_checked


def test_where_all_go_no_second_rack_is_needed() -> None:
    assert not again(lambda data: data.update(at_least_racks=2), KIT[1:]).holds
