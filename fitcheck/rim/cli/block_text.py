"""Blocks and dams, in the words of the shop."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.rim.cli.dip_text import aligned, cautions_text, folded
from fitcheck.rim.cli.hanging import hanging
from fitcheck.things.block_design import BlockAnswer, Design, Piece
from fitcheck.things.part import Part
from fitcheck.words.units import (
    Show,
    show_force,
    show_force_along,
    show_length,
    show_mass,
    show_pressure,
    show_stress,
    show_volume,
)


def block_text(answer: BlockAnswer, parts: Mapping[str, Part], show: Show) -> str:
    """Return the answer as text: what the best saves in one line, then each design, then the cautions."""
    part = parts[answer.parts[0]]
    blocks = [
        _first_line(answer, show),
        folded(_bound(answer, show)) if answer.designs else "",
        folded(_money(answer)) if answer.designs and answer.price_per_l is not None else "",
        *(_design(k, design, part, show) for k, design in enumerate(answer.designs)),
        "\n".join(aligned(_load(answer, show))),
        cautions_text(answer.cautions),
    ]
    return "\n\n".join(block for block in blocks if block)


def _first_line(answer: BlockAnswer, show: Show) -> str:
    name = f"{answer.tank} for {', '.join(answer.parts)}"
    without = show_volume(answer.without_l, show)
    if not answer.designs:
        return f"{name}: no room for a block or a dam worth building of that stock; {without} without"
    best = answer.designs[0]
    saves = "save" if len(best.pieces) > 1 else "saves"
    saved, left = show_volume(best.saves_l, show), show_volume(best.liquid_l, show)
    return f"{name}: {_what(best)} {saves} {saved}, {left} instead of {without}"


def _bound(answer: BlockAnswer, show: Show) -> str:
    return (
        f"that is {answer.saves_share:.0%} of all that could be saved with the parts hung so, "
        f"{show_volume(answer.bound_l, show)}"
    )


def _money(answer: BlockAnswer) -> str:
    best = answer.designs[0]
    price = answer.price_per_l or 0.0
    saved, whole = best.saves_l * price, answer.without_l * price
    return f"at the price in the shop file that is {saved:,.0f} saved, of {whole:,.0f}"


def _what(design: Design) -> str:
    if design.kind == "dam":
        return "a dam board"
    return "one block" if len(design.pieces) == 1 else f"{len(design.pieces)} blocks"


def _design(k: int, design: Design, part: Part, show: Show) -> str:
    level = show_length(design.level_mm, show)
    rows = [
        (f"Design {k + 1}", f"{_what(design)}: {show_volume(design.saves_l, show)} saved"),
        ("Liquid", f"{show_volume(design.liquid_l, show)}, {level} of it, part in"),
        ("How it hangs", f"{part.name} {hanging(design.pose, part, show)}"),
        *_pieces(design, show),
        *(_block_rows(design, show) if design.kind == "block" else _dam_rows(design, show)),
        ("Cut", _cut(design, show)),
    ]
    return "\n".join(aligned(rows))


def _pieces(design: Design, show: Show) -> list[tuple[str, str]]:
    """Return a row for each size of piece: how many, where, and what one weighs."""
    alike: dict[tuple[str, str], list[Piece]] = {}
    for piece in design.pieces:
        size = " x ".join(show_length(side, show) for side in piece.size_mm)
        alike.setdefault((size, show_mass(piece.mass_kg, show)), []).append(piece)
    return [
        ("Pieces", f"{len(rows)} of {size}, {mass} each when empty; low corners at {_corners(rows, show)}")
        for (size, mass), rows in alike.items()
    ]


def _corners(pieces: list[Piece], show: Show) -> str:
    return "; ".join(
        f"x {show_length(piece.at_mm[0], show)}, y {show_length(piece.at_mm[1], show)}" for piece in pieces
    )


def _block_rows(design: Design, show: Show) -> list[tuple[str, str]]:
    straps, ballast = show_force(design.hold_down_n, show), show_mass(design.ballast_kg, show)
    up = show_force(design.uplift_n, show)
    rows = [("Uplift", f"{up} in all when empty: straps for {straps}, or {ballast} of ballast")]
    if design.lifts_at_mm is not None:
        level = show_length(design.lifts_at_mm, show)
        rows.append(("While filling", f"the first floats up at {level} of liquid: strap it before"))
    if design.metacentre_mm is not None and design.metacentre_mm < 0.0:
        rows.append(("Afloat", "a loose piece rolls over"))
    return rows


def _dam_rows(design: Design, show: Show) -> list[tuple[str, str]]:
    rows = [("Thrust", f"{show_force(design.thrust_n, show)} on the board, from the liquid's side")]
    if design.stress_mpa is not None:
        stress = show_stress(design.stress_mpa, show)
        rows.append(("Bending", f"{stress} in the lowest strip of the board, held at its two ends only"))
    return rows


def _cut(design: Design, show: Show) -> str:
    boards = "; ".join(
        f"{panel.count} {panel.name} {' x '.join(show_length(side, show) for side in panel.size_mm)}"
        for panel in design.panels
    )
    sheets = "1 sheet" if design.sheets_at_least == 1 else f"{design.sheets_at_least} sheets"
    return f"{boards}; {sheets} at least"


def _load(answer: BlockAnswer, show: Show) -> list[tuple[str, str]]:
    load = answer.load
    return [
        ("On the tank", f"at {show_length(load.level_mm, show)} of liquid, without what the tank weighs"),
        ("Walls", f"{show_force_along(load.thrust_n_per_m, show)} pushes them out"),
        ("Floor", f"{show_pressure(load.floor_pa, show)} on what it stands on"),
    ]
