"""The chart as comma-separated values (RFC 4180): mm and degrees, a row for each part in each tank."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path

from fitcheck.files.written import check_place, write_bytes
from fitcheck.questions.chart.answer import COLUMNS, ChartRow
from fitcheck.questions.chart.record import row_dict
from fitcheck.words.errors import Refused

HEADS = COLUMNS


def chart_csv(rows: Sequence[ChartRow]) -> str:
    """Return the rows as CSV; what has no value in a row is empty."""
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, HEADS, restval="", lineterminator="\r\n")
    writer.writeheader()
    for row in rows:
        writer.writerow({head: _safe(value) for head, value in row_dict(row).items()})
    return text.getvalue()


def write_csv(path: Path, rows: Sequence[ChartRow]) -> None:
    """Write the chart to a file, whole or not at all.

    Raises `Refused` where a file is there that is no such chart, and where the disk does not take it.
    """
    check_csv(path)
    write_bytes(path, chart_csv(rows).encode("utf-8"))


def check_csv(path: Path) -> None:
    """Refuse a place where a chart could not be written, before any work is done for it."""
    if path.suffix.lower() != ".csv":
        raise Refused(f"{path}: is no CSV file by its name", "end it in .csv")
    check_place(path)
    if path.exists() and not path.read_bytes().startswith(",".join(HEADS).encode("utf-8")):
        raise Refused(f"{path}: is there and is no chart", "move it away or name another file")


def _safe(value: object) -> object:
    """Return a value that no spreadsheet takes for a formula (OWASP, CSV Injection)."""
    if isinstance(value, str) and value[:1] in "=+-@\t\r":
        return f"'{value}"
    return value
