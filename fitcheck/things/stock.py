"""What displacement blocks are made of: stock sheet, boards, and the pieces built of them."""

from __future__ import annotations

from dataclasses import dataclass

# Straps are made for so many times the net uplift (common practice).
HOLD_DOWN = 1.5


@dataclass(frozen=True, slots=True)
class Stock:
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


@dataclass(frozen=True, slots=True)
class Panel:
    """So many boards of one size, cut from sheet."""

    name: str
    size_mm: tuple[float, float]
    count: int


@dataclass(frozen=True, slots=True)
class Piece:
    """One box or board: its outside size and low corner in the tank, and its mass empty and dry."""

    size_mm: tuple[float, float, float]
    at_mm: tuple[float, float, float]
    mass_kg: float
