"""Readers of single values of a shop file: quantities, numbers, and the names of files beside it."""

from __future__ import annotations

from pathlib import Path, PurePosixPath, PureWindowsPath

from fitcheck.files.toml_table import Reader, amount, spoken
from fitcheck.words.errors import Refused
from fitcheck.words.units import RAD_PER_DEGREE, read_angle, read_density, read_length, read_mass, read_volume

POINT = '["0 in", "0 in", "0 in"]'

# A thousand parts take about 200 kB; a shop file far larger is something else, and slow to find out about.
LARGEST_BYTES = 4_000_000
# More pieces of one part than this is a slip of the pen, and would only be told as an endless wait.
_MOST_PIECES = 10_000
# Plain numbers in a shop file are ratios.
_LARGEST_NUMBER = 1e6

any_length = amount(read_length)


def length_from_zero(value: object) -> float:
    """Read a length of 0 or more, in mm."""
    return _not_below_zero(value, any_length(value))


def length_above_zero(value: object) -> float:
    """Read a length above 0, in mm."""
    return _above_zero(value, any_length(value))


def volume_from_zero(value: object) -> float:
    """Read a volume of 0 or more, in litres."""
    return _not_below_zero(value, amount(read_volume)(value))


def mass_above_zero(value: object) -> float:
    """Read a mass above 0, in kg."""
    return _above_zero(value, amount(read_mass)(value))


def density_above_zero(value: object) -> float:
    """Read a density above 0, in kg/l."""
    return _above_zero(value, amount(read_density)(value))


def angle_up_to(most_deg: float) -> Reader[float]:
    """Return a reader of an angle from 0 to `most_deg`, in radians."""

    def reader(value: object) -> float:
        angle = _not_below_zero(value, amount(read_angle)(value))
        if angle > most_deg * RAD_PER_DEGREE:
            raise Refused(f"{spoken(value)} is beyond {most_deg:g} deg", f"write {most_deg:g} deg or less")
        return angle

    return reader


def number(value: object) -> float:
    """Read a plain number."""
    if isinstance(value, int | float) and not isinstance(value, bool) and abs(value) <= _LARGEST_NUMBER:
        return float(value)
    raise Refused(
        f"{spoken(value)} is not a number of use here", "write it without quotes or a unit, as in 1.03"
    )


def count_from(least: int) -> Reader[int]:
    """Return a reader of a whole number of pieces, from `least` up."""

    def reader(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= _MOST_PIECES:
            cure = f"write a whole number, {least} to {_MOST_PIECES}, without quotes"
            raise Refused(f"{spoken(value)} is not a number of pieces", cure)
        return value

    return reader


def yes_or_no(value: object) -> bool:
    """Read true or false."""
    if not isinstance(value, bool):
        raise Refused(f"{spoken(value)} is neither true nor false", "write true or false without quotes")
    return value


def file_in(folder: Path) -> Reader[Path]:
    """Return a reader of the name of a file in `folder` or in a folder inside it."""

    def reader(value: object) -> Path:
        if not isinstance(value, str) or not value.strip() or not value.isprintable():
            raise Refused(f"{spoken(value)} is not the name of a file", 'write it as in "bracket.stl"')
        name = value
        outside = (
            PurePosixPath(name).is_absolute() or PureWindowsPath(name).anchor or ".." in Path(name).parts
        )
        path = folder / name
        if outside or not path.resolve().is_relative_to(folder.resolve()):
            raise Refused(f"{spoken(name)} is outside the folder of the shop file", "put the file beside it")
        if "\\" in name and not path.exists():
            right = name.replace("\\", "/")
            raise Refused(f"{spoken(name)} has a \\ in it", f'write / between folders, as in "{right}"')
        return path

    return reader


def _above_zero(value: object, read: float) -> float:
    if not read > 0.0:
        raise Refused(f"{spoken(value)} is not above 0", "write more than 0")
    return read


def _not_below_zero(value: object, read: float) -> float:
    if not read >= 0.0:
        raise Refused(f"{spoken(value)} is below 0", "write 0 or more")
    return read
