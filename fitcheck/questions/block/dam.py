"""A board across a tank that shuts off the end where no part goes, and what it has to hold."""

from __future__ import annotations

from collections.abc import Iterator

from fitcheck.geometry.liquid.block_pieces import sheets_by_area, shut_off
from fitcheck.geometry.liquid.blocks_in_tank import with_pieces
from fitcheck.geometry.statics.plate import plate_bent, strip_bent
from fitcheck.questions.block.answer import Bending, Design
from fitcheck.questions.block.corner import Hung, hung_liquid_l
from fitcheck.things.stock import Panel, Piece, Stock
from fitcheck.things.tank import Tank
from fitcheck.words.units import MM3_PER_LITRE, MM_PER_METRE, PA_PER_MPA, STANDARD_GRAVITY_M_S2


def dams(tank: Tank, hung: Hung, stock: Stock) -> Iterator[Design]:
    """Give a board across the tank that shuts off the end where no part goes."""
    length, width, depth = tank.size_mm
    thick = stock.sheet_thickness_mm
    near, far = hung.taken[0], hung.taken[2]
    free_low, free_high = near - thick, length - far - thick
    if max(free_low, free_high) < stock.thinnest_mm or tank.standing:
        return
    height = min(depth, hung.level_mm + tank.rules.freeboard_mm)
    if any(side > most for side, most in zip(sorted((width, height)), sorted(stock.sheet_mm), strict=True)):
        return
    at = far if free_high >= free_low else near - thick
    mass = thick * width * height * stock.sheet_kg_l / MM3_PER_LITRE
    board = Piece((thick, width, height), (at, 0.0, 0.0), mass)
    shut = shut_off(tank, board, beyond=free_high >= free_low)
    pressure = tank.liquid.specific_gravity * hung.level_mm * STANDARD_GRAVITY_M_S2
    panel = Panel("dam board", (width, height), 1)
    yield Design(
        kind="dam",
        pieces=(board,),
        poses=tuple(pose for _, pose in hung.parts),
        level_mm=hung.level_mm,
        liquid_l=hung_liquid_l(with_pieces(tank, [shut]), hung),
        saves_l=0.0,
        empty_mass_kg=mass,
        panels=(panel,),
        sheets_at_least=sheets_by_area((panel,), stock),
        thrust_n=pressure * hung.level_mm * width / MM_PER_METRE**2 / 2.0,
        bending=_bending(pressure / PA_PER_MPA, (width, hung.level_mm), stock),
    )


def _bending(foot_mpa: float, wet_mm: tuple[float, float], stock: Stock) -> Bending:
    """Return how the board bends under liquid to its wet height, as a strip at its foot and as a plate."""
    thick, modulus = stock.sheet_thickness_mm, stock.modulus_mpa
    strip = strip_bent(foot_mpa, wet_mm[0], thick, modulus)
    plate = plate_bent((foot_mpa, 0.0), wet_mm, thick, modulus)
    return Bending(strip.stress_mpa, strip.sag_mm, plate.stress_mpa, plate.sag_mm)
