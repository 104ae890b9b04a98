"""Catalogue of the shapes that a shop file may name: the keys of each, and its builder."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal, cast

from fitcheck.shapes.angle import angle
from fitcheck.shapes.block import block
from fitcheck.shapes.channel import channel
from fitcheck.shapes.frame import frame
from fitcheck.shapes.hat import hat
from fitcheck.shapes.pan import pan
from fitcheck.shapes.pipe import pipe
from fitcheck.shapes.plate import plate
from fitcheck.shapes.profile import profile
from fitcheck.shapes.rod import rod
from fitcheck.shapes.section import Face, section
from fitcheck.shapes.shape import Shape, Size
from fitcheck.shapes.tube import Ends, tube
from fitcheck.shapes.wedge import wedge
from fitcheck.shapes.zee import zee
from fitcheck.words.errors import Refused

Values = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a shape in the shop file.

    kind: "length"; "lengths" (how_many of them); "points" (a list of pairs of lengths, three or more);
    "choice" (one of `choices`); "count" (a whole number, 0 or more). zero: a length of 0 is allowed.
    """

    name: str
    kind: Literal["length", "lengths", "points", "choice", "count"]
    required: bool = True
    how_many: int = 0
    choices: tuple[str, ...] = ()
    zero: bool = False


_SIZE = Key("size", "lengths", how_many=3)
_WALL = Key("wall", "length")
_LENGTH = Key("length", "length")
_DIAMETER = Key("diameter", "length")
_ENDS = Key("ends", "choice", required=False, choices=("open", "closed", "one"))
_OPEN = Key("open", "choice", required=False, choices=("+x", "-x", "+y", "-y", "+z", "-z"))
_BAFFLES = Key("baffles", "count", required=False)

SHAPES: Mapping[str, tuple[Key, ...]] = MappingProxyType(
    {
        "block": (_SIZE,),
        "plate": (_SIZE,),
        "tube": (_SIZE, _WALL, _ENDS),
        "pipe": (_DIAMETER, _LENGTH, _WALL, _ENDS),
        "channel": (_SIZE, _WALL),
        "angle": (_SIZE, _WALL),
        "zee": (_SIZE, _WALL),
        "hat": (_SIZE, _WALL, Key("crown", "length", required=False)),
        "pan": (_SIZE, _WALL),
        "frame": (_SIZE, _WALL),
        "section": (_SIZE, _WALL, _OPEN, _BAFFLES),
        "rod": (_DIAMETER, _LENGTH),
        "wedge": (_SIZE, Key("end_size", "lengths", how_many=2, zero=True)),
        "profile": (Key("points", "points", how_many=3), _LENGTH),
    }
)


def build(shape_name: str, values: Values) -> Shape:
    """Return the shape of this name, from the values of its keys: lengths in mm, points as (y, z) pairs.

    Values have the types that `SHAPES` says; keys that are not required may be missing. Raises `Refused`,
    naming the key, for a shape or key that is not known, a missing key, and sizes that cannot be built.
    """
    if shape_name not in SHAPES:
        raise Refused(f'shape "{shape_name}" is not known', f"use one of {', '.join(SHAPES)}")
    keys = {key.name: key for key in SHAPES[shape_name]}
    for name in values:
        if name not in keys:
            raise Refused(f"{name} is not a key of {shape_name}", f"its keys are {', '.join(keys)}")
    for key in keys.values():
        if key.required and key.name not in values:
            raise Refused(f"{key.name} of the {shape_name} is missing", f"add {key.name} = ...")
        if key.choices and values.get(key.name, key.choices[0]) not in key.choices:
            raise Refused(f'{key.name} is "{values[key.name]}"', f"use one of {', '.join(key.choices)}")
    return _BUILDERS[shape_name](values)


def _size(values: Values) -> Size:
    return cast(Size, tuple(cast("list[float]", values["size"])))


def _one(values: Values, name: str) -> float:
    return cast(float, values[name])


def _ends(values: Values) -> Ends:
    return cast(Ends, values.get("ends", "open"))


_BUILDERS: Mapping[str, Callable[[Values], Shape]] = {
    "block": lambda v: block(_size(v)),
    "plate": lambda v: plate(_size(v)),
    "tube": lambda v: tube(_size(v), _one(v, "wall"), _ends(v)),
    "pipe": lambda v: pipe(_one(v, "diameter"), _one(v, "length"), _one(v, "wall"), _ends(v)),
    "channel": lambda v: channel(_size(v), _one(v, "wall")),
    "angle": lambda v: angle(_size(v), _one(v, "wall")),
    "zee": lambda v: zee(_size(v), _one(v, "wall")),
    "hat": lambda v: hat(_size(v), _one(v, "wall"), cast("float | None", v.get("crown"))),
    "pan": lambda v: pan(_size(v), _one(v, "wall")),
    "frame": lambda v: frame(_size(v), _one(v, "wall")),
    "section": lambda v: section(
        _size(v), _one(v, "wall"), cast(Face, v.get("open", "+y")), cast(int, v.get("baffles", 0))
    ),
    "rod": lambda v: rod(_one(v, "diameter"), _one(v, "length")),
    "wedge": lambda v: wedge(
        _size(v), cast("tuple[float, float]", tuple(cast("list[float]", v["end_size"])))
    ),
    "profile": lambda v: profile(cast("list[tuple[float, float]]", v["points"]), _one(v, "length")),
}
