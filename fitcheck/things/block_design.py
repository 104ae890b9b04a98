"""Displacement blocks and dams as the shop would build them, and what they do in the bath."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from fitcheck.things.pose import Pose


@dataclass(frozen=True, slots=True)
class Stock:
    """What blocks are made of, and how; every figure may be set otherwise.

    sheet_mm: a stock sheet (4 x 8 ft of 3/4 in plywood). sheet_kg_l: softwood plywood, 36 lb/ft3 (weight
    tables for wood). lining_mm, lining_kg_l: hand lay-up glass and polyester (from memory, 1,400 to 1,700
    kg/m3). lift_kg: what one person lifts, empty: the NIOSH load constant (DHHS 94-110, 51 lb). thinnest_mm:
    less is not worth building, gap_mm: room to handle a block at a wall or at another (both common practice).
    """

    sheet_mm: tuple[float, float] = (2438.4, 1219.2)
    sheet_thickness_mm: float = 19.05
    sheet_kg_l: float = 0.58
    lining_mm: float = 1.5
    lining_kg_l: float = 1.5
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


@dataclass(frozen=True, slots=True)
class Design:
    """One way to save liquid for one pose.

    pose: of the first part. liquid_l: in the tank, part in; saves_l: against no blocks. uplift_n: net, all
    pieces empty and held under at the level. hold_down_n: what straps are to hold. ballast_kg: to stay down
    without them. lifts_at_mm: while filling, the level at which the first piece would float. thrust_n:
    sideways, on a dam. metacentre_mm: of the tippiest piece floating empty (below 0: it rolls over).
    stress_mpa: bending of a dam board, as a strip held at its ends only. panels, sheets_at_least: what to
    cut.
    """

    kind: Literal["block", "dam"]
    pieces: tuple[Piece, ...]
    pose: Pose
    level_mm: float
    liquid_l: float
    saves_l: float
    uplift_n: float
    hold_down_n: float
    ballast_kg: float
    thrust_n: float
    empty_mass_kg: float
    lifts_at_mm: float | None
    metacentre_mm: float | None
    stress_mpa: float | None
    panels: tuple[Panel, ...]
    sheets_at_least: int


@dataclass(frozen=True, slots=True)
class TankLoad:
    """What the bath does to the tank at the level: thrust on a wall a metre, pressure on the floor."""

    level_mm: float
    thrust_n_per_m: float
    floor_pa: float


@dataclass(frozen=True, slots=True)
class BlockAnswer:
    """Designs, best first, for parts that go in one after another. without_l: liquid with no block.

    bound_l: more cannot be saved at that level, whatever is built: all of the free space outside the
    clearances. saves_share: what of it the best design saves. price_per_l: of the liquid, where the shop has
    said, in its own money.
    """

    tank: str
    parts: tuple[str, ...]
    without_l: float
    bound_l: float
    saves_share: float
    designs: tuple[Design, ...]
    load: TankLoad
    price_per_l: float | None = None
    cautions: tuple[str, ...] = ()
