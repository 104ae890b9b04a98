"""Make-up, drag-out and rinses, against closed forms."""

from __future__ import annotations

import math
from pathlib import Path
from typing import get_args

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies.solids import box, part_of, tank_of

from fitcheck.files.shop_file import shop_from
from fitcheck.questions.mix.answer import Drains, MixAnswer
from fitcheck.questions.mix.ask import (
    Wishes,
    counterflow,
    drip_share,
    film_rates,
    loads_to_dump,
    mix,
    static_share,
)
from fitcheck.questions.mix.command import DrainsWord
from fitcheck.questions.mix.record import to_dict
from fitcheck.things.liquid import Recipe
from fitcheck.things.make_up import make_up
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.words.errors import InputFault, Refused
from fitcheck.words.strength import Strength, read_strength
from fitcheck.words.units import LITRES_PER_GALLON, MM2_PER_M2, MM_PER_INCH

YARD = Path(__file__).parents[3] / "fitcheck" / "files" / "demo" / "yard.toml"
SHOP = """
[liquids.etch]
specific_gravity = 1.0
make_up = "1:9"
container = "5 gal"
[tanks.T]
inside = ["2000 mm", "500 mm", "600 mm"]
liquid = "etch"
[parts.plate]
shape = "plate"
size = ["1000 mm", "300 mm", "2 mm"]
mass = "1 kg"
count = 3
tilt_at_most = "0 deg"
"""


@pytest.fixture(scope="module")
def boom() -> MixAnswer:
    """Return what the boom spar of the demo yard, an open tube, takes of its long bath."""
    shop = shop_from(YARD.read_text(), YARD, "P01")
    return mix(shop.tanks["T1"], 300.0, [shop.parts["P01"]], wishes=Wishes("well"))


@given(ratio=st.floats(1.01, 20_000.0), stages=st.integers(1, 6))
def test_counterflow_is_what_the_tanks_settle_at(ratio: float, stages: int) -> None:
    # Balance of each tank, solved as linear equations: D c(k-1) + Q c(k+1) = (D + Q) c(k), D = 1.
    flow = counterflow(ratio, stages)
    tanks = np.diag(np.full(stages, 1.0 + flow))
    tanks -= np.diag(np.ones(stages - 1), -1) + np.diag(np.full(stages - 1, flow), 1)
    settled = np.linalg.solve(tanks, np.eye(stages)[0])
    assert settled[-1] == pytest.approx(1.0 / ratio, rel=1e-6)


@given(rinse=st.floats(1.0, 1e4), dragged=st.floats(1e-3, 10.0), ratio=st.floats(2.0, 1e4))
def test_a_static_rinse_is_what_load_after_load_makes_of_it(
    rinse: float, dragged: float, ratio: float
) -> None:
    share = 0.0
    for _ in range(20):
        share = (rinse * share + dragged) / (rinse + dragged)
    assert static_share(rinse, dragged, 20) == pytest.approx(share, rel=1e-9)
    loads = loads_to_dump(rinse, dragged, ratio)
    assert loads >= 0
    assert static_share(rinse, dragged, loads) <= 1.0 / ratio
    assert static_share(rinse, dragged, loads + 1) > 1.0 / ratio


def test_drag_out_of_the_boom(boom: MixAnswer) -> None:
    # 15 ft 6 in of 6 x 4 in tube, 1/8 in wall: in and out 4.68 m2; 80 ml/m2 makes 0.37 l, 400 make 1.9 l.
    outer, inner, wall = 2 * (6.0 + 4.0), 2 * (5.75 + 3.75), 6.0 * 4.0 - 5.75 * 3.75
    area = ((outer + inner) * 186.0 + 2.0 * wall) * MM_PER_INCH**2 / MM2_PER_M2
    assert boom.area_m2 == pytest.approx(area, rel=1e-9)
    assert boom.area_m2 == pytest.approx(4.68, abs=0.03)
    assert boom.drag_out_l == pytest.approx(0.37, abs=0.005)
    assert 0.4 * boom.area_m2 == pytest.approx(1.9, abs=0.05)


@pytest.mark.parametrize(
    ("text", "share"),
    [("1:9", 0.1), ("1 : 3", 0.25), ("10 %", 0.1), ("12.8 fl oz/gal", 0.1), ("100 mL/L", 0.1)],
)
def test_strength_by_volume(text: str, share: float) -> None:
    assert read_strength(text).share == pytest.approx(share, rel=1e-12)


@pytest.mark.parametrize(
    "text", ["", "9", "1:", "0:5", "120 %", "-3 %", "5 gal", "nan %", "1e9 %", "1:2:3", "oz/gal"]
)
def test_a_strength_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        read_strength(text)


def test_make_up_and_containers() -> None:
    # 100 gal at 1:9 is 10 gal of concentrate: two 5 gal cans, none left; a drop of drag-out takes a third.
    bath = 100.0 * LITRES_PER_GALLON
    recipe = Recipe(Strength(share=0.1), container_l=5.0 * LITRES_PER_GALLON)
    made = make_up(recipe, bath)
    assert made.concentrate_l == pytest.approx(10.0 * LITRES_PER_GALLON)
    assert made.water_l == pytest.approx(90.0 * LITRES_PER_GALLON)
    assert (made.containers, made.left_over) == (2, pytest.approx(0.0, abs=1e-9))
    assert make_up(recipe, bath, 1.0).containers == 3
    powder = make_up(Recipe(read_strength("6 oz/gal"), container_kg=5.0), bath)
    # 600 oz of powder are 17.01 kg.
    assert powder.concentrate_kg == pytest.approx(17.01, abs=0.005)
    assert powder.containers == 4


def test_each_face_drains_by_its_slope() -> None:
    part = part_of(box((1000.0, 1000.0, 0.001)))
    for tilt, rates in ((0.0, (0.4, 0.8)), (45.0, (0.16, 0.4)), (90.0, (0.08, 0.08))):
        pose = Pose("tank t", "part p", rotation_from(Angles(math.radians(tilt))), np.zeros(3))
        assert film_rates(part, pose) == pytest.approx(rates, rel=1e-4)


def test_mix_of_a_shop_file() -> None:
    shop = shop_from(SHOP, Path("shop.toml"))
    answer = mix(shop.tanks["T"], 400.0, list(shop.parts.values()), wishes=Wishes("well", static_l=100.0))
    data = to_dict(answer)
    assert data["liquid_l"] == pytest.approx(400.0)
    assert data["concentrate_l"] == pytest.approx(40.0)
    assert data["water_l"] == pytest.approx(360.0)
    assert data["drag_out_l"] == pytest.approx(3 * 0.08 * (2 * 0.3 + 2 * 0.002 * 1.3), rel=1e-9)
    assert data["containers"] == 3
    assert data["rinse_ratio"] == 1000.0
    assert data["rinse_flow_l"] == pytest.approx(counterflow(1000.0, 2) * answer.drag_out_l)
    assert answer.static is not None
    assert answer.static.drag_out_a_load_l == pytest.approx(answer.drag_out_l / 3)
    assert data["static_rinse"]["drag_out_a_load_l"] == answer.static.drag_out_a_load_l


def test_a_part_that_does_not_go_in_is_told_and_not_counted() -> None:
    big, small = (
        part_of(box((5000.0, 50.0, 50.0)), name="big"),
        part_of(box((100.0, 50.0, 50.0)), name="small"),
    )
    answer = mix(tank_of(box((1000.0, 300.0, 300.0))), 200.0, [big, small])
    assert [row.part for row in answer.carried] == ["small"]
    assert [part for part, _ in answer.left_out] == ["big"]
    assert "does not fit" in answer.left_out[0][1]


def test_a_longer_drip_leaves_less() -> None:
    assert drip_share(10.0) == 1.0
    shares = [drip_share(s) for s in (0.0, 10.0, 30.0, 40.0, 60.0)]
    assert shares == sorted(shares, reverse=True)
    # Large gain to 30 s, little after 40 s.
    assert shares[0] - shares[2] > 5.0 * (shares[3] - shares[4])


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('make_up = "9"', "9"),
        ('make_upp = "1:9"', "did you mean make_up?"),
        ('container = "5 lb"\nmake_up = "1:9"', "mass, not volume"),
        ("rinse_ratio = 1", "does not thin"),
        ("rinse_stages = 0", "number of pieces"),
        ('drag_out = "80 ml"', "unknown unit"),
        ('area_at_most = "2 m2"', "unknown unit"),
    ],
)
def test_faults_of_a_liquid_are_told(line: str, said: str) -> None:
    with pytest.raises(InputFault, match="line") as caught:
        shop_from(f"[liquids.etch]\nspecific_gravity = 1.0\n{line}\n", Path("shop.toml"))
    assert said in str(caught.value)


def test_the_words_for_draining_are_one_list() -> None:
    assert get_args(DrainsWord) == get_args(Drains)


@pytest.mark.parametrize("wishes", [Wishes(drip_s=-1.0), Wishes(drip_s=math.nan), Wishes(static_l=0.0)])
def test_wishes_that_cannot_be(wishes: Wishes) -> None:
    with pytest.raises(Refused):
        mix(tank_of(box((1000.0, 300.0, 300.0))), 200.0, wishes=wishes)
