"""Liquid in a tank."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.gist import Noun
from fitcheck.words.errors import Refused
from fitcheck.words.strength import Strength


@dataclass(frozen=True, slots=True, repr=False)
class Recipe(Noun):
    """How a bath is made up and used; None where the shop has not said.

    strength: concentrate in the bath. container_l, container_kg: what it is bought in, by volume or weight.
    drag_out_l_m2: bath that clings to a part lifted out. rinse_ratio: how many times weaker the rinse is to
    be; rinse_stages: tanks of it, one flowing into the next. area_at_most_m2_l: surface that a litre treats
    before the bath is spent. price_per_l: what a litre of the bath costs made up, in the shop's own money.
    """

    strength: Strength | None = None
    container_l: float | None = None
    container_kg: float | None = None
    drag_out_l_m2: float | None = None
    rinse_ratio: float | None = None
    rinse_stages: int | None = None
    area_at_most_m2_l: float | None = None
    price_per_l: float | None = None


@dataclass(frozen=True, slots=True, repr=False)
class Liquid(Noun):
    """A bath.

    Parameters
    ----------
    name : str
        What the shop calls it.
    specific_gravity : float
        Its weight against water's, which is 1.0.
    recipe : Recipe
        How it is made up and used; needed for `mix` alone.

    Raises
    ------
    Refused
        For a specific gravity under 0.5 or over 3: no bath is so light or so heavy.

    Examples
    --------
    >>> import fitcheck as fc
    >>> fc.Liquid("etch", 1.03)
    <Liquid etch: specific gravity 1.03>
    """

    name: str
    specific_gravity: float = 1.0
    recipe: Recipe = Recipe()

    def __post_init__(self) -> None:
        if not 0.5 <= self.specific_gravity <= 3.0:
            raise Refused(
                f"specific_gravity of {self.name} is {self.specific_gravity}",
                "water is 1.0; read the bath's own from its safety sheet",
            )

    def _gist(self) -> str:
        return f"{self.name}: specific gravity {self.specific_gravity:.6g}"
