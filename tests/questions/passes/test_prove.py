"""True answers about passes are proved, and every forgery of one is refused."""

from __future__ import annotations

import copy
import json
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from strategies.obstacles import l_shaped, stepped_tank
from strategies.solids import box, hulled, part_of, tank_of

from fitcheck.cli import main
from fitcheck.proving.uncovered_surface import left_dry_mm2, most_under, slopes, surface_mm2
from fitcheck.questions.passes.answer import PassAnswer
from fitcheck.questions.passes.ask import passes
from fitcheck.questions.passes.prove import _is_allowed, prove_pass
from fitcheck.questions.register import from_dict, prove, to_dict
from fitcheck.things.part import Attitude, Part
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.shop import Shop
from fitcheck.things.springing import Springiness
from fitcheck.things.tank import Rules, Standing, Tank
from fitcheck.words.errors import Refused

RULES = Rules(25.0, 50.0, 50.0, 100.0, tape_part_mm=1.0, tape_tank_mm=2.0, overlap_mm=100.0)
DEEP = tank_of(box((1828.8, 762.0, 1219.2)), RULES)
SECTION = part_of(box((2100.0, 700.0, 420.0)))
BEAM = part_of(box((9000.0, 700.0, 420.0)))
CUBE = part_of(box((900.0, 900.0, 900.0)))
SHALLOW = tank_of(box((1500.0, 1500.0, 500.0)), replace(RULES, overlap_mm=20.0, tape_part_mm=0.0))
SHEET = replace(part_of(box((3048.0, 914.4, 1.27))), spring=Springiness(0.0028, "a bend test", 70.3, 0.33))

# Numbers that are shown to people and follow from nothing that is in the answer again.
TOLD = {"strapped_radius_mm", "strapped_strain", "pull_n", "room_mm"}


def triangle_in_a_slot() -> tuple[Part, Tank]:
    """Return a plate whose three corners find no room together by twos, and a slot deep enough for one."""
    height = 500.0 * math.sqrt(3.0)
    corners = np.array([[0.0, 0.0], [1000.0, 0.0], [500.0, height]])
    plate = hulled(np.vstack([np.column_stack([corners, np.full(3, z)]) for z in (0.0, 4.0)]))
    rules = Rules(10.0, 10.0, 10.0, 20.0, overlap_mm=10.0)
    return part_of(plate), tank_of(box((760.0, 60.0, 650.0)), rules)


def bevelled() -> Tank:
    """Return a tank whose floor is bevelled all round: at its clearance a part does not reach its end walls."""
    inside = box((1578.0, 382.6, 636.6)).vertices_mm
    floor = inside[:, 2] < 1.0
    raised, inset = inside.copy(), inside.copy()
    raised[floor, 2] = 60.0
    middle = np.array([789.0, 191.3, 0.0])
    inset[floor] += np.sign(middle - inset[floor]) * [60.0, 60.0, 0.0]
    rules = Rules(4.8, 42.9, 23.8, 87.3, tape_tank_mm=3.2, overlap_mm=14.3)
    return tank_of(hulled(np.vstack([raised, inset])), rules)


CASES: dict[str, tuple[Part, Tank]] = {
    "two": (SECTION, DEEP),
    "none": (BEAM, DEEP),
    "one": (part_of(box((1500.0, 600.0, 300.0))), DEEP),
    "three": triangle_in_a_slot(),
    "many": (CUBE, SHALLOW),
    "sprung": (SHEET, DEEP),
    "over a block": (l_shaped(12.3), stepped_tank()),
    "level": (
        replace(part_of(box((500.0, 100.0, 100.0))), attitude=Attitude(0.1, 0.9)),
        tank_of(box((800.0, 300.0, 170.5)), Rules(0.0, 0.0, 20.0, 50.0, tape_tank_mm=2.0, overlap_mm=2.0)),
    ),
    "bevelled": (part_of(box((549.3, 149.2, 593.7))), bevelled()),
}


@pytest.fixture(scope="module")
def told() -> dict[str, Any]:
    """Return each case's answer as JSON."""
    chords = {"sprung": 705.0}
    return {name: to_dict(passes(*case, chord_mm=chords.get(name))) for name, case in CASES.items()}


def not_so(name: str, data: object) -> list[str]:
    found = prove(json.loads(json.dumps(data)), Shop.of(*CASES[name]))
    return [check.what for check in found.checks if not check.holds]


def read_back(data: object) -> PassAnswer:
    answer = from_dict(data, Shop(""))
    assert isinstance(answer, PassAnswer)
    return answer


@pytest.mark.parametrize("name", CASES)
def test_whatever_pass_says_is_proved(told: dict[str, Any], name: str) -> None:
    assert not_so(name, told[name]) == []


def test_the_cases_are_what_they_are_for(told: dict[str, Any]) -> None:
    counts = {
        name: (row["verdict"], len(row["passes"]), row["at_least_passes"]) for name, row in told.items()
    }
    assert counts["two"] == ("fits", 2, 2)
    assert counts["one"] == ("fits", 1, 1)
    assert counts["three"] == ("fits", 3, 3)
    assert told["three"]["at_least_because"]["by"] == "points"
    assert told["many"]["at_least_because"]["by"] == "area"
    assert counts["many"][0] == "fits"
    assert counts["none"][0] == "does not fit"
    assert counts["sprung"][:2] == ("fits", 2)
    assert counts["over a block"] == ("fits", 2, 2)
    assert counts["bevelled"] == ("fits", 2, 2)
    assert told["bevelled"]["windows"]
    # Wet all over in each, with the tapes in hand for the overlap but not for the cover.
    assert counts["level"] == ("fits", 2, 1)
    assert [row["covers"] for row in told["level"]["passes"]] == [1.0, 1.0]


def _forge(data: Any, *path: Any, to: Any) -> Any:
    forged = copy.deepcopy(data)
    place = forged
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] = to(place[path[-1]]) if callable(to) else to
    return forged


@pytest.mark.parametrize("name", ["two", "none", "three", "many"])
def test_no_number_can_be_changed(told: dict[str, Any], name: str) -> None:
    """Each number of an answer, a hundredth larger or smaller, is refused; of passes the first."""
    for path in _numbers(told[name]):
        tried = [
            _forge(told[name], *path, to=lambda x, by=by: x + by * max(1.0, abs(x))) for by in (0.01, -0.01)
        ]
        assert any(_is_refused(name, forged) for forged in tried), path


def test_no_figure_of_a_bend_can_be_changed(told: dict[str, Any]) -> None:
    for key, value in told["sprung"]["sprung"].items():
        if isinstance(value, float) and key not in TOLD:
            assert _is_refused("sprung", _forge(told["sprung"], "sprung", key, to=value * 1.01)), key
    assert not_so("sprung", _forge(told["sprung"], "sprung", "curve", to="U"))


def _is_refused(name: str, forged: object) -> bool:
    try:
        return bool(not_so(name, forged))
    except Refused:
        return True


def _numbers(data: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    if isinstance(data, dict):
        return [
            found for key, each in data.items() if key not in TOLD for found in _numbers(each, (*path, key))
        ]
    if isinstance(data, list):
        tried = 1 if data and isinstance(data[0], dict) else 3
        return [found for k, each in list(enumerate(data))[:tried] for found in _numbers(each, (*path, k))]
    is_number = isinstance(data, int | float) and not isinstance(data, bool) and data != 0.0
    return [path] if is_number else []


def test_a_pass_left_out_is_refused(told: dict[str, Any]) -> None:
    for name in ("two", "three", "many", "sprung"):
        forged = copy.deepcopy(told[name])
        del forged["passes"][0]
        assert "together they wet all of it" in not_so(name, forged)


def test_another_part_and_another_tank_are_refused(told: dict[str, Any]) -> None:
    answer = read_back(told["two"])
    longer = part_of(box((2400.0, 700.0, 420.0)))
    assert not prove_pass(answer, longer, DEEP).holds
    shallower = tank_of(box((1828.8, 762.0, 1150.0)), RULES)
    assert not prove_pass(answer, SECTION, shallower).holds
    level = replace(SECTION, attitude=Attitude(tilt_rad=0.1))
    said = [check.what for check in prove_pass(answer, level, DEEP).checks if not check.holds]
    assert "pass 1 is turned as the part may be" in said


def test_another_shop_is_refused(told: dict[str, Any]) -> None:
    for shop in (Shop.of(DEEP), Shop.of(SECTION)):
        with pytest.raises(Refused, match="in this shop file"):
            prove(told["two"], shop)


def test_what_has_no_second_formula_is_told(told: dict[str, Any]) -> None:
    """Figures of a sprung sheet that may be changed unseen are told as not checked, each by its key."""
    keys = {each.key for each in prove(told["sprung"], Shop.of(*CASES["sprung"])).not_checked}
    assert keys == {f"sprung.{key}" for key in TOLD if key in told["sprung"]["sprung"]}
    assert prove(told["two"], Shop.of(*CASES["two"])).not_checked == ()


def test_lies_about_turn_verdict_and_bounds_are_refused(told: dict[str, Any]) -> None:
    two, none = told["two"], told["none"]
    assert "between them it is turned as told" in not_so("two", _forge(two, "turn", to="upside down"))
    assert not_so("two", _forge(two, "at_least_passes", to=3))
    assert not_so("none", _forge(none, "verdict", to="fits"))
    assert not_so("none", _forge(none, "never", "far_mm", to=lambda rows: rows[:1]))
    assert not_so("two", {**two, "verdict": "does not fit"})
    assert not_so("many", _forge(told["many"], "at_least_passes", to=lambda n: n + 1))
    assert not_so("one", _forge(told["one"], "at_least_passes", to=2))


def test_that_one_will_not_do_is_shown_from_its_boxes(told: dict[str, Any]) -> None:
    """A bound that rests on a block: a box of its proof left out, or the same block a hand lower, refuses it."""
    what, proof = "fewer than 2 passes will not do, shown again", ("at_least_because", "proof")
    boxes = told["over a block"][proof[0]][proof[1]]
    one_less = {key: rows if key == "on_end" else rows[1:] for key, rows in boxes.items()}
    assert what in not_so("over a block", _forge(told["over a block"], *proof, to=one_less))
    assert what in not_so("two", _forge(told["two"], *proof, "half_rad", 0, 0, to=lambda half: half * 0.99))
    part, tank = CASES["over a block"]
    answer = read_back(told["over a block"])
    lower = replace(tank, blocks=(Standing("block", box((762.0, 508.0, 292.1))),))
    assert what in [check.what for check in prove_pass(answer, part, lower).checks if not check.holds]


def test_what_is_no_answer_is_refused_with_its_key(told: dict[str, Any]) -> None:
    for path, to, key in (
        (("turn",), "sideways", "turn"),
        (("verdict",), "perhaps", "verdict"),
        (("passes", 0, "pose", "matrix"), [[1.0]], "matrix"),
        (("covered",), "all", "covered"),
        (("windows", 0, "tilt_deg"), [1.0], "tilt_deg"),
    ):
        with pytest.raises(Refused, match=key):
            read_back(_forge(told["two"], *path, to=to))


def test_what_is_left_dry_of_a_box_in_closed_form() -> None:
    """A box of 300 x 200 x 100 under a level plane at a quarter, and half under a plane through its middle."""
    solid = box((300.0, 200.0, 100.0))
    whole = 2.0 * (300.0 * 200.0 + 300.0 * 100.0 + 200.0 * 100.0)
    assert surface_mm2(solid) == pytest.approx(whole)
    up = np.array([[0.0, 0.0, 1.0]])
    assert left_dry_mm2(solid, up, np.array([25.0])) == pytest.approx(300.0 * 200.0 + 2.0 * 500.0 * 75.0)
    assert most_under(solid, up, np.array([25.0]))[0] == pytest.approx(300.0 * 200.0 + 2.0 * 500.0 * 25.0)
    skew = np.array([[0.6, -0.48, 0.64]])
    line = skew @ np.array([150.0, 100.0, 50.0])
    assert left_dry_mm2(solid, skew, line) == pytest.approx(whole / 2.0)
    assert most_under(solid, skew, line)[0] == pytest.approx(whole / 2.0)
    # On an upright side the line is drawn back by as much, on the top not at all.
    steep = slopes(solid, up)[:, 0]
    assert sorted(set(np.round(steep, 12).tolist())) == [0.0, 1.0]


@pytest.mark.parametrize("tilt", [-90.0, 90.0])
@pytest.mark.parametrize(
    ("turned", "most", "is_allowed"),
    [
        # What stands on end may be turned by roll, by swing, or by some of each; end for end by hand always.
        ((0.0, 180.0), (18.0, 180.0), True),
        ((180.0, 0.0), (0.0, 0.0), True),
        ((30.0, 0.0), (18.0, 12.0), True),
        ((0.0, 30.0), (18.0, 12.0), True),
        ((31.0, 0.0), (18.0, 12.0), False),
        ((90.0, 0.0), (18.0, 54.0), False),
    ],
)
def test_on_end_roll_and_swing_are_one(
    tilt: float, turned: tuple[float, float], most: tuple[float, float], is_allowed: bool
) -> None:
    roll, swing = np.radians(turned)
    rotation = rotation_from(Angles(math.radians(tilt), float(roll), float(swing)))
    attitude = Attitude(math.pi / 2.0, *np.radians(most).tolist())
    part = replace(part_of(box((300.0, 200.0, 100.0))), attitude=attitude)
    assert _is_allowed(Pose("tank", "part", rotation, np.zeros(3)), part) == is_allowed


def test_the_command_proves_and_refuses(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from questions.passes.test_ask import SHOP

    shop, answer = tmp_path / "shop.toml", tmp_path / "answer.json"
    shop.write_text(SHOP)
    assert main.run(["pass", str(shop), "section", "deep", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    answer.write_text(json.dumps(data))
    assert main.run(["prove", str(shop), str(answer)]) == 0
    assert capsys.readouterr().out.startswith("section in deep, fits: holds\n")
    answer.write_text(json.dumps(_forge(data, "passes", 0, "wet_m2", to=lambda area: area + 0.2)))
    assert main.run(["prove", str(shop), str(answer)]) == 1
    assert "NOT SO  pass 1 wets what it says, cut out again" in capsys.readouterr().out
