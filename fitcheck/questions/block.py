"""Which block or dam saves most liquid, stays down, and leaves the parts free.

The parts go in one after another, each at the simplest pose or another plain one, moved into a corner of the
tank; what is left of the plan is filled with boxes as high as the liquid, or shut off by a board.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.geometry.measure import measures
from fitcheck.geometry.rooms_left import Rectangle, largest_left
from fitcheck.questions.dip import dip
from fitcheck.questions.fill import covering_level_mm, fill_at
from fitcheck.questions.prove import recheck
from fitcheck.shapes.block import block as box_shape
from fitcheck.things.answers import Fits, Prefer
from fitcheck.things.block_design import BlockAnswer, Design, Panel, Piece, Stock, TankLoad
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, Pose
from fitcheck.things.tank import Standing, Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM3_PER_LITRE, STANDARD_GRAVITY_M_S2

# Straps are made for so many times the net uplift (common practice).
HOLD_DOWN = 1.5
# Boxes in one design: more are more work than liquid.
MOST_BOXES = 3
# A box is cut to whole millimetres, and stands so much over the liquid that it is not flooded from above.
CUT_MM, PROUD_MM = 1.0, 25.0
QUARTER = math.pi / 2.0
MM_PER_M = 1000.0


@dataclass(frozen=True, slots=True, eq=False)
class _Hung:
    """Every part at its pose in one corner of the tank, and the highest level that one of them asks for.

    taken: what of the plan they take up in turn, their clearances with it.
    """

    parts: tuple[tuple[Part, Pose], ...]
    level_mm: float
    taken: Rectangle


def block(tank: Tank, parts: Sequence[Part], stock: Stock | None = None) -> BlockAnswer:
    """Tell which blocks, or which dam, save most liquid while each of the parts can still be dipped.

    The liquid is what the largest of the parts needs. Designs are best first; none where there is no room for
    one that is worth building. Raises `Refused` for no part, for a tank that is no plain box, and for a part
    that does not fit the tank as it is, tapes included.
    """
    stock = stock or Stock()
    if not parts:
        raise Refused("no part was named", "name the parts that are to go in")
    if not tank.is_box:
        raise Refused(
            f"{tank.name} is no plain box", "blocks are laid out in box tanks only; give its clear sizes"
        )
    ways = list(_ways(tank, parts))
    if not ways:
        names = " or ".join(part.name for part in parts)
        raise Refused(
            f"{names} does not fit {tank.name} as it is, tapes included", "ask fitcheck dip what would help"
        )
    designs = [design for hung in ways for design in (*_blocks(tank, hung, stock), *_dams(tank, hung, stock))]
    without = min(_liquid_l(tank, hung) for hung in ways)
    designs = [replace(design, saves_l=without - design.liquid_l) for design in designs]
    designs = sorted(
        (each for each in designs if each.saves_l > 0.0), key=lambda each: (each.liquid_l, each.kind)
    )
    bound = max(_bound_l(tank, hung, without) for hung in ways)
    best = designs[0].saves_l if designs else 0.0
    level = designs[0].level_mm if designs else min(hung.level_mm for hung in ways)
    # kg/l times mm is kg/m2.
    pressure = tank.liquid.specific_gravity * level * STANDARD_GRAVITY_M_S2
    return BlockAnswer(
        tank.name,
        tuple(part.name for part in parts),
        without,
        bound,
        best / bound if bound > 0.0 else 0.0,
        _best_of_each(designs),
        TankLoad(level, pressure * level / MM_PER_M / 2.0, pressure),
        tank.liquid.recipe.price_per_l,
    )


def _best_of_each(designs: Sequence[Design]) -> tuple[Design, ...]:
    """Return the best design of each kind and number of pieces, best first."""
    seen: dict[tuple[str, int], Design] = {}
    for design in designs:
        seen.setdefault((design.kind, len(design.pieces)), design)
    return tuple(seen.values())


def _ways(tank: Tank, parts: Sequence[Part]) -> Iterator[_Hung]:
    """Give the parts hung in a corner: all as advised, for least liquid, flat, or on an edge."""
    asked: list[tuple[Prefer, Angles | None]] = [
        ("level", None),
        ("least-liquid", None),
        ("level", Angles()),
        ("level", Angles(0.0, QUARTER, 0.0)),
    ]
    for prefer, angles in asked:
        answers = [dip(part, tank, prefer, angles, with_cures=False) for part in parts]
        poses = [answer.advice.pose for answer in answers if isinstance(answer, Fits)]
        if len(poses) < len(parts):
            continue
        for far_end, far_side in itertools.product((False, True), repeat=2):
            hung = _in_corner(tank, tuple(zip(parts, poses, strict=True)), (far_end, far_side))
            if hung is not None:
                yield hung
                break


def _in_corner(tank: Tank, parts: tuple[tuple[Part, Pose], ...], corner: tuple[bool, bool]) -> _Hung | None:
    """Return the parts moved towards the low or high end of length and width; None where something stands."""
    clear = tank.rules.side_clearance_mm
    moved, lows, highs = [], [], []
    for part, pose in parts:
        placed = pose.apply(part.solid.vertices_mm)
        low, high = placed.min(axis=0), placed.max(axis=0)
        shift = np.zeros(3)
        for axis, far in enumerate(corner):
            end = tank.size_mm[axis] - clear - high[axis] if far else clear - low[axis]
            shift[axis] = end
        here = Pose(pose.to_frame, pose.from_frame, pose.rotation, pose.shift_mm + shift)
        if not recheck(part, tank, here).holds:
            return None
        moved.append((part, here))
        lows.append(low + shift)
        highs.append(high + shift)
    low, high = np.min(lows, axis=0) - clear, np.max(highs, axis=0) + clear
    level = max(covering_level_mm(part, pose, tank) for part, pose in moved)
    taken = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    return _Hung(tuple(moved), level, taken)


def _liquid_l(tank: Tank, hung: _Hung) -> float:
    """Return the liquid that the largest part needs."""
    return max(fill_at(part, pose, tank, hung.level_mm).liquid_l for part, pose in hung.parts)


def _bound_l(tank: Tank, hung: _Hung, without_l: float) -> float:
    """Return what cannot be beaten at these poses: nothing but the parts' own boxes, clearances included."""
    length, width, _ = tank.size_mm
    kept = (min(hung.taken[2], length) - max(hung.taken[0], 0.0)) * (
        min(hung.taken[3], width) - max(hung.taken[1], 0.0)
    )
    metal = min(measures(part.skin).volume_mm3 for part, _ in hung.parts)
    return without_l - max(kept * hung.level_mm - metal, 0.0) / MM3_PER_LITRE


def _blocks(tank: Tank, hung: _Hung, stock: Stock) -> Iterator[Design]:
    """Give designs of one, two and three boxes."""
    gap = stock.gap_mm
    plan = (gap, gap, tank.size_mm[0] - gap, tank.size_mm[1] - gap)
    standing = [_plan_of(thing, gap) for thing in tank.standing]
    seen: set[tuple[Rectangle, ...]] = set()
    for most in range(1, MOST_BOXES + 1):
        boxes = largest_left(plan, [hung.taken, *standing], gap, stock.thinnest_mm, most)
        if boxes and boxes not in seen:
            seen.add(boxes)
            design = _block_design(tank, hung, stock, boxes)
            if design is not None:
                yield design


def _plan_of(thing: Standing, gap: float) -> Rectangle:
    low, high = thing.solid.vertices_mm.min(axis=0) - gap, thing.solid.vertices_mm.max(axis=0) + gap
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _block_design(tank: Tank, hung: _Hung, stock: Stock, boxes: Sequence[Rectangle]) -> Design | None:
    """Return boxes in these places; None where no stock sheet is large enough for any of them."""
    height = min(hung.level_mm + PROUD_MM, tank.depth_mm)
    pieces = tuple(piece for box in boxes for piece in _liftable(box, height, stock))
    if not pieces:
        return None
    density = tank.liquid.specific_gravity / MM3_PER_LITRE
    sunk = [piece.size_mm[0] * piece.size_mm[1] * min(height, hung.level_mm) for piece in pieces]
    mass = sum(piece.mass_kg for piece in pieces)
    lift = density * sum(sunk) - mass
    floats = [piece.mass_kg / (density * piece.size_mm[0] * piece.size_mm[1]) for piece in pieces]
    panels = tuple(panel for piece in pieces for panel in _panels(piece, stock))
    liquid = _liquid_l(with_pieces(tank, pieces), hung)
    return Design(
        "block",
        pieces,
        hung.parts[0][1],
        hung.level_mm,
        liquid,
        0.0,
        lift * STANDARD_GRAVITY_M_S2,
        HOLD_DOWN * max(lift, 0.0) * STANDARD_GRAVITY_M_S2,
        max(lift, 0.0),
        0.0,
        mass,
        min(floats) if min(floats) < hung.level_mm else None,
        min(metacentric_height_mm(piece, tank.liquid.specific_gravity) for piece in pieces),
        None,
        _counted(panels),
        _sheets(panels, stock),
    )


def with_pieces(tank: Tank, pieces: Sequence[Piece]) -> Tank:
    """Return the tank with the pieces of a design standing in it."""
    made = tuple(
        Standing(
            f"new {k + 1}",
            box_shape(piece.size_mm).solid.moved(np.eye(3), np.array(piece.at_mm)),
            piece.mass_kg,
        )
        for k, piece in enumerate(pieces)
    )
    return replace(tank, blocks=tank.blocks + made)


def _liftable(box: Rectangle, height: float, stock: Stock) -> Iterator[Piece]:
    """Give the box, cut across its longer side into equal pieces that one person can lift and a sheet makes.

    None where even the thinnest is too large for a stock sheet.
    """
    length, width = (math.floor(side / CUT_MM) * CUT_MM for side in (box[2] - box[0], box[3] - box[1]))
    long = 0 if length >= width else 1
    most = int(max(length, width) // stock.thinnest_mm)
    for count in range(1, max(most, 1) + 1):
        each = (max(length, width) - (count - 1) * stock.gap_mm) / count
        size = (each, width, height) if long == 0 else (length, each, height)
        mass = box_mass_kg(size, stock)
        if (mass <= stock.lift_kg or count == most) and _from_sheet(size, stock):
            break
    else:
        return
    for k in range(count):
        at = [box[0], box[1], 0.0]
        at[long] += k * (each + stock.gap_mm)
        yield Piece(size, (at[0], at[1], at[2]), mass)


def _from_sheet(size_mm: tuple[float, float, float], stock: Stock) -> bool:
    """Tell whether every board of a box can be cut from a stock sheet in one piece."""
    sheet = sorted(stock.sheet_mm)
    return all(
        side <= stock_side
        for pair in ((0, 1), (0, 2), (1, 2))
        for side, stock_side in zip(sorted(size_mm[axis] for axis in pair), sheet, strict=True)
    )


def box_mass_kg(size_mm: tuple[float, float, float], stock: Stock) -> float:
    """Return what a closed box of sheet, lined outside, weighs empty."""
    outer = math.prod(size_mm)
    board = tuple(side - 2.0 * stock.lining_mm for side in size_mm)
    inner = math.prod(max(side - 2.0 * stock.sheet_thickness_mm, 0.0) for side in board)
    wood = max(math.prod(board) - inner, 0.0)
    lined = outer - math.prod(board)
    return (wood * stock.sheet_kg_l + lined * stock.lining_kg_l) / MM3_PER_LITRE


def metacentric_height_mm(piece: Piece, specific_gravity: float) -> float:
    """Return how stable a box floats empty: the height of its metacentre over its centre of mass.

    GM = I / V + KB - KG, for a box of even draught d: b^2 / (12 d) + d / 2 - h / 2 (naval architecture's
    standard formula; below 0 it does not float upright).
    """
    length, width, height = piece.size_mm
    draught = piece.mass_kg / (specific_gravity / MM3_PER_LITRE * length * width)
    return min(length, width) ** 2 / (12.0 * draught) + draught / 2.0 - height / 2.0


def _panels(piece: Piece, stock: Stock) -> Iterator[Panel]:
    """Give the boards of a box with butt joints: top and bottom whole, sides between, ends between those."""
    length, width, height = (side - 2.0 * stock.lining_mm for side in piece.size_mm)
    thick = stock.sheet_thickness_mm
    yield Panel("top and bottom", (length, width), 2)
    yield Panel("side", (length, height - 2.0 * thick), 2)
    yield Panel("end", (width - 2.0 * thick, height - 2.0 * thick), 2)


def _counted(panels: Sequence[Panel]) -> tuple[Panel, ...]:
    """Return the panels with equal ones counted together."""
    counts: dict[tuple[str, tuple[float, float]], int] = {}
    for panel in panels:
        size = (round(panel.size_mm[0], 1), round(panel.size_mm[1], 1))
        counts[panel.name, size] = counts.get((panel.name, size), 0) + panel.count
    return tuple(Panel(name, size, count) for (name, size), count in counts.items())


def _sheets(panels: Sequence[Panel], stock: Stock) -> int:
    """Return the fewest sheets that have so much area; offcuts make it more."""
    return math.ceil(
        sum(math.prod(panel.size_mm) * panel.count for panel in panels) / math.prod(stock.sheet_mm)
    )


def _dams(tank: Tank, hung: _Hung, stock: Stock) -> Iterator[Design]:
    """Give a board across the tank that shuts off the end where no part goes."""
    length, width, depth = tank.size_mm
    thick = stock.sheet_thickness_mm
    near, far = hung.taken[0], hung.taken[2]
    free_low, free_high = near - thick, length - far - thick
    if max(free_low, free_high) < stock.thinnest_mm or tank.standing:
        return
    board_mm = width, min(depth, hung.level_mm + tank.rules.freeboard_mm)
    if any(side > most for side, most in zip(sorted(board_mm), sorted(stock.sheet_mm), strict=True)):
        return
    at = far if free_high >= free_low else near - thick
    dry = (at + thick, length) if free_high >= free_low else (0.0, at)
    height = board_mm[1]
    board = Piece(
        (thick, width, height), (at, 0.0, 0.0), thick * width * height * stock.sheet_kg_l / MM3_PER_LITRE
    )
    shut = Piece((dry[1] - dry[0] + thick, width, depth), (min(dry[0], at), 0.0, 0.0), 0.0)
    liquid = _liquid_l(with_pieces(tank, [shut]), hung)
    specific = tank.liquid.specific_gravity
    pressure = specific * hung.level_mm * STANDARD_GRAVITY_M_S2
    thrust = pressure * hung.level_mm * width / MM_PER_M**2 / 2.0
    panel = Panel("dam board", (width, height), 1)
    yield Design(
        "dam",
        (board,),
        hung.parts[0][1],
        hung.level_mm,
        liquid,
        0.0,
        0.0,
        0.0,
        0.0,
        thrust,
        board.mass_kg,
        None,
        None,
        # The lowest strip of the board, held at its two ends: q w^2 / 8 over t^2 / 6. More is held in truth.
        0.75 * pressure * (width / thick) ** 2 / 1e6,
        (panel,),
        _sheets((panel,), stock),
    )
