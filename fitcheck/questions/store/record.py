"""The answer to `store` as JSON: lengths in mm, masses in kg, angles in degrees."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.questions.store.answer import StoreAnswer, Stored, ToldPlace, ToldStore
from fitcheck.things.rack import RailRack
from fitcheck.things.records import pose_json, read_pose
from fitcheck.words.errors import Refused
from fitcheck.words.json_values import Json, choice, mapping, number, numbers, rows, text_of, texts


def store_json(answer: StoreAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    key = "rail" if isinstance(answer.rack, RailRack) else "bay"
    data: Json = {
        "verdict": answer.verdict,
        "rack": answer.rack.name,
        "reason": answer.reason,
        "parts": _asked(answer),
        "places": [_place(place, key) for place in answer.places],
        "left_out": [{"part": each.part, "count": each.count, "why": each.why} for each in answer.left_out],
    }
    if answer.at_least_racks is not None:
        data |= {"at_least_racks": answer.at_least_racks, "racks_proof": answer.racks_proof}
    return data | {"cautions": list(answer.cautions)}


def _asked(answer: StoreAnswer) -> list[str]:
    """Return the parts that an answer is about."""
    names = [each.part for each in answer.places] + [each.part for each in answer.left_out]
    return list(dict.fromkeys(names))


def _place(place: Stored, key: str) -> Json:
    data: Json = {
        "part": place.part,
        "number": place.number,
        key: place.where + 1 if key == "rail" else place.place,
        "along_mm": place.along_mm,
        "size_mm": list(place.size_mm),
        "pose": pose_json(place.pose),
    }
    if key == "rail":
        data |= {"over_floor_mm": place.over_floor_mm, "hooks": place.hooks, "hook_kg": place.hook_kg}
    else:
        data |= {"across_mm": place.across_mm, "sag_mm": place.sag_mm}
    return {name: value for name, value in data.items() if value is not None}


def store_from_json(data: object) -> ToldStore:
    """Return the answer that was told; raises `Refused`, naming the key, for anything else."""
    whole = mapping(data, "the answer")
    left = [mapping(row, "left_out") for row in rows(whole, "left_out")]
    return ToldStore(
        text_of(whole, "rack"),
        choice(whole, "verdict", ToldStore),
        tuple(_read_place(mapping(row, "places")) for row in rows(whole, "places")),
        tuple((text_of(row, "part"), round(number(row, "count"))) for row in left),
        round(number(whole, "at_least_racks")) if "at_least_racks" in whole else None,
        texts(whole, "parts") if "parts" in whole else None,
    )


def _read_place(row: Mapping[str, object]) -> ToldPlace:
    where = round(number(row, "rail")) - 1 if "rail" in row else text_of(row, "bay")
    size = numbers(row, "size_mm")
    if size.shape != (3,):
        raise Refused("size_mm is not three lengths", "give the answer as fitcheck wrote it")
    hook = number(row, "hook_kg") if "hook_kg" in row else None
    sides = (float(size[0]), float(size[1]), float(size[2]))
    return ToldPlace(
        text_of(row, "part"),
        round(number(row, "number")),
        where,
        read_pose(row, "pose"),
        number(row, "along_mm"),
        sides,
        hook,
    )
