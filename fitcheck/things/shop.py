"""The whole shop: its parts, tanks, racks and rooms, by name, and what it builds blocks of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

from fitcheck.things.block_design import Stock
from fitcheck.things.day import Crew
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Part
from fitcheck.things.rack import Rack
from fitcheck.things.room import Room
from fitcheck.things.route import Route
from fitcheck.things.step import Step
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

    def __post_init__(self) -> None:
        for name in ("liquids", "tanks", "parts", "racks", "rooms", "routes", "halls", "assemblies"):
            object.__setattr__(self, name, MappingProxyType(dict(getattr(self, name))))
