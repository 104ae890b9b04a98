"""Parts on rails and in bays: counts by hand, bin packing by trying all, a rod across a box, sag by formula."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

import fitcheck as fc
from fitcheck.geometry.mesh.measure import weighed
from fitcheck.geometry.solver import bin_assignment as racking
from fitcheck.proving.exact_gaps import recheck
from fitcheck.questions.store.answer import StoreAnswer
from fitcheck.questions.store.ask import store
from fitcheck.shapes.block import block
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.rack import Bay, BayRack, Rail, RailRack, Upright
from fitcheck.things.tank import Rules, Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM_PER_FOOT, MM_PER_INCH, STANDARD_GRAVITY_M_S2

FT, IN = MM_PER_FOOT, MM_PER_INCH
ALUMINIUM = 2.7


def box(name: str, size_mm: tuple[float, float, float], count: int = 1, **more: object) -> Part:
    part = weighed(name, block(size_mm).solid, ALUMINIUM)
    return replace(part, count=count, size_mm=size_mm, **more)  # type: ignore[arg-type]


def rails(*lengths_mm: float, gap: float = 3 * IN, **more: object) -> RailRack:
    return RailRack("dry", tuple(Rail(length, 7 * FT) for length in lengths_mm), gap, **more)  # type: ignore[arg-type]


def spans(answer: StoreAnswer, where: int) -> list[tuple[float, float]]:
    return sorted(
        (each.along_mm, each.along_mm + each.size_mm[0]) for each in answer.places if each.where == where
    )


def test_ribs_hang_edge_on_with_their_gaps() -> None:
    rack = rails(10 * FT, 10 * FT, load_kg=68.0)
    answer = store(rack, [box("rib", (30 * IN, 2 * IN, 20 * IN), 12)])
    assert (answer.verdict, len(answer.places), answer.at_least_racks) == ("fits", 12, 1)
    for k in (0, 1):
        for (_, end), (start, _) in itertools.pairwise(spans(answer, k)):
            assert start - end >= 3 * IN - 1e-6
    for place in answer.places:
        # True extents at the pose told, and its top at the rail.
        corners = place.pose.apply(block((30 * IN, 2 * IN, 20 * IN)).solid.vertices_mm)
        assert np.ptp(corners, axis=0)[0] == pytest.approx(2 * IN)
        assert corners[:, 0].min() == pytest.approx(place.along_mm)
        assert corners[:, 2].min() == pytest.approx(place.over_floor_mm)
        assert corners[:, 2].max() == pytest.approx(7 * FT)


@pytest.mark.parametrize("count", [24, 25])
def test_a_rail_takes_as_many_as_its_length_and_one_gap_more(count: int) -> None:
    # floor((120 + 3) / (2 + 3)) = 24.
    answer = store(rails(10 * FT), [box("rib", (30 * IN, 2 * IN, 20 * IN), count)])
    assert answer.verdict == ("fits" if count == 24 else "does not fit")
    assert len(answer.places) == 24
    assert answer.at_least_racks == (1 if count == 24 else 2)


def least_bins(lengths: list[float], room: float) -> int:
    """Return the fewest bins by trying every way to put things in them."""

    def packs(left: tuple[float, ...], bins: tuple[float, ...]) -> bool:
        if not left:
            return True
        tried = set()
        for k, free in enumerate(bins):
            if left[0] <= free and free not in tried:
                tried.add(free)
                if packs(left[1:], (*bins[:k], free - left[0], *bins[k + 1 :])):
                    return True
        return False

    order = tuple(sorted(lengths, reverse=True))
    return next(n for n in itertools.count(1) if packs(order, (room,) * n))


def test_racks_are_counted_as_by_trying_all_ways() -> None:
    draw = np.random.default_rng(3)
    for _ in range(4):
        lengths = [float(v) for v in draw.integers(300, 900, 7)]
        gap = 50.0
        # Cubes stand alike each way, so that a length is what each takes.
        parts = [box(f"p{k}", (v, v, v)) for k, v in enumerate(lengths)]
        answer = store(rails(1500.0, gap=gap), parts)
        assert answer.at_least_racks == least_bins([v + gap for v in lengths], 1500.0 + gap)
        assert (answer.verdict == "fits") == (answer.at_least_racks == 1)


def test_hooks_heights_and_neighbours_keep_parts_off() -> None:
    rib = box("rib", (30 * IN, 2 * IN, 20 * IN))
    heavy = store(rails(10 * FT, load_kg=20.0), [rib])
    assert (heavy.verdict, heavy.left_out[0].why) == ("does not fit", "too heavy for its hooks")
    assert heavy.at_least_racks is None
    # Half on each of two hooks.
    two = store(rails(10 * FT, load_kg=rib.mass_kg / 2 + 0.1), [rib])
    assert (two.verdict, two.places[0].hooks) == ("fits", 2)
    assert two.places[0].hook_kg == pytest.approx(rib.mass_kg / 2)
    # By its picks, 1/4 and 3/4 of the weight.
    picks = np.array([[0.0, 1 * IN, 20 * IN], [20 * IN, 1 * IN, 20 * IN]])
    picked = store(rails(10 * FT, load_kg=rib.mass_kg * 0.8), [replace(rib, picks_mm=picks)])
    assert picked.places[0].hook_kg == pytest.approx(0.75 * rib.mass_kg)
    tall = box("tall", (7 * FT + 1, 7 * FT + 1, 7 * FT + 1))
    assert store(rails(20 * FT), [tall]).left_out[0].why == "too tall to hang clear of the floor"
    # Edge on a rib is 20 in across: the next rail has to be 23 in off.
    assert store(rails(10 * FT, 10 * FT, apart_mm=23 * IN), [rib]).places[0].size_mm[0] == pytest.approx(
        2 * IN
    )
    near = store(rails(10 * FT, 10 * FT, apart_mm=12 * IN), [rib])
    assert near.places[0].size_mm[1] <= 9 * IN
    long = store(rails(10 * FT), [box("spar", (14 * FT, 2 * IN, 3 * IN))])
    assert long.verdict == "does not fit"


def test_the_tape_decides_where_a_rail_is_just_full() -> None:
    parts = [box("rib", (1000.0, 50.0, 500.0), 4)]
    rack = rails(4 * 50.0 + 3 * 20.0, gap=20.0)
    assert store(rack, parts, Rules()).verdict == "fits"
    assert store(rack, parts, Rules(tape_part_mm=1.0)).verdict == "measure again"
    assert store(rails(4 * 50.0 + 3 * 20.0 - 5.0, gap=20.0), parts, Rules(tape_part_mm=1.0)).verdict == (
        "does not fit"
    )


@pytest.mark.parametrize(
    ("length", "verdict"),
    [(997.0, "fits"), (999.5, "measure again"), (1001.0, "measure again"), (1003.0, "does not fit")],
)
def test_the_tape_decides_where_a_bay_is_just_full(length: float, verdict: str) -> None:
    """A slab in a bay 1000 mm long and as deep and high as it: 2 mm of tape are added to each size, or taken off."""
    bay = Bay("A", (1000.0, 803.0, 703.0))
    answer = store(
        BayRack("wall", (bay,), 10.0), [box("slab", (length, 800.0, 700.0))], Rules(tape_part_mm=2.0)
    )
    assert answer.verdict == verdict, answer.reason
    assert len(answer.places) == (verdict == "fits")


def test_what_goes_nowhere_keeps_no_solver_busy(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is laid is all that can be laid: the solver, which takes most of a minute, is not asked."""
    monkeypatch.setattr(racking, "_solved_bays", lambda *_: pytest.fail("the solver was asked"))
    rack = BayRack("wall", (Bay("A", (1000.0, 500.0, 300.0)),), 10.0)
    answer = store(rack, [box("slab", (900.0, 200.0, 100.0)), box("long", (1500.0, 400.0, 200.0))])
    assert [place.part for place in answer.places] == ["slab"]
    assert answer.verdict == "does not fit"


def test_the_first_needed_is_nearest() -> None:
    first, second = box("a", (200.0, 100.0, 50.0)), box("b", (200.0, 100.0, 50.0))
    for order in (("a", "b"), ("b", "a")):
        rack = BayRack(
            "wall", tuple(Bay(f"B{k}", (210.0, 110.0, 60.0)) for k in range(2)), 10.0, needed=order
        )
        answer = store(rack, [first, second])
        assert [place.part for place in sorted(answer.places, key=lambda each: each.where)] == list(order)
        rail = store(replace(rails(10 * FT), needed=order), [first, second])
        assert [place.part for place in sorted(rail.places, key=lambda each: each.along_mm)] == list(order)


def test_bays_keep_gaps_and_uprights_free() -> None:
    gap = 10.0
    bay = Bay("A", (330.0, 210.0, 60.0), (Upright((150.0, 0.0), (20.0, 20.0)),))
    answer = store(BayRack("wall", (bay,), gap), [box("p", (100.0, 100.0, 50.0), 5)])
    boxes = [(p.along_mm, p.across_mm, *p.size_mm[:2]) for p in answer.places] + [(150.0, 0.0, 20.0, 20.0)]
    for (x, y, w, d), (u, v, e, f) in itertools.combinations(boxes, 2):
        apart = max(u - x - w, x - u - e, v - y - d, y - v - f)
        assert apart >= gap - 2e-3
    for place in answer.places:
        corners = place.pose.apply(block((100.0, 100.0, 50.0)).solid.vertices_mm)
        assert (corners.min(axis=0) > -1e-6).all()
        assert (corners.max(axis=0) < np.array(bay.inside_mm) + 1e-6).all()
    # Six squares of 100 with gaps go in 330 x 210, less the one that the upright costs.
    assert len(answer.places) == 5
    assert (
        store(BayRack("wall", (replace(bay, uprights=()),), gap), [box("p", (100.0, 100.0, 50.0), 6)]).verdict
        == "fits"
    )


@pytest.mark.parametrize(("length", "verdict"), [(0.95, "fits"), (1.01, "does not fit")])
def test_a_rod_goes_across_a_bay_and_no_longer_one(length: float, verdict: str) -> None:
    # The diagonal of 1200 x 900 x 800 mm is 1700 mm; a thin rod is a little shorter than that.
    inside = (1200.0, 900.0, 800.0)
    rod = box("rod", (length * math.hypot(*inside), 6.0, 6.0))
    answer = store(BayRack("wall", (Bay("A", inside),), 10.0), [rod])
    assert answer.verdict == verdict
    if verdict == "fits":
        # By exact mesh distance, the bay standing in for a tank.
        tank = Tank("A", block(inside).solid, inside, Liquid("air"))
        pose = answer.places[0].pose
        assert recheck(rod, tank, Pose("tank A", "part rod", pose.rotation, pose.shift_mm)).spare_mm > -1e-3
    else:
        assert "proven" in answer.left_out[0].why
        assert answer.at_least_racks is None


def test_thin_parts_need_their_arms() -> None:
    bar = box("bar", (3000.0, 40.0, 4.0))
    # 5 w l^4 / 384 E I with E = 69 GPa, flat: l = 1500 between arms.
    load = bar.mass_kg * STANDARD_GRAVITY_M_S2 / 3000.0
    second = 40.0 * 4.0**3 / 12.0
    sag = 5 * load * 1500.0**4 / (384 * 69e3 * second)
    flat = {"attitude": fc.Part.__dataclass_fields__["attitude"].default.__class__(0.0, 0.0, 0.0)}
    rack = BayRack("wall", (Bay("A", (3200.0, 300.0, 100.0), supports_mm=1500.0),), 10.0, sag_share=1.0)
    answer = store(rack, [replace(bar, **flat)])
    assert answer.places[0].sag_mm == pytest.approx(sag, rel=1e-3)
    strict = store(replace(rack, sag_share=0.9 * sag / 1500.0), [replace(bar, **flat)])
    assert strict.verdict != "fits"
    # On edge it is a hundred times stiffer.
    assert store(replace(rack, sag_share=0.9 * sag / 1500.0), [bar]).verdict == "fits"
    short = store(rack, [box("short", (1000.0, 40.0, 4.0))])
    assert short.verdict != "fits"


def test_no_parts_and_too_many_are_refused() -> None:
    with pytest.raises(Refused, match="at a time"):
        store(rails(10 * FT), [])
    with pytest.raises(Refused, match="at a time"):
        store(rails(10 * FT), [box("p", (10.0, 10.0, 10.0), 401)])
