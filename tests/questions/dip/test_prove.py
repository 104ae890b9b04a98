"""True answers are proved, and every forgery of one is refused."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from conftest import Command
from strategies.drawn_cases import drawn
from strategies.solids import box, hulled, part_of, tank_of

from fitcheck.geometry.rotations.envelope import envelope_of
from fitcheck.proving.infeasible_rotations import recheck_infeasible
from fitcheck.proving.tank_planes import planes
from fitcheck.questions.dip.answer import DipAnswer, DoesNotFit, Fits, MeasureAgain, NotFound
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.dip.prove import prove_dip
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.shapes.basin import basin
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Attitude, Part
from fitcheck.things.proof import Proof
from fitcheck.things.shop import Shop
from fitcheck.things.solid import Solid
from fitcheck.things.tank import Rules, Tank
from fitcheck.words.errors import Refused

RULES = Rules(25.0, 50.0, 50.0, 100.0, tape_part_mm=2.0, tape_tank_mm=4.0)
TANK = tank_of(box((2000.0, 600.0, 800.0)), RULES)
PLANK = part_of(box((1500.0, 300.0, 60.0)))
LONG = part_of(box((2060.0, 300.0, 60.0)))
CLOSE = part_of(box((1949.0, 549.0, 599.0)))
# Numbers that nobody can look at again: what the search did.
SEARCHED = {"cells", "open_share", "by_mm"}


def read_back(data: object) -> DipAnswer:
    answer = from_dict(data, Shop(""))
    assert isinstance(answer, Fits | DoesNotFit | MeasureAgain | NotFound)
    return answer


def not_so(answer: DipAnswer, part: Part, tank: Tank) -> list[str]:
    return [check.what for check in prove_dip(answer, part, tank).checks if not check.holds]


@pytest.mark.parametrize("seed", range(24))
def test_whatever_dip_says_is_proved(seed: int) -> None:
    case = drawn(seed)
    answer = dip(case.part, case.tank, case.prefer, with_cures=False)
    assert not_so(read_back(json.loads(json.dumps(to_dict(answer)))), case.part, case.tank) == []


@pytest.mark.parametrize("fillet_mm", [20.0, 34.925, 41.3, 60.1])
def test_search_and_proof_take_the_same_faces_for_floor(fillet_mm: float) -> None:
    """The middle flat of a rounded corner looks down at 45 degrees but for rounding: a wall to all of them."""
    size = (658.8125, 431.8, 279.4)
    tank = Tank(
        "t", basin(size, fillet_mm).solid, size, Liquid("water"), RULES, fillet_mm=fillet_mm, is_box=False
    )
    normals, offsets = planes(tank)
    room = envelope_of(tank)
    for normal, offset in zip(room.normals, room.offsets_mm, strict=True):
        same = int(np.argmax(normals @ normal))
        assert offset == pytest.approx(offsets[same], abs=1e-6)
    leaning = np.abs(np.abs(room.normals[:, 2]) - math.sqrt(0.5)) < 1e-9
    assert leaning.any()
    assert not room.is_floor[leaning].any()


# The others take the simple bound up to half a minute each.
def filleted() -> tuple[Part, Tank]:
    """Return a block that opposite walls let in by some mm, and a tank whose round corners do not."""
    size = (389.0, 281.0, 367.0)
    rules = Rules(8.0, 3.0, 26.0, 31.0)
    tank = Tank("t", basin(size, 21.0).solid, size, Liquid("water"), rules, fillet_mm=21.0, is_box=False)
    return part_of(box((368.0, 200.0, 304.0))), tank


def pitched() -> tuple[Part, Tank]:
    """Return a rod and a tapered pit of 25 sides, no two faces of which are opposite but floor and rim."""
    turn = np.arange(25) * 2.0 * math.pi / 25.0
    rings = [
        np.column_stack([300.0 + r * np.cos(turn), 300.0 + r * np.sin(turn), np.full(25, z)])
        for r, z in ((200.0, 0.0), (300.0, 400.0))
    ]
    tank = tank_of(hulled(np.vstack(rings)), Rules(0.0, 0.0, 0.0, 10.0))
    return part_of(box((720.0, 10.0, 10.0))), tank


@pytest.mark.parametrize("case", [filleted(), pitched()])
def test_faces_that_refuse_only_three_or_four_together_are_found(case: tuple[Part, Tank]) -> None:
    part, tank = case
    answer = dip(part, tank, with_cures=False)
    assert isinstance(answer, DoesNotFit)
    assert not_so(answer, part, tank) == []
    # A part a fifth as large has room: the same cells do not show that it has none.
    small = part_of(Solid(part.solid.vertices_mm / 5.0, part.solid.triangles))
    assert not recheck_infeasible(small, tank, answer.proof).refused


def numbers_in(data: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Give the place of every number in an answer but those of its cells, which are tried by themselves."""
    if isinstance(data, dict):
        for key, value in data.items():
            if key not in SEARCHED | {"proof", "cures", "pockets", "deciding"}:
                yield from numbers_in(value, (*path, key))
    elif isinstance(data, list):
        for k, value in enumerate(data):
            yield from numbers_in(value, (*path, k))
    elif isinstance(data, int | float) and not isinstance(data, bool):
        yield path


def forged(data: Any, path: tuple[str | int, ...], by: float) -> Any:
    data = copy.deepcopy(data)
    inner = data
    for step in path[:-1]:
        inner = inner[step]
    inner[path[-1]] += by
    return data


def refused(data: Any, part: Part, tank: Tank) -> bool:
    try:
        return bool(not_so(read_back(data), part, tank))
    except Refused:
        return True


# Told for people only, from numbers that are looked at.
SUMS = {"air_l", "air_error_l", "bare_m2", "carry_out_l", "carry_out_error_l"}
# A bound that is not known to be the best one may be said to be any that still proves.
BOUNDS = {"least_level_at_least_mm"}


@pytest.mark.parametrize("part", [PLANK, LONG, CLOSE], ids=["fits", "does not fit", "measure again"])
def test_one_number_changed_is_refused(part: Part) -> None:
    answer = dip(part, TANK, with_cures=False)
    data = json.loads(json.dumps(to_dict(answer)))
    assert not refused(data, part, TANK)
    tried = 0
    for path in numbers_in(data):
        if path[-1] in SUMS | BOUNDS or path[0] == "nearest_pose" or _is_a_shift(path):
            continue
        for by in (1.0, -1.0, 0.01):
            assert refused(forged(data, path, by), part, TANK), (path, by)
            tried += 1
    assert tried > (10 if isinstance(answer, DoesNotFit) else 100)


def _is_a_shift(path: tuple[str | int, ...]) -> bool:
    """Tell whether this is a shift of which many are right, in a tank with room to spare."""
    in_plan = path[1:2] == ("matrix",) and path[2] in (0, 1) and path[3] == 3
    return in_plan or path == ("roomiest_pose", "matrix", 2, 3)


def test_a_pose_shifted_out_of_its_clearance_is_refused() -> None:
    data = json.loads(json.dumps(to_dict(dip(PLANK, TANK))))
    for row, by in ((0, 300.0), (0, -300.0), (1, 600.0), (1, -600.0)):
        for key in ("pose", "roomiest_pose", "least_level_pose"):
            assert refused(forged(data, (key, "matrix", row, 3), by), PLANK, TANK), (key, row)


def test_a_bound_over_the_level_is_refused() -> None:
    data = json.loads(json.dumps(to_dict(dip(PLANK, TANK))))
    assert refused(forged(data, ("least_level_at_least_mm",), 100.0), PLANK, TANK)


def test_a_leaf_removed_is_refused() -> None:
    answer = dip(LONG, TANK, with_cures=False)
    assert isinstance(answer, DoesNotFit)
    middle, half = answer.proof.middle_rad, answer.proof.half_rad
    for k in range(0, len(middle), max(len(middle) // 30, 1)):
        keep = np.arange(len(middle)) != k
        found = recheck_infeasible(LONG, TANK, Proof(middle[keep], half[keep]))
        assert not found.covers


def test_a_leaf_made_narrower_or_moved_is_refused() -> None:
    answer = dip(LONG, TANK, with_cures=False)
    assert isinstance(answer, DoesNotFit)
    for axis in range(3):
        half = np.array(answer.proof.half_rad)
        half[0, axis] *= 0.999
        assert not recheck_infeasible(LONG, TANK, Proof(answer.proof.middle_rad, half)).covers
        middle = np.array(answer.proof.middle_rad)
        middle[-1, axis] += 1e-6
        assert not recheck_infeasible(LONG, TANK, Proof(middle, answer.proof.half_rad)).covers


@pytest.mark.filterwarnings("ignore:overflow encountered:RuntimeWarning")
@pytest.mark.parametrize("half_rad", [1e308, -1e308])
def test_a_leaf_wider_than_any_turn_is_refused(half_rad: float) -> None:
    """Its ends are no numbers: a share of a turn is looked for only within one turn."""
    answer = dip(LONG, TANK, with_cures=False)
    assert isinstance(answer, DoesNotFit)
    half = np.array(answer.proof.half_rad)
    half[len(half) // 2, 2] = half_rad
    middle = np.array(answer.proof.middle_rad)
    middle[len(half) // 2, 2] = 1e308
    assert not recheck_infeasible(LONG, TANK, Proof(middle, half)).holds


def test_another_part_and_another_tank_are_refused() -> None:
    yes, no = dip(PLANK, TANK), dip(LONG, TANK, with_cures=False)
    assert not_so(yes, LONG, TANK)
    assert not_so(no, PLANK, TANK)
    larger = tank_of(box((2400.0, 600.0, 800.0)), RULES)
    assert not_so(no, LONG, larger)
    assert not_so(yes, replace(PLANK, name="other"), TANK)
    assert not_so(yes, PLANK, replace(TANK, name="other"))


def test_a_mirrored_pose_is_refused() -> None:
    data = json.loads(json.dumps(to_dict(dip(PLANK, TANK))))
    for row in range(3):
        mirrored = copy.deepcopy(data)
        mirrored["pose"]["matrix"][row][:3] = [-v for v in mirrored["pose"]["matrix"][row][:3]]
        assert refused(mirrored, PLANK, TANK)


def test_a_proof_for_narrower_limits_does_not_do_for_wider_ones() -> None:
    held = replace(LONG, attitude=Attitude(0.1, 0.1, 0.1))
    answer = dip(held, TANK, with_cures=False)
    assert isinstance(answer, DoesNotFit)
    assert prove_dip(answer, held, TANK).holds
    assert not recheck_infeasible(LONG, TANK, answer.proof).covers


def test_the_share_of_a_turn_that_is_looked_at_must_be_one_that_the_part_has() -> None:
    """A square bar is the same after a quarter turn; one a hair off square is not."""
    bar = part_of(box((2160.0, 60.0, 60.0)))
    answer = dip(bar, TANK, with_cures=False)
    assert isinstance(answer, DoesNotFit)
    assert float((answer.proof.middle_rad + answer.proof.half_rad)[:, 2].max()) <= math.pi / 4.0 + 1e-9
    assert prove_dip(answer, bar, TANK).holds
    assert not recheck_infeasible(part_of(box((2160.0, 60.0, 60.01))), TANK, answer.proof).covers


def test_a_verdict_turned_round_is_refused() -> None:
    close = dip(CLOSE, TANK, with_cures=False)
    assert isinstance(close, MeasureAgain)
    yes = dip(PLANK, TANK)
    assert isinstance(yes, Fits)
    head = (close.part, close.tank, close.reason, close.spare, close.effort)
    assert not_so(Fits(*head, close.advice, close.advice.pose, close.least or yes.least), CLOSE, TANK)
    empty = Proof(np.zeros((0, 3)), np.zeros((0, 3)))
    assert not_so(DoesNotFit(*head, close.advice.pose, empty), CLOSE, TANK)


SHOP = """
[liquids.water]
specific_gravity = 1.0
[tanks.T]
inside = ["2 m", "60 cm", "80 cm"]
liquid = "water"
[parts.plank]
shape = "block"
size = ["{length} mm", "300 mm", "60 mm"]
metal = "aluminium"
"""


def test_the_command_tells_true_from_false(tmp_path: Path, fitcheck_command: Command) -> None:
    shop, proof = tmp_path / "shop.toml", tmp_path / "proof.json"
    shop.write_text(SHOP.format(length=2300))
    assert fitcheck_command("dip", shop, "plank", "T", "--proof", proof).returncode == 1
    done = fitcheck_command("prove", shop, proof, "--json")
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    assert found["holds"] is True
    assert any("in none of them is there room" in line for line in found["checked"])
    shop.write_text(SHOP.format(length=1500))
    done = fitcheck_command("prove", shop, proof)
    assert done.returncode == 1
    assert "does not hold" in done.stdout
    assert "NOT SO" in done.stdout
    proof.write_text("{")
    done = fitcheck_command("prove", shop, proof)
    assert done.returncode == 2
    assert "proof.json" in done.stderr
    assert "Traceback" not in done.stderr
