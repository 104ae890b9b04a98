"""The answer to `day` as JSON, and read back: times in seconds from the start of the day."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping

from fitcheck.questions.day.answer import DayAnswer, DayLoad, Visit
from fitcheck.questions.lot.answer import LeftOut
from fitcheck.questions.lot.record import lot_from_json, one_lot_json
from fitcheck.things.crew import Crew
from fitcheck.things.records import row_json
from fitcheck.words.json_values import Json, choice, mapping, number, rows, text_of, texts


def day_json(answer: DayAnswer) -> Json:
    """Return one answer as JSON."""
    return {
        "verdict": answer.verdict,
        "finish_s": answer.finish_s,
        "at_least_s": answer.at_least_s,
        "crew": row_json(answer.crew),
        "loads": [
            {
                "parts": [{"part": name, "number": count} for name, count in load.parts],
                "visits": [
                    {**dataclasses.asdict(visit), "places": list(visit.places)} for visit in load.visits
                ],
                "lots": [one_lot_json(lot) for lot in load.lots],
            }
            for load in answer.loads
        ],
        "left_out": [row_json(each) for each in answer.left_out],
        "cautions": list(answer.cautions),
    }


def is_day(data: object) -> bool:
    """Tell whether this is an answer of `day`."""
    return isinstance(data, dict) and "crew" in data and "loads" in data


def day_from_json(data: object) -> DayAnswer:
    """Return the day that was told; raises `Refused`, naming the key, for anything else."""
    whole = mapping(data, "the answer")
    crew = mapping(whole.get("crew"), "crew")
    hours = number(crew, "hours_s") if "hours_s" in crew else None
    people, each = int(number(crew, "people")), int(number(crew, "people_per_load"))
    return DayAnswer(
        Crew(people, each, number(crew, "transfer_s"), number(crew, "start_s"), hours),
        tuple(_load(mapping(row, "loads")) for row in rows(whole, "loads")),
        int(number(whole, "at_least_s")),
        tuple(_left_out(mapping(row, "left_out")) for row in rows(whole, "left_out")),
    )


def _load(row: Mapping[str, object]) -> DayLoad:
    pieces = [mapping(each, "parts") for each in rows(row, "parts")]
    return DayLoad(
        tuple((text_of(each, "part"), int(number(each, "number"))) for each in pieces),
        tuple(_visit(mapping(each, "visits")) for each in rows(row, "visits")),
        tuple(lot_from_json(mapping(each, "lots")) for each in rows(row, "lots")),
    )


def _visit(row: Mapping[str, object]) -> Visit:
    enter, out, free = (int(number(row, key)) for key in ("enter_s", "out_s", "free_s"))
    return Visit(text_of(row, "step"), texts(row, "places"), enter, out, free)


def _left_out(row: Mapping[str, object]) -> LeftOut:
    return LeftOut(
        text_of(row, "part"),
        int(number(row, "count")),
        text_of(row, "work"),
        choice(row, "verdict", LeftOut),
        text_of(row, "why"),
    )
