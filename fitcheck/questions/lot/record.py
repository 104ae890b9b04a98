"""Loads to JSON and back: lengths in mm, volumes in litres, masses in kg, angles in degrees."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from fitcheck.questions.lot.answer import LeftOut, Lot, LotAnswer, LotPart, LotWork
from fitcheck.things.answer import Verdict
from fitcheck.things.records import pose_json, read_pose, row_json
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused
from fitcheck.words.json_values import Json, choice, given_rows, mapping, number, text_of, texts, whole_number


def to_dict(answer: LotAnswer) -> Json:
    """Return one answer as JSON."""
    return {
        "verdict": answer.verdict,
        "lots": [one_lot_json(lot) for lot in answer.lots],
        "at_least_lots": answer.at_least_lots,
        "works": [row_json(work) for work in answer.works],
        "left_out": [row_json(each) for each in answer.left_out],
    }


def from_dict(data: Mapping[str, object], _shop: Shop) -> LotAnswer:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    return LotAnswer(
        tuple(lot_from_json(row) for row in tables(data, "lots")),
        tuple(_work(row) for row in tables(data, "works")),
        left_out_from_json(data),
        whole_number(data, "at_least_lots"),
        read_verdict(data),
    )


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


def lot_from_json(row: Mapping[str, object]) -> Lot:
    """Return one load that was told; raises `Refused`, naming the key, for anything else."""
    figures = ("level_mm", "rise_mm", "liquid_l", "air_l", "wet_kg")
    level, rise, liquid, air, wet = (number(row, key) for key in figures)
    parts = tuple(_read_part(each) for each in tables(row, "parts"))
    if not parts:
        raise Refused("parts of a load is empty", "give the answer as fitcheck wrote it")
    gap = number(row, "gap_mm") if "gap_mm" in row else None
    return Lot(text_of(row, "work"), text_of(row, "tank"), parts, level, rise, liquid, air, wet, gap)


def _read_part(row: Mapping[str, object]) -> LotPart:
    hook = number(row, "hook_mm") if "hook_mm" in row else None
    return LotPart(text_of(row, "part"), whole_number(row, "number"), read_pose(row, "pose"), hook)


def _work(row: Mapping[str, object]) -> LotWork:
    lots, at_least = whole_number(row, "lots"), whole_number(row, "at_least")
    return LotWork(text_of(row, "name"), names(row, "tanks"), lots, at_least, names(row, "steps"))


def left_out_from_json(data: Mapping[str, object]) -> tuple[LeftOut, ...]:
    """Return what was told to be left out."""
    return tuple(
        LeftOut(
            text_of(row, "part"),
            whole_number(row, "count"),
            text_of(row, "work"),
            read_verdict(row),
            text_of(row, "why"),
        )
        for row in tables(data, "left_out")
    )


def read_verdict(data: Mapping[str, object]) -> Verdict:
    """Return one of the four verdicts."""
    return cast(Verdict, choice(data, "verdict", LeftOut))


def tables(data: Mapping[str, object], key: str) -> tuple[Mapping[str, object], ...]:
    """Return a list of tables that must be there."""
    return tuple(mapping(row, f"a row of {key}") for row in given_rows(data, key))


def names(data: Mapping[str, object], key: str) -> tuple[str, ...]:
    """Return a list of texts that must be there."""
    given_rows(data, key)
    return texts(data, key)
