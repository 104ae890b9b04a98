"""The answer to `store` as JSON: lengths in mm, masses in kg, angles in degrees."""

from __future__ import annotations

from fitcheck.rim.files.answer_json import Json, pose_json
from fitcheck.things.rack import RailRack
from fitcheck.things.stored import StoreAnswer, Stored


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
