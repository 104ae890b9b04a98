"""The [liquids] of a shop file: how heavy a bath is, how it is made up, what clings, how it is rinsed off."""

from __future__ import annotations

from fitcheck.files.shop_words import count_from, mass_above_zero, number, volume_from_zero
from fitcheck.files.toml_table import Table, amount, spoken
from fitcheck.things.liquid import Liquid, Recipe
from fitcheck.words.errors import Refused
from fitcheck.words.strength import read_film, read_loading, read_price, read_strength

_KEYS = (
    "specific_gravity",
    "make_up",
    "container",
    "drag_out",
    "rinse_ratio",
    "rinse_stages",
    "area_at_most",
    "price",
)
# Longer rows of rinse tanks than this are not built.
MOST_STAGES = 10


def read_liquid(table: Table) -> Liquid | None:
    """Return a liquid, or None where it has a fault."""
    table.only(_KEYS, "a liquid")
    recipe = _recipe(table)
    entry = table.need("specific_gravity", "1.0")
    return entry.read(lambda value: Liquid(table.name, number(value), recipe)) if entry else None


def _recipe(table: Table) -> Recipe:
    strength = table.read("make_up", amount(read_strength))
    by_weight = strength is not None and strength.kg_l is not None
    container = table.read("container", mass_above_zero if by_weight else container_l)
    return Recipe(
        strength=strength,
        container_l=None if by_weight else container,
        container_kg=container if by_weight else None,
        drag_out_l_m2=table.read("drag_out", amount(read_film)),
        rinse_ratio=table.read("rinse_ratio", ratio),
        rinse_stages=table.read("rinse_stages", stages),
        area_at_most_m2_l=table.read("area_at_most", amount(read_loading)),
        price_per_l=table.read("price", amount(read_price)),
    )


def container_l(value: object) -> float:
    """Read the volume of a container, in litres."""
    read = volume_from_zero(value)
    if not read > 0.0:
        raise Refused(f"{spoken(value)} is not above 0", 'write it as in "5 gal"')
    return read


def ratio(value: object) -> float:
    """Read how many times weaker the rinse is to be than the bath."""
    read = number(value)
    if not read > 1.0:
        raise Refused(f"{spoken(value)} does not thin the bath", "write more than 1, as in 1000")
    return read


def stages(value: object) -> int:
    """Read a number of rinse tanks."""
    read = count_from(1)(value)
    if read > MOST_STAGES:
        raise Refused(f"{spoken(value)} rinse tanks in a row", f"write 1 to {MOST_STAGES}")
    return read
