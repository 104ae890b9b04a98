"""The whole shop: its parts, tanks, racks and rooms, by name, and what it builds blocks of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType, UnionType
from typing import Literal

from fitcheck.things.crew import Crew
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Part
from fitcheck.things.rack import Rack
from fitcheck.things.room import Room
from fitcheck.things.route import Route
from fitcheck.things.step import Step
from fitcheck.things.stock import Stock
from fitcheck.things.tank import Rules, Tank

Show = Literal["ft-in", "mm"]


@dataclass(frozen=True, slots=True, eq=False)
class Shop:
    """What a shop file says. show: the unit that answers are printed in. steps: in their order."""

    name: str
    show: Show = "mm"
    rules: Rules = field(default_factory=Rules)
    liquids: Mapping[str, Liquid] = field(default_factory=dict)
    tanks: Mapping[str, Tank] = field(default_factory=dict)
    parts: Mapping[str, Part] = field(default_factory=dict)
    racks: Mapping[str, Rack] = field(default_factory=dict)
    rooms: Mapping[str, Room] = field(default_factory=dict)
    routes: Mapping[str, Route] = field(default_factory=dict)
    stock: Stock = field(default_factory=Stock)
    steps: tuple[Step, ...] = ()
    halls: Mapping[str, Room] = field(default_factory=dict)
    assemblies: Mapping[str, Part] = field(default_factory=dict)
    day: Crew | None = None

    @classmethod
    def of(cls, *things: Part | Tank | Rack | Room | Route) -> Shop:
        """Return a shop of a few things, without a file; raises TypeError for what is no thing of a shop."""
        kinds: Mapping[str, type | UnionType] = {
            "parts": Part, "tanks": Tank, "racks": Rack, "rooms": Room, "routes": Route
        }  # fmt: skip
        found: dict[str, dict[str, object]] = {}
        for thing in things:
            kind = next((name for name, noun in kinds.items() if isinstance(thing, noun)), None)
            if kind is None:
                raise TypeError(f"{type(thing).__name__} is no thing of a shop")
            found.setdefault(kind, {})[thing.name] = thing
        return cls("", **found)  # type: ignore[arg-type]

    def __post_init__(self) -> None:
        for name in ("liquids", "tanks", "parts", "racks", "rooms", "routes", "halls", "assemblies"):
            object.__setattr__(self, name, MappingProxyType(dict(getattr(self, name))))
