"""A day to JSON and back: times in seconds from the start of the day, lengths in mm."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping

from fitcheck.questions.day.answer import DayAnswer, DayLoad, Visit
from fitcheck.questions.lot.record import (
    left_out_from_json,
    lot_from_json,
    names,
    one_lot_json,
    read_verdict,
    tables,
)
from fitcheck.things.crew import Crew
from fitcheck.things.records import row_json
from fitcheck.things.shop import Shop
from fitcheck.words.json_values import Json, given_rows, mapping, number, text_of, whole_number


def to_dict(answer: DayAnswer) -> Json:
    """Return one answer as JSON; what a load takes of its rails is absent where it is on none."""
    return {
        "verdict": answer.verdict,
        "finish_s": answer.finish_s,
        "at_least_s": answer.at_least_s,
        "crew": row_json(answer.crew),
        "loads": [
            {
                "parts": [{"part": name, "number": count} for name, count in load.parts],
                "visits": [_visit_json(visit) for visit in load.visits],
                "lots": [one_lot_json(lot) for lot in load.lots],
            }
            for load in answer.loads
        ],
        "left_out": [row_json(each) for each in answer.left_out],
    }


def _visit_json(visit: Visit) -> Json:
    data = {**dataclasses.asdict(visit), "places": list(visit.places), "taken_um": list(visit.taken_um)}
    return {key: value for key, value in data.items() if key != "taken_um" or visit.taken_um}


def from_dict(data: Mapping[str, object], _shop: Shop) -> DayAnswer:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    crew = mapping(data.get("crew"), "crew")
    hours = number(crew, "hours_s") if "hours_s" in crew else None
    people, each = whole_number(crew, "people"), whole_number(crew, "people_per_load")
    return DayAnswer(
        Crew(people, each, number(crew, "transfer_s"), number(crew, "start_s"), hours),
        tuple(_load(row) for row in tables(data, "loads")),
        whole_number(data, "at_least_s"),
        left_out_from_json(data),
        whole_number(data, "finish_s"),
        read_verdict(data),
    )


def _load(row: Mapping[str, object]) -> DayLoad:
    return DayLoad(
        tuple((text_of(each, "part"), whole_number(each, "number")) for each in tables(row, "parts")),
        tuple(_visit(each) for each in tables(row, "visits")),
        tuple(lot_from_json(each) for each in tables(row, "lots")),
    )


def _visit(row: Mapping[str, object]) -> Visit:
    enter, out, free = (whole_number(row, key) for key in ("enter_s", "out_s", "free_s"))
    taken = given_rows(row, "taken_um") if "taken_um" in row else ()
    amounts = tuple(whole_number({"taken_um": each}, "taken_um") for each in taken)
    return Visit(text_of(row, "step"), names(row, "places"), enter, out, free, amounts)
