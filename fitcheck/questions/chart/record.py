"""A chart as JSON and back: mm, degrees; a list of its rows."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from fitcheck.questions.chart.answer import Chart, ChartRow
from fitcheck.things.answer import Answer
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused
from fitcheck.words.json_values import Json, choice, number, text_of, without_absent
from fitcheck.words.units import RAD_PER_DEGREE, radians_of


def to_dict(answer: Chart | ChartRow) -> Json | list[Json]:
    """Return a row, or a chart as the list of its rows; what has no value in a row is absent."""
    if isinstance(answer, Chart):
        return [row_dict(row) for row in answer.rows]
    return row_dict(answer)


def row_dict(row: ChartRow) -> Json:
    """Return a row as JSON."""
    told = {
        "part": row.part,
        "tank": row.tank,
        "verdict": row.verdict,
        "spare_mm": row.spare_mm,
        "spare_at_most_mm": row.spare_at_most_mm,
        "tilt_deg": None if row.tilt_rad is None else row.tilt_rad / RAD_PER_DEGREE,
        "least_level_mm": row.least_level_mm,
    }
    return without_absent(told)


def from_dict(data: Mapping[str, object], _shop: Shop) -> ChartRow:
    """Return the row that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    return ChartRow(
        part=text_of(data, "part"),
        tank=text_of(data, "tank"),
        verdict=choice(data, "verdict", ChartRow),
        # A bound that is infinite (nothing was found, or proven) is absent.
        spare_mm=number(data, "spare_mm", absent=-math.inf),
        spare_at_most_mm=number(data, "spare_at_most_mm", absent=math.inf),
        tilt_rad=radians_of(number(data, "tilt_deg")) if "tilt_deg" in data else None,
        least_level_mm=number(data, "least_level_mm") if "least_level_mm" in data else None,
    )


def from_rows(rows: Sequence[Answer]) -> Chart:
    """Return the chart that has these rows; raises `Refused` for none, and for other answers."""
    found = tuple(row for row in rows if isinstance(row, ChartRow))
    if not found or len(found) != len(rows):
        raise Refused("the answer is a list and no chart", "give answers to other questions one by one")
    return Chart(found)
