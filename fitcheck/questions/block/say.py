"""Blocks and dams, in the words of the shop."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.questions.block.answer import BlockAnswer, Design
from fitcheck.say.attitude_words import hanging, heights
from fitcheck.say.lines import aligned, cautions_text, folded
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.stock import HOLD_DOWN, Ballast, Piece
from fitcheck.words.units import (
    MM_PER_FOOT,
    MM_PER_INCH,
    MM_PER_METRE,
    NEWTONS_PER_POUND_FORCE,
    STANDARD_GRAVITY_M_S2,
    Show,
    show_force,
    show_force_along,
    show_length,
    show_mass,
    show_pressure,
    show_stress,
    show_volume,
)

# Less than this is not seen on a tape.
_HAIR_MM = MM_PER_INCH / 16.0
# Floor design live loads of workshops, lb/ft2: light manufacturing or light storage, heavy manufacturing
# (ASCE 7 table of minimum live loads, from memory).
_LIGHT_FLOOR, _HEAVY_FLOOR = 125.0, 250.0
# The cautions of blocks in the fewer words that a picture has room for.
UNDER_A_PICTURE = (
    "Hatched: built in, or dry behind the board. An empty block floats: strap it before any liquid goes in.",
    "Figures are to ask an engineer with; they approve no wall, board, strap or floor.",
)


def text(answer: BlockAnswer, shop: Shop) -> str:
    """Return the answer as text: what the best saves in one line, then each design, then the cautions."""
    hung, show = [shop.parts[name] for name in answer.parts], shop.show
    blocks = [
        _first_line(answer, show),
        folded(_bound(answer, show)) if answer.designs else "",
        folded(_money(answer)) if answer.designs and answer.price_per_l is not None else "",
        folded(_unbuilt(answer)) if answer.designs and answer.unbuilt else "",
        *(_design(k, answer, hung, show) for k in range(len(answer.designs))),
        "\n".join(aligned(_load(answer, show))),
        cautions_text(answer.cautions, show),
    ]
    return "\n\n".join(block for block in blocks if block)


def _first_line(answer: BlockAnswer, show: Show) -> str:
    name = f"{answer.tank} for {', '.join(answer.parts)}"
    without = show_volume(answer.without_l, show)
    if not answer.designs:
        why = f" ({'; '.join(answer.unbuilt)})" if answer.unbuilt else ""
        return f"{name}: no room for a block or a dam worth building of that stock{why}; {without} without"
    best = answer.designs[0]
    saves = "save" if len(best.pieces) > 1 else "saves"
    saved, left = show_volume(best.saves_l, show), show_volume(best.liquid_l, show)
    return f"{name}: {what(best)} {saves} {saved}, {left} instead of {without}"


def _bound(answer: BlockAnswer, show: Show) -> str:
    ways = "" if answer.ways_tried == 1 else f", in any of the {answer.ways_tried} ways looked at"
    return (
        f"that is {answer.saves_share:.0%} of all that could be saved with the parts hung so{ways}: "
        f"{show_volume(answer.bound_l, show)}"
    )


def _unbuilt(answer: BlockAnswer) -> str:
    return f"room was left where nothing could be built: {'; '.join(answer.unbuilt)}"


def _money(answer: BlockAnswer) -> str:
    best = answer.designs[0]
    price = answer.price_per_l or 0.0
    saved, whole = best.saves_l * price, answer.without_l * price
    return f"at the price in the shop file that is {saved:,.0f} saved, of {whole:,.0f}"


def what(design: Design) -> str:
    """Return what is built, in few words."""
    if design.kind == "dam":
        return "a dam board"
    return "one block" if len(design.pieces) == 1 else f"{len(design.pieces)} blocks"


def _design(k: int, answer: BlockAnswer, parts: Sequence[Part], show: Show) -> str:
    design = answer.designs[k]
    level = show_length(design.level_mm, show)
    own = _block_rows(design, show) if design.kind == "block" else _dam_rows(design, answer, show)
    rows = [
        (f"Design {k + 1}", f"{what(design)}: {show_volume(design.saves_l, show)} saved; {design.reason}"),
        ("Liquid", f"{show_volume(design.liquid_l, show)}, {level} of it, part in"),
        *(
            ("How it hangs", f"{part.name} {hanging(pose, part, show)}; {heights(pose, part, show)}")
            for part, pose in zip(parts, design.poses, strict=True)
        ),
        *pieces_rows(design, show),
        *own,
        ("Cut", _cut(design, show)),
    ]
    return "\n".join(aligned(rows))


def pieces_rows(design: Design, show: Show) -> list[tuple[str, str]]:
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
    straps, up = show_force(design.hold_down_n, show), show_force(design.uplift_n, show)
    aside = show_mass(design.uplift_n / STANDARD_GRAVITY_M_S2 + design.empty_mass_kg, show)
    own = show_mass(design.empty_mass_kg, show)
    rows = [
        ("Uplift", f"{up} in all: {aside} of liquid pushed aside, {own} of blocks"),
        ("Straps", f"for {straps}, {HOLD_DOWN:g} times that"),
    ]
    if design.lifts_at_mm is not None:
        level = show_length(design.lifts_at_mm, show)
        rows.append(("While filling", f"the first floats up at {level} of liquid: strap it before"))
        pulls = "; ".join(
            f"{show_force(step.uplift_n, show)} at {show_length(step.level_mm, show)}"
            for step in design.filling
        )
        rows.append(("Pull on straps", pulls))
    if design.ballast is not None and design.ballast.kg > 0.0:
        rows += ballast_rows(design.ballast, show)
    if design.metacentre_mm is not None and design.metacentre_mm < 0.0:
        rows.append(("Afloat", "a loose piece rolls over"))
    return rows


def ballast_rows(held: Ballast, show: Show) -> list[tuple[str, str]]:
    """Return what would keep the pieces down: how much of what, whether it goes in, what it presses."""
    room = show_volume(held.inside_l, show)
    sand = f"dry sand {show_volume(held.sand_l, show)}"
    concrete = f"concrete {show_volume(held.concrete_l, show)}"
    kinds = [
        f"{words}{'' if litres <= held.inside_l else ', more than goes in'}"
        for words, litres in ((sand, held.sand_l), (concrete, held.concrete_l))
    ]
    if held.water_uplift_n <= 0.0:
        water = "filled with plain water they stay down"
    else:
        water = f"filled with plain water {show_force(held.water_uplift_n, show)} still pulls up"
    return [
        ("Ballast", f"{show_mass(held.kg, show)} in all: {' or '.join(kinds)}; {room} inside; {water}"),
        ("On the lining", f"{show_pressure(held.bearing_pa, show)} at most, ballasted, tank empty"),
    ]


def _dam_rows(design: Design, answer: BlockAnswer, show: Show) -> list[tuple[str, str]]:
    rows = [("Thrust", f"{show_force(design.thrust_n, show)} on the board, from the liquid's side")]
    afloat = next((other for other in answer.designs if other.kind == "block"), None)
    if afloat is not None and afloat.uplift_n > 0.0:
        pull = show_force(afloat.uplift_n, show)
        rows.append(("Instead", f"{what(afloat)} would pull up with {pull}"))
    if design.bending is not None:
        rows.append(("Bending", bending_words(design, show)))
    return rows


def bending_words(design: Design, show: Show) -> str:
    """Return how a dam board bends, as a strip and as a plate; nothing for blocks."""
    bends = design.bending
    if bends is None:
        return ""
    strip = f"{show_stress(bends.stress_mpa, show)}, {_sag(bends.sag_mm, show)}"
    held = f"{show_stress(bends.held_stress_mpa, show)}, {_sag(bends.held_sag_mm, show)}"
    return (
        f"lowest strip, held at its two ends only: {strip}; whole board held along all four edges, a stiff "
        f"rail on top: {held}"
    )


def _sag(sag_mm: float, show: Show) -> str:
    if sag_mm < _HAIR_MM:
        return f"bends less than {show_length(_HAIR_MM, show)}"
    return f"bends {show_length(sag_mm, show)}"


def _cut(design: Design, show: Show) -> str:
    boards = "; ".join(
        f"{panel.count} {panel.name} {' x '.join(show_length(side, show) for side in panel.size_mm)}"
        for panel in design.panels
    )
    count, least = len(design.sheets), design.sheets_at_least
    sheets = "1 sheet" if count == 1 else f"{count} sheets"
    bound = "" if count == least else f" as laid out, {least} at least"
    return f"{boards}; {sheets}{bound}"


def _load(answer: BlockAnswer, show: Show) -> list[tuple[str, str]]:
    load = answer.load
    sags = "; ".join(
        f"{_sag(sag.sag_mm, show).removeprefix('bends ')} on joists {show_length(sag.joists_mm, show)} apart"
        for sag in load.floor_sags
    )
    return [
        ("On the tank", f"at {show_length(load.level_mm, show)} of liquid, without what the tank weighs"),
        ("Walls", f"{show_force_along(load.thrust_n_per_m, show)} pushes them out"),
        (
            "Floor",
            f"{show_pressure(load.floor_pa, show)} on what it stands on{_floor(load.floor_pa, show)}",
        ),
        ("Bottom", f"of {show_length(load.sheet_mm, show)} sheet alone sags {sags}"),
    ]


def _floor(pressure_pa: float, show: Show) -> str:
    """Return what a floor is commonly made for, where the bath is more: a reason to ask, no verdict."""
    lb_ft2_pa = NEWTONS_PER_POUND_FORCE / (MM_PER_FOOT / MM_PER_METRE) ** 2
    for made_for, kind in ((_HEAVY_FLOOR, "heavy"), (_LIGHT_FLOOR, "light")):
        if pressure_pa > made_for * lb_ft2_pa:
            words = show_pressure(made_for * lb_ft2_pa, show)
            return f", over the {words} that {kind} workshop floors are made for: ask an engineer"
    return ""
