"""The whole shop: its parts, tanks, racks and rooms, by name, and what it builds blocks of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from types import MappingProxyType, UnionType

from fitcheck.things.crew import Crew
from fitcheck.things.gist import Noun, counted
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Part
from fitcheck.things.rack import Rack
from fitcheck.things.room import Room
from fitcheck.things.route import Route
from fitcheck.things.step import Step
from fitcheck.things.stock import Stock
from fitcheck.things.tank import Rules, Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import Show

__all__ = ["Shop", "Show"]


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Shop(Noun):
    """What a shop file says. What stands in it by name stands in read-only mappings.

    Parameters
    ----------
    name : str
        What it calls itself.
    show : {"ft-in", "mm"}
        The unit that answers are printed in.
    rules : Rules
        Kept in every tank that does not say otherwise.
    liquids, tanks, parts, racks, rooms, routes : mapping of str to Liquid, Tank, Part, Rack, Room, Route
        What there is, by name.
    stock : Stock
        What blocks are built of.
    steps : tuple of Step
        The steps of the work, in their order.
    halls : mapping of str to Room
        Rooms that are only gone through.
    assemblies : mapping of str to Part
        Parts put together, as they are carried.
    day : Crew, optional
        Who carries, and when the day begins.

    See Also
    --------
    read_shop : the shop of a file.
    Shop.of : a shop of a few things.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> shop.show, shop.tanks["T1"].liquid is shop.liquids["etch"]
    ('ft-in', True)
    """

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
        """Return a shop of a few things, without a file.

        Parameters
        ----------
        *things : Part, Tank, Rack, Room or Route
            What there is, each of one kind under a name of its own.

        Returns
        -------
        Shop
            Without a name, that prints in mm.

        Raises
        ------
        TypeError
            For what is no thing of a shop.
        Refused
            For two things of one kind and name.

        Examples
        --------
        >>> import fitcheck as fc
        >>> fc.Shop.of(fc.Tank.box("trough", (1000.0, 500.0, 400.0))).tanks["trough"].depth_mm
        400.0
        """
        kinds: Mapping[str, type | UnionType] = {
            "parts": Part, "tanks": Tank, "racks": Rack, "rooms": Room, "routes": Route
        }  # fmt: skip
        found: dict[str, dict[str, object]] = {}
        for thing in things:
            kind = next((name for name, noun in kinds.items() if isinstance(thing, noun)), None)
            if kind is None:
                raise TypeError(f"{type(thing).__name__} is no thing of a shop")
            _put(found.setdefault(kind, {}), thing.name, thing, kind)
        return cls("", **found)  # type: ignore[arg-type]

    def __post_init__(self) -> None:
        for name in ("liquids", "tanks", "parts", "racks", "rooms", "routes", "halls", "assemblies"):
            object.__setattr__(self, name, MappingProxyType(dict(getattr(self, name))))

    def __reduce__(self) -> tuple[object, ...]:
        """Have it copied and sent to another process: a view of a table is neither."""
        values = (getattr(self, each.name) for each in fields(self))
        return Shop, tuple(dict(value) if isinstance(value, MappingProxyType) else value for value in values)

    def _gist(self) -> str:
        kinds = ("part", "tank", "rack", "room", "route")
        told = ", ".join(filter(None, (counted(len(getattr(self, f"{kind}s")), kind) for kind in kinds)))
        return ": ".join(filter(None, (self.name, told)))


def _put(table: dict[str, object], name: str, thing: object, kind: str) -> None:
    if table.setdefault(name, thing) is not thing:
        raise Refused(f"two {kind} are called {name}", "give each a name of its own")
