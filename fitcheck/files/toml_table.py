"""Readers of the tables of a TOML file that note every fault with its place."""

from __future__ import annotations

import difflib
import json
import re
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

from fitcheck.files.toml_places import TomlPath, line_of, lines_of
from fitcheck.words.errors import Fault, InputFault, Refused
from fitcheck.words.units import quoted

T = TypeVar("T")
Word = TypeVar("Word", bound=str)
Reader = Callable[[object], T]

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")


class Ledger:
    """The faults found so far in one file."""

    def __init__(self, file_name: str, text: str, data: dict[str, object]) -> None:
        self._file_name = file_name
        self._text = text
        self._data = data
        self._found: dict[tuple[TomlPath, str, str], None] = {}

    def note(self, path: TomlPath, problem: str, cure: str) -> None:
        """Add one fault at `path`; what is read twice is told once."""
        self._found[path, problem, cure] = None

    def __contains__(self, path: TomlPath) -> bool:
        return any(at == path for at, _, _ in self._found)

    def found_under(self, path: TomlPath) -> bool:
        """Return whether a fault has been noted at `path` or inside it."""
        return any(at[: len(path)] == path for at, _, _ in self._found)

    def close(self) -> None:
        """Raise `InputFault` with all faults in the order of the file; do nothing where there are none."""
        if not self._found:
            return
        lines = lines_of(self._text)
        found = sorted(self._found, key=lambda fault: line_of(fault[0], lines))
        raise InputFault(
            Fault(f"{self._file_name}, line {line_of(path, lines)}{self._label(path)}", problem, cure)
            for path, problem, cure in found
        )

    def _label(self, path: TomlPath) -> str:
        """Return ", [parts.boom] size, item 2" for ("parts", "boom", "size", 1)."""
        value: object = self._data
        table: TomlPath = ()
        for i, step in enumerate(path):
            value = value[step]  # type: ignore[index]  # a path only ever leads through tables and arrays
            if isinstance(value, dict):
                table = path[: i + 1]
        heading = _dotted(table)
        rest = [f"item {step + 1}" if isinstance(step, int) else _key(step) for step in path[len(table) :]]
        label = " ".join(filter(None, (f"[{heading}]" if heading else "", ", ".join(rest))))
        return f", {label}" if label else ""


def _key(name: str) -> str:
    return name if _BARE_KEY.fullmatch(name) else json.dumps(name)


def _dotted(path: TomlPath) -> str:
    """Return the name of a table as its heading has it; a table in an array has its number after it."""
    steps = (f" {step + 1}" if isinstance(step, int) else f".{_key(step)}" for step in path)
    return "".join(steps).removeprefix(".")


@dataclass(frozen=True, slots=True)
class Entry:
    """One value in the file, with its place."""

    value: object
    path: TomlPath
    ledger: Ledger

    def fault(self, problem: str, cure: str) -> None:
        """Note a fault here."""
        self.ledger.note(self.path, problem, cure)

    def read(self, reader: Reader[T]) -> T | None:
        """Return the value as `reader` gives it, or note why not and return None."""
        return attempt(self, lambda: reader(self.value))

    def items(self, example: str) -> tuple[Entry, ...]:
        """Return the items of an array; note a fault and return none where it is not one."""
        if not isinstance(self.value, list):
            self.fault(f"{spoken(self.value)} is not a list", f"write {example}")
            return ()
        return tuple(Entry(item, (*self.path, i), self.ledger) for i, item in enumerate(self.value))

    def read_all(self, reader: Reader[T], how_many: int, example: str) -> tuple[T, ...] | None:
        """Return exactly `how_many` items as `reader` gives them; None where any has a fault."""
        items = self.items(example)
        if isinstance(self.value, list) and len(items) != how_many:
            self.fault(f"{len(items)} values where {how_many} are needed", f"write {example}")
            return None
        read = [item.read(reader) for item in items]
        whole = tuple(value for value in read if value is not None)
        return whole if len(whole) == how_many else None

    def table(self) -> Table | None:
        """Return the value as a table; note a fault and return None where it is not one."""
        if isinstance(self.value, dict):
            return Table(self.value, self.path, self.ledger)
        name = _dotted(self.path)
        self.fault(
            f"{spoken(self.value)} stands where a table is expected", f"write [{name}] and keys under it"
        )
        return None


@dataclass(frozen=True, slots=True)
class Table:
    """One table of the file."""

    values: dict[str, object]
    path: TomlPath
    ledger: Ledger

    def __contains__(self, key: str) -> bool:
        return key in self.values

    @property
    def name(self) -> str:
        """The last word of its heading: "boom" of [parts.boom]."""
        return str(self.path[-1])

    def fault(self, problem: str, cure: str) -> None:
        """Note a fault of the table as a whole."""
        self.ledger.note(self.path, problem, cure)

    def entry(self, key: str) -> Entry:
        """Return the value under `key`, which must be there."""
        return Entry(self.values[key], (*self.path, key), self.ledger)

    def read(self, key: str, reader: Reader[T]) -> T | None:
        """Return the value under `key` as `reader` gives it; None where it is absent or has a fault."""
        return self.entry(key).read(reader) if key in self.values else None

    def need(self, key: str, example: str) -> Entry | None:
        """Return the value under `key`, or note that it is missing."""
        if key in self.values:
            return self.entry(key)
        if not self.misspells(key):
            self.fault(f"{key} is missing", f"write {key} = {example}")
        return None

    def misspells(self, key: str) -> bool:
        """Return whether a key that was refused looks like this one: then it is not missing."""
        refused = [other for other in self.values if (*self.path, other) in self.ledger]
        return bool(difflib.get_close_matches(key, refused, n=1))

    def only(self, known: Collection[str], owner: str) -> None:
        """Note every key that is not one of `known`, with the nearest that is. `owner` is what has keys."""
        for key in self.values:
            if key not in known:
                self.entry(key).fault(f"{owner} has no key {quoted(key)}", nearest(key, known))

    def has_fault(self, key: str) -> bool:
        """Return whether a fault has been noted at this key or inside it."""
        return self.ledger.found_under((*self.path, key))

    def table(self, key: str) -> Table | None:
        """Return the table under `key`; None where it is absent or not a table."""
        return self.entry(key).table() if key in self.values else None

    def tables(self, key: str) -> tuple[Table, ...]:
        """Return the tables under `key`, as [parts.a] and [parts.b] under "parts"; none where it is absent.

        Their names are checked too.
        """
        group = self.table(key)
        if group is None:
            return ()
        found = tuple(table for name in group.values if (table := group.table(name)) is not None)
        for table in found:
            attempt(table, partial(name_of, table.name))
        return found

    def rows(self, key: str) -> tuple[Table, ...]:
        """Return the tables of the array under `key`, as [[tanks.a.fittings]]; none where it is absent."""
        if key not in self.values:
            return ()
        found = (
            item.table()
            for item in self.entry(key).items(f"[[{_dotted((*self.path, key))}]] and keys under it")
        )
        return tuple(table for table in found if table is not None)


def attempt(place: Entry | Table, action: Callable[[], T]) -> T | None:
    """Return what `action` gives, or note at `place` why it refused and return None."""
    try:
        return action()
    except Refused as refused:
        place.fault(refused.problem, refused.cure)
        return None


def nearest(word: str, known: Collection[str]) -> str:
    """Return the cure for an unknown word: the nearest known one, or all of them."""
    near = difflib.get_close_matches(word.lower(), known, n=1)
    if near:
        return f"did you mean {near[0]}?"
    return f"write one of {', '.join(known)}" if known else "there are none in this file"


def spoken(value: object) -> str:
    """Return a value of the file as a message names it, on one short line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    return _written(value)


def _written(value: object) -> str:
    """Return a number or a date as text; one of a thousand digits is only named."""
    # Python refuses to write out a whole number of more than 4300 digits, and a double ends at 1e308.
    too_long = isinstance(value, int) and abs(value) > 10**18
    return "a very large number" if too_long else str(value)


def one_of(choices: Sequence[Word]) -> Reader[Word]:
    """Return a reader of one of some words."""

    def reader(value: object) -> Word:
        for choice in choices:
            if value == choice:
                return choice
        cure = nearest(value, choices) if isinstance(value, str) else f"write one of {', '.join(choices)}"
        raise Refused(f"{spoken(value)} is not known here", cure)

    return reader


def amount(read: Callable[[str], T]) -> Reader[T]:
    """Return a reader of a quantity with its unit from one of `units.read_*`."""

    def reader(value: object) -> T:
        if isinstance(value, int | float) and not isinstance(value, bool):
            return read(_written(value))
        if not isinstance(value, str):
            raise Refused(
                f"{spoken(value)} is not a quantity with its unit", 'write it in quotes, as in "4 in"'
            )
        return read(value)

    return reader


def name_of(value: object) -> str:
    """Read a name: a line of text."""
    if not isinstance(value, str):
        raise Refused(f"{spoken(value)} is not a name", "write it in quotes")
    if not value.strip() or value != value.strip() or not value.isprintable() or len(value) > 80:
        raise Refused(
            f"{quoted(value)} cannot be a name",
            "use one line of at most 80 characters, without blanks at its ends",
        )
    return value
