"""The answer to `lot` as JSON: lengths in mm, volumes in litres, masses in kg, angles in degrees."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fitcheck.questions.ladder.answer import Build, Built
from fitcheck.questions.lot.answer import Lot, LotAnswer, LotPart
from fitcheck.things.records import pose_json, read_pose, row_json
from fitcheck.things.stock import Piece
from fitcheck.words.errors import Refused
from fitcheck.words.json_values import Json, mapping, number, numbers, rows, text_of


def lot_json(answer: LotAnswer) -> Json:
    """Return one answer as JSON."""
    return {
        "verdict": answer.verdict,
        "lots": [one_lot_json(lot) for lot in answer.lots],
        "at_least_lots": answer.at_least_lots,
        "works": [row_json(work) for work in answer.works],
        "left_out": [row_json(each) for each in answer.left_out],
        "cautions": list(answer.cautions),
    }


def one_lot_json(lot: Lot) -> Json:
    """Return one load; the gap is absent for a part alone."""
    data: Json = {
        "work": lot.work,
        "tank": lot.tank,
        "parts": [_part(each) for each in lot.parts],
        "level_mm": lot.level_mm,
        "rise_mm": lot.rise_mm,
        "liquid_l": lot.liquid_l,
        "air_l": lot.air_l,
        "wet_kg": lot.wet_kg,
        "gap_mm": lot.gap_mm,
    }
    return {key: value for key, value in data.items() if value is not None}


def _part(each: LotPart) -> Json:
    hook: Json = {} if each.hook_mm is None else {"hook_mm": each.hook_mm}
    return {"part": each.part, "number": each.number, "pose": pose_json(each.pose), **hook}


@dataclass(frozen=True, slots=True, eq=False)
class ToldLoad:
    """One load as it was told; of a ladder with its blocks, what is added, and what is then in the tank."""

    lot: Lot
    blocks: tuple[Piece, ...] = ()
    liquid_l: float | None = None
    add_l: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class ToldLoads:
    """An answer as it was told. left_out: part, work and count. bounds: what is proven for each work.

    mix_l: what is mixed for each work; empty for loads.
    """

    loads: tuple[ToldLoad, ...]
    left_out: tuple[tuple[str, str, int], ...]
    bounds: Mapping[str, float]
    total_bound: float
    mix_l: Mapping[str, float]


def is_loads(data: object) -> bool:
    """Tell whether this is an answer of `lot` or `ladder`."""
    return isinstance(data, dict) and ("lots" in data or ("steps" in data and "baths" in data))


def loads_from_json(data: object) -> ToldLoads:
    """Return the loads that were told; raises `Refused`, naming the key, for anything else."""
    whole = mapping(data, "the answer")
    left = tuple(_left_out(mapping(row, "left_out")) for row in rows(whole, "left_out"))
    if "lots" in whole:
        loads = tuple(ToldLoad(lot_from_json(mapping(row, "lots"))) for row in rows(whole, "lots"))
        works = [mapping(row, "works") for row in rows(whole, "works")]
        bounds = {text_of(row, "name"): number(row, "at_least") for row in works}
        return ToldLoads(loads, left, bounds, number(whole, "at_least_lots"), {})
    loads = tuple(_step(mapping(row, "steps")) for row in rows(whole, "steps"))
    baths = [mapping(row, "baths") for row in rows(whole, "baths")]
    bounds = {text_of(row, "work"): number(row, "bound_l") for row in baths}
    mix = {text_of(row, "work"): number(row, "mix_at_most_l") for row in baths}
    return ToldLoads(loads, left, bounds, number(whole, "bound_l"), mix)


def builds_from_json(data: object) -> tuple[Build, ...]:
    """Return the few blocks that a ladder was told to be done with; none where it is not."""
    whole = mapping(data, "the answer")
    return tuple(_build(mapping(row, "builds")) for row in rows(whole, "builds")) if "builds" in whole else ()


def _build(row: Mapping[str, object]) -> Build:
    blocks = [mapping(each, "blocks") for each in rows(row, "blocks")]
    built = tuple(Built(_three(each, "size_mm"), number(each, "mass_kg")) for each in blocks)
    mixed: Sequence[float] = numbers(row, "mix_at_most_l").tolist()
    return Build(text_of(row, "work"), text_of(row, "tank"), built, tuple(mixed))


def _step(row: Mapping[str, object]) -> ToldLoad:
    pieces = tuple(_piece(mapping(each, "blocks")) for each in rows(row, "blocks"))
    lot = lot_from_json(mapping(row.get("lot"), "lot"))
    return ToldLoad(lot, pieces, number(row, "liquid_l"), number(row, "add_l"))


def lot_from_json(row: Mapping[str, object]) -> Lot:
    """Return one load that was told; raises `Refused`, naming the key, for anything else."""
    figures = ("level_mm", "rise_mm", "liquid_l", "air_l", "wet_kg")
    level, rise, liquid, air, wet = (number(row, key) for key in figures)
    parts = tuple(_read_part(mapping(each, "parts")) for each in rows(row, "parts"))
    if not parts:
        raise Refused("a load has no parts", "give the answer as fitcheck wrote it")
    return Lot(text_of(row, "work"), text_of(row, "tank"), parts, level, rise, liquid, air, wet)


def _read_part(row: Mapping[str, object]) -> LotPart:
    hook = number(row, "hook_mm") if "hook_mm" in row else None
    return LotPart(text_of(row, "part"), int(number(row, "number")), read_pose(row, "pose"), hook)


def _piece(row: Mapping[str, object]) -> Piece:
    size, at = _three(row, "size_mm"), _three(row, "at_mm")
    if min(size) <= 0.0:
        raise Refused("size_mm of a block is not above 0", "give the answer as fitcheck wrote it")
    return Piece(size, at, number(row, "mass_kg"))


def _three(row: Mapping[str, object], key: str) -> tuple[float, float, float]:
    read: Sequence[float] = numbers(row, key).tolist()
    if len(read) != 3 or not all(isinstance(each, float) for each in read):
        raise Refused(f"{key} is not three numbers", "give the answer as fitcheck wrote it")
    return read[0], read[1], read[2]


def _left_out(row: Mapping[str, object]) -> tuple[str, str, int]:
    return text_of(row, "part"), text_of(row, "work"), int(number(row, "count"))
