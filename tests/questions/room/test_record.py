"""Answers of room and arrange as JSON: the same when read back, and what is none is refused by its key."""

from __future__ import annotations

import copy
from dataclasses import replace

import numpy as np
import pytest
from oracles.told_keys import changed, spoilt
from strategies.rooms import FT, build_room, fixture, moved, rectangle
from strategies.small_yard import as_written

import fitcheck as fc
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.questions.room.answer import RoomAnswer
from fitcheck.questions.room.record import from_dict as read_record
from fitcheck.things.room import Place, Room, Work
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused

MAY_BE_ABSENT = ("cure", "proof", "pinch", "pinch_mm", "door")
COUNTS = ("on_walls",)
TIGHT = Room("shed", rectangle(7, 3.9), fixtures=tuple(fixture(n, (6, 2), None, Work()) for n in ("a", "b")))


@pytest.fixture(scope="module")
def answers() -> dict[str, RoomAnswer]:
    """Return a room that stands, one that does not and is turned, layouts, and two proofs that there is none."""
    empty = build_room(placed=False)
    clash = tuple(replace(each, place=Place((0.0, 3000.0))) for each in empty.fixtures[:2])
    return {
        "demo": fc.room(fc.demo_shop().rooms["build"]),
        "crowded": fc.room(moved(build_room((4.5, 8)), 0.1, (123.4, -567.8))),
        "layouts": fc.arrange(empty),
        "no layout": fc.arrange(TIGHT),
        "clash": fc.arrange(replace(empty, fixtures=(*clash, *empty.fixtures[2:]))),
        "no door": fc.room(Room("r", rectangle(5, 5), fixtures=(fixture("box", (2, 2), (1, 1)),))),
    }


NAMES = ["demo", "crowded", "layouts", "no layout", "clash", "no door"]


def asked(answer: RoomAnswer) -> Shop:
    assert answer.asked is not None
    return answer.asked


def test_the_cases_are_what_they_are_for(answers: dict[str, RoomAnswer]) -> None:
    fits = {name: answer.verdict == "fits" for name, answer in answers.items()}
    assert fits == {
        "demo": True,
        "crowded": False,
        "layouts": True,
        "no layout": False,
        "clash": False,
        "no door": True,
    }
    assert any(conflict.cure for conflict in answers["crowded"].conflicts)
    assert len(answers["layouts"].layouts) > 1
    assert answers["no layout"].proof
    assert answers["clash"].conflicts
    assert not answers["clash"].layouts


@pytest.mark.parametrize("name", NAMES)
def test_an_answer_is_read_back_whole(answers: dict[str, RoomAnswer], name: str) -> None:
    answer = answers[name]
    shop, data = asked(answer), as_written(answer)
    again = from_dict(data, shop)
    assert isinstance(again, RoomAnswer)
    assert to_dict(again) == data
    assert list(to_dict(again)) == list(data)
    assert next(iter(data.items())) == ("kind", "room")
    assert again.text(shop) == answer.text(shop)
    assert again.conflicts == answer.conflicts
    assert [each.places.keys() for each in again.layouts] == [each.places.keys() for each in answer.layouts]


def test_areas_come_back_to_the_last_digit(answers: dict[str, RoomAnswer]) -> None:
    answer = answers["no door"]
    for area in np.random.default_rng(7).uniform(1.0, 1e9, 300).tolist():
        layout = replace(answer.layouts[0], free_mm2=area)
        data = as_written(replace(answer, layouts=(layout,)))
        assert as_written(from_dict(data, asked(answer))) == data


@pytest.mark.parametrize("name", ["crowded", "layouts"])
def test_what_is_spoilt_is_refused_by_its_key(answers: dict[str, RoomAnswer], name: str) -> None:
    shop, data = asked(answers[name]), as_written(answers[name])
    del data["kind"], data["cautions"]
    count = 0
    for key, bad in spoilt(data, MAY_BE_ABSENT, COUNTS):
        with pytest.raises(Refused) as caught:
            read_record(bad, shop)
        assert key in caught.value.problem, (key, caught.value.problem)
        count += 1
    assert count > 60


def test_what_contradicts_itself_is_refused(answers: dict[str, RoomAnswer]) -> None:
    told, found = as_written(answers["demo"]), as_written(answers["layouts"])
    corner = copy.deepcopy(told["placed"][0]["corners_mm"])
    corner[0][0] += 1.0 / 16.0 * FT / 12.0
    for data, way, value, key in (
        (told, ("placed", 0, "corners_mm"), corner, "corners_mm"),
        (told, ("placed", 0, "name"), "piano", "placed.name"),
        (told, ("placed", 1), told["placed"][0], "placed.name"),
        (told, ("aisles", 0, "to"), "bench top", "aisles.to"),
        (told, ("room",), "attic", "attic"),
        (found, ("layouts",), [], "layouts"),
        (found, ("on_walls",), found["on_walls"] + 1, "layouts"),
    ):
        shop = asked(answers["demo"] if data is told else answers["layouts"])
        with pytest.raises(Refused, match=key):
            read_record(changed(data, way, value), shop)
    bare = {key: told[key] for key in ("verdict", "room", "reason", "conflicts")}
    with pytest.raises(Refused, match="placed"):
        read_record(bare, asked(answers["demo"]))
