"""A store answer to JSON and back: lengths in mm, masses in kg, angles in degrees.

Rails are told by their number from 1, bays by their name.
"""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.questions.store.answer import NotStored, StoreAnswer, Stored
from fitcheck.things.rack import BayRack, Rack, RailRack
from fitcheck.things.records import pose_json, read_place, read_pose
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused
from fitcheck.words.json_values import (
    Json,
    choice,
    given_rows,
    mapping,
    number,
    text_of,
    texts,
    whole_number,
    without_absent,
)


def to_dict(answer: StoreAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    on_rails = isinstance(answer.rack, RailRack)
    data: Json = {
        "verdict": answer.verdict,
        "rack": answer.rack.name,
        "reason": answer.reason,
        "parts": list(answer.parts),
        "places": [_place(place, on_rails=on_rails) for place in answer.places],
        "left_out": [{"part": each.part, "count": each.count, "why": each.why} for each in answer.left_out],
    }
    if answer.at_least_racks is not None:
        data |= {"at_least_racks": answer.at_least_racks, "racks_proof": answer.racks_proof}
    return data


def _place(place: Stored, *, on_rails: bool) -> Json:
    where = {"rail": place.where + 1} if on_rails else {"bay": place.place}
    data: Json = {
        "part": place.part,
        "number": place.number,
        **where,
        "along_mm": place.along_mm,
        "size_mm": list(place.size_mm),
        "pose": pose_json(place.pose),
    }
    if on_rails:
        data |= {"over_floor_mm": place.over_floor_mm, "hooks": place.hooks, "hook_kg": place.hook_kg}
    else:
        data |= {"across_mm": place.across_mm, "sag_mm": place.sag_mm}
    return without_absent(data)


def from_dict(data: Mapping[str, object], shop: Shop) -> StoreAnswer:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    name = text_of(data, "rack")
    if name not in shop.racks:
        raise Refused(f"there is no rack {name} in this shop file", "name the shop file it was asked of")
    rack = shop.racks[name]
    given_rows(data, "parts")
    racks = whole_number(data, "at_least_racks") if "at_least_racks" in data else None
    return StoreAnswer(
        rack=rack,
        verdict=choice(data, "verdict", StoreAnswer),
        reason=text_of(data, "reason"),
        places=tuple(_read_place(mapping(row, "places"), rack) for row in given_rows(data, "places")),
        left_out=tuple(_read_left(mapping(row, "left_out")) for row in given_rows(data, "left_out")),
        at_least_racks=racks,
        racks_proof="" if racks is None else text_of(data, "racks_proof"),
        parts=texts(data, "parts"),
    )


def _read_left(row: Mapping[str, object]) -> NotStored:
    return NotStored(text_of(row, "part"), whole_number(row, "count"), text_of(row, "why"))


def _read_place(row: Mapping[str, object], rack: Rack) -> Stored:
    part, piece, pose = text_of(row, "part"), whole_number(row, "number"), read_pose(row, "pose")
    size_mm, along_mm = read_place(row, "size_mm"), number(row, "along_mm")
    if isinstance(rack, RailRack):
        rail = whole_number(row, "rail")
        return Stored(
            part, piece, rail - 1, f"rail {rail}", pose, size_mm, along_mm,
            over_floor_mm=number(row, "over_floor_mm"),
            hooks=whole_number(row, "hooks"),
            hook_kg=number(row, "hook_kg"),
        )  # fmt: skip
    bay = text_of(row, "bay")
    sag_mm = number(row, "sag_mm") if "sag_mm" in row else None
    across_mm = number(row, "across_mm")
    return Stored(part, piece, _bay(rack, bay), bay, pose, size_mm, along_mm, across_mm, sag_mm=sag_mm)


def _bay(rack: BayRack, name: str) -> int:
    """Return the number of a bay, from 0."""
    for k, bay in enumerate(rack.bays):
        if bay.name == name:
            return k
    raise Refused(f"places.bay is {name!r}", f"{rack.name} has {', '.join(bay.name for bay in rack.bays)}")
