"""The answer to `block` as JSON and back: mm, litres, N, kg."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from fitcheck.questions.block.answer import Bending, BlockAnswer, Design, FloorSag, TankLoad
from fitcheck.things.pose import Pose
from fitcheck.things.records import pose_json, read_pose, row_json
from fitcheck.things.shop import Shop
from fitcheck.things.stock import Ballast, Cut, CutSheet, Filling, Panel, Piece
from fitcheck.words.errors import Refused
from fitcheck.words.json_rows import AS_WRITTEN, check_agrees, row_list, row_of, rows_of
from fitcheck.words.json_values import Json, mapping, text_of, texts, without_absent


def to_dict(answer: BlockAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    data: Json = {
        "tank": answer.tank,
        "parts": list(answer.parts),
        "without_l": answer.without_l,
        "bound_l": answer.bound_l,
        "saves_share": answer.saves_share,
        "designs": [_design_json(design, answer.parts) for design in answer.designs],
        "load": {
            **row_json(answer.load),
            "floor_sags": [row_json(sag) for sag in answer.load.floor_sags],
        },
        "ways_tried": answer.ways_tried,
        "unbuilt": list(answer.unbuilt),
        "saves_money": _saved_money(answer),
        "price_per_l": answer.price_per_l,
    }
    return without_absent(data)


def from_dict(data: Mapping[str, object], _shop: Shop) -> BlockAnswer:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    parts = texts(data, "parts")
    if not parts:
        raise Refused("parts is missing or is empty", AS_WRITTEN)
    load = mapping(data.get("load"), "load")
    designs = row_list(data, "designs")
    answer = row_of(
        BlockAnswer,
        data,
        parts=parts,
        designs=tuple(_read_design(row, parts, f"designs[{k}]") for k, row in enumerate(designs)),
        load=row_of(TankLoad, load, "load", floor_sags=rows_of(FloorSag, load, "floor_sags", "load")),
    )
    check_agrees(data, "saves_money", _saved_money(answer))
    return answer


def _saved_money(answer: BlockAnswer) -> float | None:
    if answer.price_per_l is None or not answer.designs:
        return None
    return answer.designs[0].saves_l * answer.price_per_l


def _design_json(design: Design, parts: Sequence[str]) -> Json:
    data = {
        "kind": design.kind,
        "pieces": [row_json(piece) for piece in design.pieces],
        "pose": pose_json(design.pose),
        "poses": [
            {"part": name, "pose": pose_json(pose)} for name, pose in zip(parts, design.poses, strict=True)
        ],
        "level_mm": design.level_mm,
        "liquid_l": design.liquid_l,
        "saves_l": design.saves_l,
        "uplift_n": design.uplift_n,
        "hold_down_n": design.hold_down_n,
        "ballast_kg": design.ballast_kg,
        "thrust_n": design.thrust_n,
        "empty_mass_kg": design.empty_mass_kg,
        "lifts_at_mm": design.lifts_at_mm,
        "metacentre_mm": design.metacentre_mm,
        "bending": None if design.bending is None else row_json(design.bending),
        "ballast": None if design.ballast is None else row_json(design.ballast),
        "filling": [row_json(step) for step in design.filling],
        "reason": design.reason,
        "panels": [row_json(panel) for panel in design.panels],
        "sheets": [[row_json(cut) for cut in sheet.cuts] for sheet in design.sheets],
        "sheets_at_least": design.sheets_at_least,
    }
    return {key: value for key, value in data.items() if value is not None}


def _read_design(data: object, parts: Sequence[str], name: str) -> Design:
    row = mapping(data, name)
    design = row_of(
        Design,
        row,
        name,
        pieces=rows_of(Piece, row, "pieces", name),
        poses=_read_poses(row, parts, name),
        panels=rows_of(Panel, row, "panels", name),
        sheets=tuple(
            CutSheet(rows_of(Cut, {"cuts": cuts}, "cuts", f"{name}.sheets[{k}]"))
            for k, cuts in enumerate(row_list(row, "sheets", name))
        ),
        ballast=row_of(Ballast, row["ballast"], f"{name}.ballast") if "ballast" in row else None,
        filling=rows_of(Filling, row, "filling", name),
        bending=row_of(Bending, row["bending"], f"{name}.bending") if "bending" in row else None,
    )
    if not np.array_equal(read_pose(row, "pose").matrix, design.pose.matrix):
        raise Refused(f"{name}.pose is not that of the first part", AS_WRITTEN)
    return design


def _read_poses(data: Mapping[str, object], parts: Sequence[str], name: str) -> tuple[Pose, ...]:
    """Return the pose of each part in turn; there must be one for each of them, and of no other."""
    rows = [mapping(row, f"{name}.poses") for row in row_list(data, "poses", name)]
    if not rows or [text_of(row, "part") for row in rows] != list(parts):
        raise Refused(f"{name}.poses is not of the parts that are named in parts", AS_WRITTEN)
    return tuple(read_pose(row, "pose") for row in rows)
