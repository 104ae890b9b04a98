"""What a bath takes: what to buy and pour, what the parts carry off, and how they are rinsed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from fitcheck.things.answer import Figures
from fitcheck.things.gist import Noun
from fitcheck.things.liquid import Recipe
from fitcheck.things.make_up import MakeUp

Drains = Literal["as hung", "well", "poorly", "flat"]


@dataclass(frozen=True, slots=True, repr=False)
class Carried(Noun):
    """What one kind of part carries off, all its pieces (count), each once through the bath.

    area_m2: wetted, in and out, of all pieces. film_l: clings to it, by rates of low_l_m2 to high_l_m2 over
    the area: film_most_l is the same at the high rate. carry_out_l: stands in it as lifted out.
    """

    part: str
    count: int
    area_m2: float
    low_l_m2: float
    high_l_m2: float
    film_l: float
    film_most_l: float
    carry_out_l: float


@dataclass(frozen=True, slots=True, repr=False)
class Rinse(Noun):
    """Fresh water for one way of rinsing: so many stages in counterflow, in all, and times_drag_out."""

    stages: int
    times_drag_out: float
    flow_l: float


@dataclass(frozen=True, slots=True, repr=False)
class StaticRinse(Noun):
    """A rinse that stands.

    loads_to_dump: loads that it takes before it is too strong. share_after_kit: of the bath's strength, when
    every piece has been through as a load of its own.
    """

    rinse_l: float
    drag_out_a_load_l: float
    loads_to_dump: int
    share_after_kit: float


@dataclass(frozen=True, slots=True, repr=False)
class MixAnswer(Figures):
    """Everything that a bath of liquid_l takes. level_mm: over the floor, no part in. liquid: its name.

    drag_out_l: films at the low rates and what is carried out; drag_out_most_l: at the high rates. drip: the
    seconds a part drips, and the drag-out then. rinse_flow_l: by `rinse_stages` tanks, of `rinses`, for
    rinse_ratio times weaker. area_at_most_m2: surface that the bath may treat, None where the shop has not
    said. left_out: parts that are not shown to go in, with the reason; they are not counted. recipe: what the
    bath is mixed and used by, as the shop or the asker has it.
    """

    kind: ClassVar[str] = "mix"

    tank: str
    liquid: str
    level_mm: float
    liquid_l: float
    make_up: MakeUp
    drag_out_l: float
    drag_out_most_l: float
    carried: tuple[Carried, ...]
    drip: tuple[tuple[float, float], ...]
    rinse_ratio: float
    rinse_stages: int
    rinse_flow_l: float
    rinses: tuple[Rinse, ...]
    static: StaticRinse | None
    area_m2: float
    area_at_most_m2: float | None
    recipe: Recipe
    left_out: tuple[tuple[str, str], ...] = ()
