"""Random small shops as files: shapes, tanks, rules, racks, in millimetres or in inches.

Every size is a whole number of sixteenths of an inch, 1.5875 mm, so that the same shop can be written in both
units without rounding.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

import numpy as np

from fitcheck.files.shop_file import shop_from
from fitcheck.things.shop import Shop

# A value is a length in sixteenths, a list of values, or a text that is written as it is.
Value = int | str | list["Value"]
Table = dict[str, Value]
Unit = Literal["mm", "in", "ft-in"]
UNITS: tuple[Unit, ...] = ("mm", "in", "ft-in")
FOOT, INCH = 192, 16
BOXY = ("block", "plate", "tube", "channel", "angle", "zee", "hat", "pan", "frame", "section", "wedge")
ROUND = ("pipe", "rod")
FACES = ("+x", "-x", "+y", "-y", "+z", "-z")


@dataclass(frozen=True, slots=True)
class Drawn:
    """A shop as tables: of each part and tank by name, and the rules."""

    rules: Table
    tanks: dict[str, Table]
    parts: dict[str, Table]
    blocks: dict[str, Table]

    def text(self, unit: Unit) -> str:
        """Return the shop file, its lengths in this unit."""
        lines = [f'[shop]\nshow = "{"mm" if unit == "mm" else "ft-in"}"', *_table("rules", self.rules, unit)]
        lines.append("[liquids.bath]\nspecific_gravity = 1.03")
        for name, table in self.tanks.items():
            lines += _table(f"tanks.{name}", table, unit)
            if name in self.blocks:
                lines += _table(f"[tanks.{name}.blocks]", self.blocks[name], unit)
        for name, table in self.parts.items():
            lines += _table(f"parts.{name}", table, unit)
        return "\n".join(lines) + "\n"

    def read(self, unit: Unit = "mm") -> Shop:
        """Return the shop that the file describes."""
        return shop_from(self.text(unit), Path("drawn.toml"))

    def roomier(self, by: list[int]) -> Drawn:
        """Return the shop with every tank longer, wider and deeper, and no block in the way."""
        tanks = {
            name: {**table, "inside": [a + b for a, b in zip(_sizes(table["inside"]), by, strict=True)]}
            for name, table in self.tanks.items()
        }
        return replace(self, tanks=tanks, blocks={})


def _sizes(value: Value) -> list[int]:
    assert isinstance(value, list)
    return [each for each in value if isinstance(each, int)]


def written(sixteenths: int, unit: Unit) -> str:
    """Return a length in quotes."""
    if unit == "mm":
        return f'"{sixteenths * 1.5875:.4f} mm"'
    if unit == "in":
        return f'"{sixteenths / 16:.4f} in"'
    feet, rest = divmod(sixteenths, FOOT)
    inches, sixteenth = divmod(rest, INCH)
    return f'"{feet} ft {inches} {sixteenth}/16 in"'


def _value(value: Value, unit: Unit) -> str:
    if isinstance(value, int):
        return written(value, unit)
    if isinstance(value, list):
        return f"[{', '.join(_value(each, unit) for each in value)}]"
    return value


def _table(name: str, table: Table, unit: Unit) -> list[str]:
    return [f"[{name}]", *(f"{key} = {_value(value, unit)}" for key, value in table.items())]


def drawn(seed: int) -> Drawn:
    """Return a random shop of one tank, T, and one or two parts, P and Q, that go in closely if at all."""
    rng = np.random.default_rng(seed)
    inside = [_n(rng, 2 * FOOT, 9 * FOOT), _n(rng, 10 * INCH, 3 * FOOT), _n(rng, 10 * INCH, 3 * FOOT)]
    tank: Table = {"inside": list(inside), "liquid": '"bath"'}
    if rng.random() < 0.15:
        tank["fillet"] = _n(rng, 4, 40)
    if rng.random() < 0.7:
        tank["rim_height"] = inside[2] + _n(rng, 1, FOOT)
        tank["hook_height"] = inside[2] + _n(rng, 3 * FOOT, 12 * FOOT)
    rules: Table = {
        "side_clearance": _n(rng, 0, 20),
        "bottom_clearance": _n(rng, 0, 40),
        "cover": _n(rng, 0, 40),
        "freeboard": _n(rng, 0, 64),
        "part_gap": _n(rng, 0, 32),
        "overlap": _n(rng, 0, 64),
        "tape_part": int(rng.choice([0, 1, 1])),
        "tape_tank": int(rng.choice([0, 1, 2])),
    }
    names = ["P", "Q"][: int(rng.integers(1, 3))]
    blocks = {"T": _block(rng, inside)} if rng.random() < 0.2 and "fillet" not in tank else {}
    return Drawn(rules, {"T": tank}, {name: _part(rng, inside) for name in names}, blocks)


def _n(rng: np.random.Generator, low: int, high: int) -> int:
    return int(rng.integers(low, high + 1))


def _block(rng: np.random.Generator, inside: list[int]) -> Table:
    size = [max(int(n * rng.uniform(0.1, 0.5)), 1) for n in inside]
    at = [int(rng.integers(0, n - s + 1)) for n, s in zip(inside, size, strict=True)]
    return {"size": list(size), "at": [at[0], at[1], 0]}


def _part(rng: np.random.Generator, inside: list[int]) -> Table:
    """Return a part about as large as the tank, longest along x mostly."""
    share = rng.choice([0.4, 0.9, 1.0, 1.1], 3) * rng.uniform(0.7, 1.05, 3)
    size = [max(int(n * s), 24) for n, s in zip(inside, share, strict=True)]
    kind = str(rng.choice([*BOXY, *ROUND, "profile"]))
    # Sheet is thin, and walls leave a space within.
    if kind in {"plate", "pan", "frame"}:
        size[2] = max(size[2] // int(rng.integers(4, 30)), 6)
    table: Table = {"shape": f'"{kind}"'}
    if kind in BOXY:
        table["size"] = list(size)
        table |= _details(rng, kind, size)
        high = size[2]
    elif kind in ROUND:
        high = max(min(size[1], size[2]), 16)
        table |= {"diameter": high, "length": size[0]}
        if kind == "pipe":
            table |= {"wall": _n(rng, 1, high // 6), "ends": f'"{rng.choice(["open", "closed", "one"])}"'}
    else:
        high = size[2]
        points: list[Value] = [[0, 0], [size[1], 0], [size[1], high // 3], [size[1] // 3, high]]
        table |= {"length": size[0], "points": points}
    table |= {"metal": f'"{rng.choice(["aluminium", "steel", "brass"])}"'} | _limits(rng)
    if rng.random() < 0.5:
        x = _n(rng, size[0] // 8, size[0] // 3)
        y = (high if kind in ROUND else size[1]) // 2
        table["picks"] = [[x, y, high], [size[0] - x, y, high]]
    return table


def _details(rng: np.random.Generator, kind: str, size: list[int]) -> Table:
    if kind in {"block", "plate"}:
        return {}
    if kind == "wedge":
        return {"end_size": [size[1] // int(rng.integers(1, 4)), size[2] // int(rng.integers(1, 5))]}
    least = min(size[:2]) if kind == "frame" else min(size)
    more: Table = {"wall": _n(rng, 1, max(least // 6, 1))}
    if kind == "tube":
        more["ends"] = f'"{rng.choice(["open", "closed", "one"])}"'
    if kind == "section":
        more |= {"open": f'"{rng.choice(FACES[2:])}"', "baffles": f"{rng.integers(0, 3)}"}
    return more


def _limits(rng: np.random.Generator) -> Table:
    limits: Table = {"count": f"{rng.integers(1, 4)}"}
    for key, most in (("tilt", 90), ("roll", 180), ("swing", 180)):
        if rng.random() < 0.2:
            limits[f"{key}_at_most"] = f'"{rng.choice([0.0, 0.1, 0.3, 1.0]) * most:g} deg"'
    return limits
