"""The answer to `pass` as JSON: mm, litres, m2, degrees, N."""

from __future__ import annotations

from fitcheck.rim.files.answer_json import Json, pose_json, row_json
from fitcheck.things.passes import AtLeast, NeverWet, Pass, PassAnswer, Window
from fitcheck.things.springing import Sprung
from fitcheck.words.units import RAD_PER_DEGREE


def pass_json(answer: PassAnswer) -> Json:
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
    return {**data, "cautions": list(answer.cautions)}


def _pass(each: Pass) -> Json:
    return {
        "pose": pose_json(each.pose),
        "level_mm": each.level_mm,
        "covers": each.covers,
        "wet_m2": each.wet_m2,
        "lowest_mm": each.lowest_mm,
        "highest_mm": each.highest_mm,
        "held_by": each.held_by,
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
