"""Level-and-volume readings of a water test: a CSV file, or typed as "100 mm = 90 L, 200 mm = 181 L"."""

from __future__ import annotations

import csv
from pathlib import Path

from fitcheck.files.shop_file import shop_text
from fitcheck.things.reading import Reading
from fitcheck.words.errors import Fault, InputFault, Refused
from fitcheck.words.units import read_length, read_volume


def read_readings(given: str) -> tuple[Reading, ...]:
    """Return the readings; raise `InputFault` with every one that cannot be read.

    A file has a line for each reading, level and volume with their units; a first line of plain words is a
    heading.
    """
    if "=" not in given and any(char.isdigit() for char in given) and not Path(given).suffix:
        cure = 'write "100 mm = 90 L, 200 mm = 181 L", or name a CSV file'
        raise InputFault([Fault("--pairs", f'there is no = in "{given}"', cure)])
    if "=" in given:
        rows = [(f"reading {k + 1}", pair.split("=")) for k, pair in enumerate(given.split(","))]
    else:
        lines = shop_text(Path(given)).splitlines()
        cells = [(f"{Path(given).name}, line {k + 1}", row) for k, row in enumerate(csv.reader(lines)) if row]
        rows = cells[1:] if cells and not any(c.isdigit() for c in "".join(cells[0][1])) else cells
    faults: list[Fault] = []
    found: list[Reading] = []
    for place, row in rows:
        try:
            found.append(_reading(row))
        except Refused as refused:
            faults.append(Fault(place, refused.problem, refused.cure))
    if faults:
        raise InputFault(faults)
    return tuple(found)


def _reading(row: list[str]) -> Reading:
    if len(row) != 2:
        raise Refused(f"{len(row)} values where a level and a volume belong", 'write "100 mm = 90 L"')
    return Reading(read_length(row[0].strip()), read_volume(row[1].strip()))
