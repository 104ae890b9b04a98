"""What a part weighs on its way through a bath: against closed forms, and the same whoever asks."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path

import pytest
from conftest import Command
from strategies.solids import box, part_of, tank_of

from fitcheck.files.demo_shop import demo_shop
from fitcheck.questions.weigh.ask import weigh
from fitcheck.shapes.catalogue import pan
from fitcheck.things.liquid import Liquid
from fitcheck.things.pose import Angles
from fitcheck.things.tank import Rules
from fitcheck.words.errors import Refused
from fitcheck.words.units import STANDARD_GRAVITY_M_S2

SHOP = demo_shop()
# Standard gravity: 9.80665 m/s2, 3rd CGPM (1901).
G = STANDARD_GRAVITY_M_S2
BATH = replace(tank_of(box((2000.0, 600.0, 800.0)), Rules()), liquid=Liquid("brine", specific_gravity=1.2))


def test_a_block_loses_the_weight_of_the_liquid_that_it_displaces() -> None:
    """1.0 x 0.2 x 0.1 m of 2.7 kg/l: 54 kg, 20 l of brine at 1.2 kg/l carry 24 kg of it."""
    block = replace(part_of(box((1000.0, 200.0, 100.0))), mass_kg=54.0)
    found = weigh(block, BATH, Angles(0.0, 0.0))
    assert found.displaced_l == pytest.approx(20.0)
    assert found.dry_n == pytest.approx(54.0 * G)
    assert found.under_n == pytest.approx(30.0 * G)
    assert (found.lift_out_kg, found.carry_out_l, found.air_l) == (pytest.approx(54.0), 0.0, 0.0)
    assert found.most_n == found.dry_n


def test_a_tray_open_side_up_comes_out_full_and_open_side_down_goes_in_with_air() -> None:
    """A pan of 300 x 200 x 50 mm with walls of 2 mm: 296 x 196 x 48 mm inside is 2.784768 l."""
    inside_l = 296.0 * 196.0 * 48.0 / 1e6
    tray = replace(part_of(pan((300.0, 200.0, 50.0), 2.0).solid), mass_kg=0.9)
    up, down = weigh(tray, BATH, Angles(0.0, 0.0)), weigh(tray, BATH, Angles(0.0, math.pi))
    assert up.carry_out_l == pytest.approx(inside_l)
    assert up.lift_out_kg == pytest.approx(0.9 + 1.2 * inside_l)
    assert up.most_n == up.lift_out_n
    assert down.air_l == pytest.approx(inside_l)
    assert down.under_n == pytest.approx(up.under_n - 1.2 * inside_l * G)
    assert down.under_n < 0.0
    assert "floats" in [caution.kind for caution in down.cautions]


def test_without_angles_it_hangs_as_dip_advises() -> None:
    from fitcheck.questions.dip.answer import Fits
    from fitcheck.questions.dip.ask import dip

    told = dip(SHOP.parts["P08"], SHOP.tanks["T1"])
    assert isinstance(told, Fits)
    found = weigh(SHOP.parts["P08"], SHOP.tanks["T1"])
    assert found.angles == told.advice.pose.angles
    assert found.lift_out_kg == pytest.approx(told.advice.wet_mass_kg)
    assert found.under_n == pytest.approx(-told.advice.uplift_n)


def test_a_part_that_does_not_go_under_is_asked_how_it_hangs() -> None:
    with pytest.raises(Refused, match="no way is known in which P02 goes under in T1"):
        weigh(SHOP.parts["P02"], SHOP.tanks["T1"])
    assert weigh(SHOP.parts["P02"], SHOP.tanks["T1"], Angles(0.0, 0.0)).dry_kg > 0.0


def test_the_command(fitcheck_command: Command, tmp_path: Path) -> None:
    yard = Path(__file__).parents[3] / "examples" / "yard" / "yard.toml"
    told = fitcheck_command("weigh", yard, "P11", "T1")
    assert told.returncode == 0
    assert told.stdout.startswith("P11 in T1: ")
    assert "floats" in told.stdout
    data = fitcheck_command("weigh", yard, "P11", "T1", "--json")
    path = tmp_path / "weighed.json"
    path.write_text(data.stdout)
    assert json.loads(data.stdout)["kind"] == "weigh"
    proved = fitcheck_command("prove", yard, path)
    assert (proved.returncode, proved.stdout.splitlines()[0]) == (
        0,
        "P11 in T1: holds as far as it was checked",
    )
    no = fitcheck_command("weigh", yard, "P02", "T1")
    assert (no.returncode, len(no.stderr.splitlines())) == (2, 1)
