"""A fill ladder to JSON and back: lengths in mm, volumes in litres, masses in kg, forces in N."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.questions.ladder.answer import Bath, Build, Built, LadderAnswer, LadderStep, Sums
from fitcheck.questions.lot.record import (
    left_out_from_json,
    lot_from_json,
    names,
    one_lot_json,
    read_verdict,
    tables,
)
from fitcheck.things.records import read_place, row_json
from fitcheck.things.shop import Shop
from fitcheck.things.stock import Piece
from fitcheck.words.errors import Refused
from fitcheck.words.json_values import Json, flag, given_rows, mapping, number, text_of


def to_dict(answer: LadderAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    data: Json = {
        "verdict": answer.verdict,
        "mix_at_most_l": answer.mix_at_most_l,
        "bound_l": answer.bound_l,
        "without_blocks_l": answer.without_blocks_l,
        "mixed_l": answer.mixed_l,
        "steps": [_step(step) for step in answer.steps],
        "baths": [row_json(bath) for bath in answer.baths],
        "builds": [_build(build) for build in answer.builds] or None,
        "left_out": [row_json(each) for each in answer.left_out],
    }
    return {key: value for key, value in data.items() if value is not None}


def from_dict(data: Mapping[str, object], _shop: Shop) -> LadderAnswer:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    mix, bound, without = (number(data, key) for key in ("mix_at_most_l", "bound_l", "without_blocks_l"))
    return LadderAnswer(
        tuple(_read_step(row) for row in tables(data, "steps")),
        tuple(_read_bath(row) for row in tables(data, "baths")),
        left_out_from_json(data),
        Sums(mix, bound, without, read_verdict(data)),
        number(data, "mixed_l") if "mixed_l" in data else None,
        tuple(_read_build(row) for row in tables(data, "builds")) if "builds" in data else (),
    )


def _step(step: LadderStep) -> Json:
    data: Json = {
        "work": step.work,
        "tank": step.tank,
        "lot": one_lot_json(step.lot),
        "blocks": [row_json(piece) for piece in step.blocks],
        "level_mm": step.level_mm,
        "liquid_l": step.liquid_l,
        "add_l": step.add_l,
        "without_l": step.without_l,
        "hold_down_n": step.hold_down_n,
        "can_do": step.can_do,
    }
    return {key: value for key, value in data.items() if value is not None}


def _build(build: Build) -> Json:
    return {
        "work": build.work,
        "tank": build.tank,
        "blocks": [row_json(block) for block in build.blocks],
        "mix_at_most_l": list(build.mix_l),
    }


def _read_step(row: Mapping[str, object]) -> LadderStep:
    figures = ("level_mm", "liquid_l", "add_l", "without_l", "hold_down_n")
    level, liquid, add, without, hold = (number(row, key) for key in figures)
    return LadderStep(
        text_of(row, "work"),
        text_of(row, "tank"),
        lot_from_json(mapping(row.get("lot"), "lot")),
        tuple(_read_piece(each) for each in tables(row, "blocks")),
        level,
        liquid,
        add,
        without,
        hold,
        flag(row, "can_do") if "can_do" in row else None,
    )


def _read_bath(row: Mapping[str, object]) -> Bath:
    mix, bound, without = (number(row, key) for key in ("mix_at_most_l", "bound_l", "without_blocks_l"))
    return Bath(text_of(row, "work"), names(row, "may_use"), names(row, "tanks"), mix, bound, without)


def _read_build(row: Mapping[str, object]) -> Build:
    blocks = tuple(Built(_size(each), number(each, "mass_kg")) for each in tables(row, "blocks"))
    mixed = tuple(
        number({"mix_at_most_l": each}, "mix_at_most_l") for each in given_rows(row, "mix_at_most_l")
    )
    if not mixed:
        raise Refused("mix_at_most_l of builds is empty", "give the answer as fitcheck wrote it")
    return Build(text_of(row, "work"), text_of(row, "tank"), blocks, mixed)


def _read_piece(row: Mapping[str, object]) -> Piece:
    return Piece(_size(row), read_place(row, "at_mm"), number(row, "mass_kg"))


def _size(row: Mapping[str, object]) -> tuple[float, float, float]:
    size = read_place(row, "size_mm")
    if min(size) <= 0.0:
        raise Refused("size_mm of a block is not above 0", "give the answer as fitcheck wrote it")
    return size
