"""The answer to `pass` as JSON and back: mm, litres, m2, degrees, N."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast, get_args

import numpy as np

from fitcheck.questions.passes.answer import (
    AtLeast,
    Because,
    NeverWet,
    Pass,
    PassAnswer,
    ShapeOf,
    Turn,
    Window,
)
from fitcheck.things.records import (
    pose_json,
    proof_json,
    read_fill,
    read_place,
    read_pose,
    read_proof,
    row_json,
)
from fitcheck.things.shop import Shop
from fitcheck.things.solid import Floats, frozen_array
from fitcheck.things.springing import Sprung
from fitcheck.words.errors import Refused
from fitcheck.words.json_values import Json, choice, flag, given_rows, mapping, number, numbers, text_of
from fitcheck.words.units import RAD_PER_DEGREE, radians_of


def to_dict(answer: PassAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    data: Json = {
        "verdict": answer.verdict,
        "part": answer.part,
        "tank": answer.tank,
        "reason": answer.reason,
        "passes": [_pass(each) for each in answer.passes],
    }
    if answer.turn is not None:
        data["turn"] = answer.turn
    if answer.overlap_mm is not None:
        data["overlap_mm"] = answer.overlap_mm
    if answer.band_mm is not None:
        data["band_mm"] = answer.band_mm
    data |= {
        "windows": [_window(each) for each in answer.windows],
        "covered": answer.covered,
        "at_least_passes": answer.at_least.passes,
        "at_least_because": _because(answer.at_least),
    }
    if answer.never is not None:
        data["never"] = _never(answer.never)
    if answer.sprung is not None:
        data["sprung"] = _sprung(answer.sprung)
    return data


def _pass(each: Pass) -> Json:
    return {
        "pose": pose_json(each.pose),
        "level_mm": each.level_mm,
        "covers": each.covers,
        "wet_m2": each.wet_m2,
        "lowest_mm": each.lowest_mm,
        "highest_mm": each.highest_mm,
        "held_by": each.held_by,
        "air_l": each.air_l,
        "air_m2": each.air_m2,
        "fill": row_json(each.fill),
    }


def _window(window: Window) -> Json:
    return {
        "turn": window.turn,
        "tilt_deg": [window.low_rad / RAD_PER_DEGREE, window.high_rad / RAD_PER_DEGREE],
    }


def _because(bound: AtLeast) -> Json:
    data: Json = {"by": bound.because or "not shown"}
    if bound.shape:
        data["shape"] = bound.shape
    if bound.because == "points" and bound.points_mm is not None:
        data["points_mm"] = bound.points_mm.tolist()
    if bound.because == "area" and bound.share_at_most is not None:
        data["share_at_most"] = bound.share_at_most
    if bound.because == "dip" and bound.proof is not None:
        data["proof"] = proof_json(bound.proof)
    return data


def _never(never: NeverWet) -> Json:
    return {
        "place_mm": list(never.place_mm),
        "far_mm": never.far_mm.tolist(),
        "distance_mm": never.distance_mm,
        "room_mm": never.room_mm,
    }


def _sprung(sprung: Sprung) -> Json:
    data: Json = {
        "curve": sprung.curve,
        "chord_mm": sprung.chord_mm,
        "arc_mm": sprung.flat_mm,
        "thickness_mm": sprung.thickness_mm,
        "radius_mm": sprung.radius_mm,
        "rise_mm": sprung.rise_mm,
        "strain": sprung.strain,
        "yield_strain": sprung.yield_strain,
        "least_radius_mm": sprung.least_radius_mm,
        "permanent_set": sprung.keeps_a_set,
        "strapped_radius_mm": sprung.strapped_radius_mm,
        "strapped_strain": sprung.strapped_strain,
        "source": sprung.source,
    }
    if sprung.pull_n is not None:
        data["pull_n"] = sprung.pull_n
    return data


def from_dict(data: Mapping[str, object], _shop: Shop) -> PassAnswer:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    passes = tuple(_read_pass(mapping(row, "passes")) for row in given_rows(data, "passes"))
    # One pass has no turn, and is told of none.
    turn = text_of(data, "turn") if "turn" in data or len(passes) > 1 else None
    if turn is not None and turn not in get_args(Turn):
        raise Refused(f"turn is {turn!r}", f"it is one of {', '.join(get_args(Turn))}")
    return PassAnswer(
        text_of(data, "part"),
        text_of(data, "tank"),
        choice(data, "verdict", PassAnswer),
        text_of(data, "reason"),
        passes,
        cast(Turn | None, turn),
        number(data, "overlap_mm") if "overlap_mm" in data else None,
        number(data, "covered"),
        _read_because(data),
        tuple(_read_window(mapping(row, "windows")) for row in given_rows(data, "windows")),
        _read_never(mapping(data["never"], "never")) if "never" in data else None,
        _read_sprung(mapping(data["sprung"], "sprung")) if "sprung" in data else None,
        number(data, "band_mm") if "band_mm" in data else None,
    )


def _read_pass(row: Mapping[str, object]) -> Pass:
    level, covers, wet, low, high, air, bare = (
        number(row, key)
        for key in ("level_mm", "covers", "wet_m2", "lowest_mm", "highest_mm", "air_l", "air_m2")
    )
    held_by = choice(row, "held_by", Pass)
    return Pass(read_pose(row, "pose"), level, covers, read_fill(row), wet, low, high, held_by, air, bare)


def _read_window(row: Mapping[str, object]) -> Window:
    tilts = numbers(row, "tilt_deg")
    if tilts.shape != (2,):
        raise Refused("windows.tilt_deg is not a range", "give its low and its high end")
    if not np.isfinite(tilts).all():
        raise Refused("windows.tilt_deg is not finite", "give its low and its high end")
    low, high = (radians_of(tilt) for tilt in tilts.tolist())
    return Window(choice(row, "turn", Window), low, high)


def _read_because(whole: Mapping[str, object]) -> AtLeast:
    row = mapping(whole.get("at_least_because"), "at_least_because")
    by, shape = text_of(row, "by").replace("not shown", ""), text_of(row, "shape") if "shape" in row else ""
    if by not in get_args(Because) or shape not in get_args(ShapeOf):
        raise Refused("at_least_because is not known", "give the answer as fitcheck wrote it")
    least = number(whole, "at_least_passes")
    if least < 1.0 or not least.is_integer():
        raise Refused(f"at_least_passes is {least:g}", "it is a count")
    return AtLeast(
        int(least),
        cast(Because, by),
        _places(row, "points_mm") if by == "points" else None,
        number(row, "share_at_most") if by == "area" else None,
        cast(ShapeOf, shape),
        read_proof(row) if by == "dip" else None,
    )


def _read_never(row: Mapping[str, object]) -> NeverWet:
    place, far = read_place(row, "place_mm"), _places(row, "far_mm")
    return NeverWet(place, far, number(row, "distance_mm"), number(row, "room_mm"))


def _places(row: Mapping[str, object], key: str) -> Floats:
    places = numbers(row, key)
    if places.shape != (len(places), 3) or not np.isfinite(places).all():
        raise Refused(f"{key} are not places", "give x, y and z of each")
    return frozen_array(places, 3)


def _read_sprung(row: Mapping[str, object]) -> Sprung:
    sprung = Sprung(
        curve=choice(row, "curve", Sprung),
        chord_mm=number(row, "chord_mm"),
        flat_mm=number(row, "arc_mm"),
        thickness_mm=number(row, "thickness_mm"),
        radius_mm=number(row, "radius_mm"),
        rise_mm=number(row, "rise_mm"),
        strain=number(row, "strain"),
        yield_strain=number(row, "yield_strain"),
        least_radius_mm=number(row, "least_radius_mm"),
        pull_n=number(row, "pull_n") if "pull_n" in row else None,
        strapped_radius_mm=number(row, "strapped_radius_mm"),
        strapped_strain=number(row, "strapped_strain"),
        source=text_of(row, "source"),
    )
    if flag(row, "permanent_set") != sprung.keeps_a_set:
        raise Refused(
            "permanent_set does not follow from the strains", "give the answer as fitcheck wrote it"
        )
    return sprung
