"""The answer to `pocket` as JSON and back: litres, mm, degrees.

Beside each pose stand its angles in radians, of which not a bit is lost: the matrix and the degrees of an
answer that is read back are made of them again.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import numpy as np

from fitcheck.questions.pocket.answer import Hole, PocketAnswer, PocketMap
from fitcheck.things.pockets import Held, PocketKind, WayUp
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.records import SAME_TURN, held_json, pose_json, read_held, read_place, read_pose
from fitcheck.things.shop import Shop
from fitcheck.things.solid import Floats, Mask
from fitcheck.words.errors import Refused
from fitcheck.words.json_values import Json, given_rows, mapping, number, numbers, rows, text_of, texts
from fitcheck.words.units import RAD_PER_DEGREE, radians_of

# Sums of a handful of litres, added in the same order; written by hand they may be rounded.
SAME_SUM = 1e-9
_AS_WRITTEN = "give the answer as fitcheck wrote it"


def to_dict(answer: PocketAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    data: Json = {"part": answer.part}
    if answer.tank is not None:
        data["tank"] = answer.tank
    data |= {"pose": _pose(answer.part, answer.angles), "angles_rad": list(answer.angles)}
    data |= {**held_json(answer.held), "one_degree_off_l": answer.off_l, "sealed_l": answer.sealed_l}
    data |= {
        "bleed_holes": [_hole(hole, "air_left_l") for hole in answer.holes if hole.kind == "air"],
        "drain_holes": [_hole(hole, "carry_out_left_l") for hole in answer.holes if hole.kind == "liquid"],
    }
    if answer.best is not None:
        data["best"] = _way(answer.part, answer.best)
    if answer.map is not None:
        data["map"] = _map(answer.map)
    return data | {"notes": list(answer.notes)}


def _pose(part: str, angles: Angles) -> Json:
    """Return the pose of a part that hangs in no tank: turned about its own origin."""
    return pose_json(Pose("hung", f"part {part}", rotation_from(angles), np.zeros(3)))


def _hole(hole: Hole, left: str) -> Json:
    return {"at_mm": list(hole.at_mm), "through_mm": hole.through_mm, left: hole.left_l}


def _way(part: str, way: WayUp) -> Json:
    return {
        "pose": _pose(part, way.angles),
        "angles_rad": list(way.angles),
        "air_l": way.air_l,
        "carry_out_l": way.carry_out_l,
        "one_degree_off_l": way.off_l,
    }


def _map(chart: PocketMap) -> Json:
    data: Json = {
        "tilt_deg": _degrees(chart.tilts_rad),
        "roll_deg": _degrees(chart.rolls_rad),
        "air_l": chart.air_l.tolist(),
        "carry_out_l": chart.carry_out_l.tolist(),
    }
    return data if chart.fits is None else data | {"fits": chart.fits.tolist()}


def _degrees(angles_rad: Floats) -> list[float]:
    degrees: list[float] = (angles_rad / RAD_PER_DEGREE).tolist()
    return degrees


def from_dict(data: Mapping[str, object], _shop: Shop) -> PocketAnswer:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    part = text_of(data, "part")
    given_rows(data, "notes")
    return PocketAnswer(
        part=part,
        tank=text_of(data, "tank") if "tank" in data else None,
        angles=_read_angles(data, part),
        held=_read_sums(data),
        off_l=number(data, "one_degree_off_l"),
        sealed_l=number(data, "sealed_l"),
        holes=(
            *_read_holes(data, "bleed_holes", "air", "air_left_l"),
            *_read_holes(data, "drain_holes", "liquid", "carry_out_left_l"),
        ),
        map=_read_map(data) if "map" in data else None,
        best=_read_way(data, part) if "best" in data else None,
        notes=texts(data, "notes"),
    )


def _read_sums(data: Mapping[str, object]) -> Held:
    """Read the pockets, and refuse sums beside them that are not theirs."""
    held = read_held(data)
    for key, value in held_json(held).items():
        if key == "pockets":
            continue
        if not math.isclose(number(data, key), value, rel_tol=SAME_SUM, abs_tol=SAME_SUM):
            raise Refused(f"{key} is not the sum of the pockets", _AS_WRITTEN)
    return held


def _read_angles(data: Mapping[str, object], part: str) -> Angles:
    """Read angles, and refuse a pose beside them that is another."""
    angles = Angles(*read_place(data, "angles_rad"))
    pose = read_pose(data, "pose")
    turned = np.abs(pose.rotation - rotation_from(angles)).max() > SAME_TURN
    if turned or pose.shift_mm.any() or (pose.to_frame, pose.from_frame) != ("hung", f"part {part}"):
        raise Refused("pose is not that of its angles_rad", _AS_WRITTEN)
    return angles


def _read_holes(data: Mapping[str, object], key: str, kind: PocketKind, left: str) -> Iterator[Hole]:
    for row in given_rows(data, key):
        hole = mapping(row, key)
        yield Hole(kind, read_place(hole, "at_mm"), number(hole, "through_mm"), number(hole, left))


def _read_way(data: Mapping[str, object], part: str) -> WayUp:
    way = mapping(data["best"], "best")
    litres = (number(way, key) for key in ("air_l", "carry_out_l", "one_degree_off_l"))
    return WayUp(_read_angles(way, part), *litres)


def _read_map(data: Mapping[str, object]) -> PocketMap:
    chart = mapping(data["map"], "map")
    tilts, rolls = (_read_steps(chart, key) for key in ("tilt_deg", "roll_deg"))
    size = len(tilts), len(rolls)
    air, carried = (_read_grid(chart, key, size) for key in ("air_l", "carry_out_l"))
    return PocketMap(tilts, rolls, air, carried, _read_mask(chart, size) if "fits" in chart else None)


def _read_steps(chart: Mapping[str, object], key: str) -> Floats:
    degrees = numbers(chart, key)
    if degrees.ndim != 1 or not len(degrees) or not np.isfinite(degrees).all():
        raise Refused(f"{key} is missing or is not a list of numbers", _AS_WRITTEN)
    return np.array([radians_of(each) for each in degrees.tolist()])


def _read_grid(chart: Mapping[str, object], key: str, size: tuple[int, int]) -> Floats:
    litres = numbers(chart, key)
    if litres.shape != size or not np.isfinite(litres).all():
        raise Refused(f"{key} is missing or has no number for each tilt and roll", _AS_WRITTEN)
    return litres


def _read_mask(chart: Mapping[str, object], size: tuple[int, int]) -> Mask:
    table = rows(chart, "fits")
    cells = [cell for row in table if isinstance(row, list) for cell in row]
    widths = [len(row) if isinstance(row, list) else 0 for row in table]
    if widths != [size[1]] * size[0] or not all(isinstance(cell, bool) for cell in cells):
        raise Refused("fits has no true or false for each tilt and roll", _AS_WRITTEN)
    return np.array(cells, dtype=bool).reshape(size)
