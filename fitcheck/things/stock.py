"""What displacement blocks are made of: stock sheet, boards, the pieces built of them, and their ballast."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.gist import Noun

# Straps are made for so many times the net uplift (common practice).
HOLD_DOWN = 1.5


@dataclass(frozen=True, slots=True, repr=False)
class Stock(Noun):
    """What blocks are made of, and how; every figure may be set otherwise.

    sheet_mm: a stock sheet (4 x 8 ft of 3/4 in plywood). sheet_kg_l: softwood plywood, 36 lb/ft3 (weight
    tables for wood). lining_mm, lining_kg_l: hand lay-up glass and polyester (from memory, 1,400 to 1,700
    kg/m3). modulus_mpa: along the strong way of softwood plywood, 1.5e6 psi (from memory). lift_kg: what one
    person lifts, empty: the NIOSH load constant (DHHS 94-110, 51 lb). thinnest_mm: less is not worth
    building, gap_mm: room to handle a block at a wall or at another (both common practice).
    """

    sheet_mm: tuple[float, float] = (2438.4, 1219.2)
    sheet_thickness_mm: float = 19.05
    sheet_kg_l: float = 0.58
    lining_mm: float = 1.5
    lining_kg_l: float = 1.5
    modulus_mpa: float = 10342.0
    lift_kg: float = 23.0
    thinnest_mm: float = 76.2
    gap_mm: float = 6.35


@dataclass(frozen=True, slots=True, repr=False)
class Panel(Noun):
    """So many boards (count) of one size, cut from sheet."""

    name: str
    size_mm: tuple[float, float]
    count: int


@dataclass(frozen=True, slots=True, repr=False)
class Piece(Noun):
    """One box or board: its outside size and low corner in the tank, and its mass empty and dry."""

    size_mm: tuple[float, float, float]
    at_mm: tuple[float, float, float]
    mass_kg: float


@dataclass(frozen=True, slots=True, repr=False)
class Cut(Noun):
    """One board laid on a stock sheet, as drawn or turned: its low corner and its size there."""

    name: str
    at_mm: tuple[float, float]
    size_mm: tuple[float, float]


@dataclass(frozen=True, slots=True, repr=False)
class CutSheet(Noun):
    """What is cut from one stock sheet, by straight cuts right through."""

    cuts: tuple[Cut, ...]


@dataclass(frozen=True, slots=True, repr=False)
class Ballast(Noun):
    """What keeps the blocks down when straps do not. kg: at least so much, dry.

    Dry sand 1.6 kg/l (100 lb/ft3), concrete 2.35 kg/l (145 to 150 lb/ft3), both from memory; sand_l and
    concrete_l are what takes so much mass. inside_l: room in the blocks. water_uplift_n: what still pulls up
    when they are full of plain water (below 0: they stay down). bearing_pa: of the piece that presses most on
    the lining, ballasted, in an empty tank.
    """

    kg: float
    sand_l: float
    concrete_l: float
    inside_l: float
    water_uplift_n: float
    bearing_pa: float


@dataclass(frozen=True, slots=True, repr=False)
class Filling(Noun):
    """While filling: at a level, what pulls up on all pieces together, empty."""

    level_mm: float
    uplift_n: float
