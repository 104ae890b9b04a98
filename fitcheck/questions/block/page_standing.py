"""Build sheets of blocks that stand in a tank, set by set; those of the shop file."""

from __future__ import annotations

import string
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from fitcheck.draw.captions import STANDING_CAUTION
from fitcheck.draw.sheet_sections import (
    Drawing,
    Facts,
    Lead,
    Notes,
    Page,
    Section,
    Table,
    Ticks,
    Value,
    Values,
)
from fitcheck.geometry.liquid.block_pieces import (
    ballast,
    boards,
    box_mass_kg,
    floats_at_mm,
    lift_kg,
    sheets_by_area,
)
from fitcheck.questions.block.draw_standing import StandingSketch
from fitcheck.questions.block.page import BUILD_CAUTIONS, CHECKS
from fitcheck.questions.block.say import ballast_rows
from fitcheck.say.cautions import sentences
from fitcheck.things.shop import Shop, Show
from fitcheck.things.solid import Solid
from fitcheck.things.stock import HOLD_DOWN, Piece, Stock
from fitcheck.things.tank import Tank
from fitcheck.words.units import (
    MM3_PER_LITRE,
    STANDARD_GRAVITY_M_S2,
    show_force,
    show_length,
    show_mass,
    show_volume,
)

_LEAST_PT, _MOST_PT = 220.0, 360.0
# About the width of a page between its margins.
_WIDTH_PT = 540.0
# Blocks told on the page with the picture, and on each page after it.
_FIRST_ROWS, _MORE_ROWS = 10, 22
# Sizes told on the page that says how blocks are built, and on each page after it.
_FIRST_SIZES, _MORE_SIZES = 8, 14
_BOARDS = ("top and bottom", "sides", "ends")
Size = tuple[float, float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Stood:
    """Blocks that stand in a tank together. tank: without them. level_mm: of the liquid then, at most.

    parts: what hangs beside them, in the tank's frame. when: for what ("load 3"). names: of the blocks, where
    they have any.
    """

    tank: Tank
    pieces: tuple[Piece, ...]
    parts: tuple[Solid, ...]
    level_mm: float
    when: str
    names: tuple[str, ...] = ()


def shop_blocks(shop: Shop) -> tuple[Page, ...]:
    """Return the pages of the blocks that a shop file has standing in its tanks."""
    sets = [_of_file(tank, shop.stock) for tank in shop.tanks.values() if tank.blocks]
    return tuple(page for each in sets for page in block_pages([each], shop))


def block_pages(sets: Sequence[Stood], shop: Shop) -> tuple[Page, ...]:
    """Return for the blocks of one tank what is to be built, then where each set of them stands."""
    letters = _letters(sets)
    build = (
        _page(sets[0].tank, "blocks to build", shop.name, each) for each in _building(sets, letters, shop)
    )
    return (*build, *(page for each in sets for page in _where(each, letters, shop)))


def _of_file(tank: Tank, stock: Stock) -> Stood:
    """Return a tank's own blocks, with liquid to the freeboard: it stands no higher with a part in."""
    pieces = []
    for block in tank.blocks:
        low, high = block.solid.vertices_mm.min(axis=0), block.solid.vertices_mm.max(axis=0)
        x, y, z = (float(side) for side in high - low)
        mass = box_mass_kg((x, y, z), stock) if block.mass_kg is None else block.mass_kg
        pieces.append(Piece((x, y, z), (float(low[0]), float(low[1]), float(low[2])), mass))
    level = tank.depth_mm - tank.rules.freeboard_mm
    names = tuple(block.name for block in tank.blocks)
    return Stood(replace(tank, blocks=()), tuple(pieces), (), level, "every lift", names)


def _letters(sets: Sequence[Stood]) -> dict[Size, str]:
    """Return a letter for each size of block, in the order in which they are asked for."""
    sizes = dict.fromkeys(_size(piece) for each in sets for piece in each.pieces)
    names = [
        *string.ascii_uppercase,
        *(a + b for a in string.ascii_uppercase for b in string.ascii_uppercase),
    ]
    return dict(zip(sizes, names, strict=False))


def _size(piece: Piece) -> Size:
    """Return the size by which a block is known: stood along the tank or across it, it is the same."""
    x, y, z = (round(side, 1) for side in piece.size_mm)
    return max(x, y), min(x, y), z


def _building(sets: Sequence[Stood], letters: dict[Size, str], shop: Shop) -> tuple[tuple[Section, ...], ...]:
    """Return what is built, a page each: the sizes with their boards, and how, on the first."""
    show, stock = shop.show, shop.stock
    most: Counter[Size] = Counter()
    for each in sets:
        most |= Counter(_size(piece) for piece in each.pieces)
    # As it lies along the tank, so that its boards are named by the size that is told.
    first = {(size := _size(piece)): replace(piece, size_mm=size) for each in sets for piece in each.pieces}
    rows = tuple(
        (
            f"{letter}: {most[size]}",
            " x ".join(show_length(side, show) for side in size),
            show_mass(first[size].mass_kg, show),
            *_boards(first[size], stock, show),
        )
        for size, letter in letters.items()
    )
    hollow = [size for size in letters if _is_hollow(first[size], stock)]
    panels = [panel for size in hollow for _ in range(most[size]) for panel in boards(first[size], stock)]
    thick = show_length(stock.sheet_thickness_mm, show)
    sheet = " x ".join(show_length(side, show) for side in stock.sheet_mm)
    lining = show_length(stock.lining_mm, show)
    notes = (
        f"Boards of {thick} sheet, butt joints: top and bottom whole, sides between, ends between those.",
        f"Sizes of boards are bare: {lining} of lining comes on outside. "
        f"{sheets_by_area(panels, stock)} sheets of {sheet} at least, by area.",
    )
    return (
        (
            Lead("Build", f"{_counted(sum(most.values()), 'block')} of {_counted(len(letters), 'size')}"),
            _sizes(rows[:_FIRST_SIZES]),
            Notes("", notes),
            Ticks(CHECKS, ("built by", "date")),
            Notes("Cautions", sentences(BUILD_CAUTIONS, show), "care"),
        ),
        *((_sizes(rows[at : at + _MORE_SIZES]),) for at in range(_FIRST_SIZES, len(rows), _MORE_SIZES)),
    )


def _sizes(rows: tuple[tuple[str, ...], ...]) -> Table:
    heads = (
        "block: so many",
        "outside, length x width x height",
        "empty",
        *(f"{name}, 2" for name in _BOARDS),
    )
    return Table("", heads, rows, (0.7, 1.7, 0.8, 1.4, 1.4, 1.4))


def _counted(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def _is_hollow(piece: Piece, stock: Stock) -> bool:
    return min(piece.size_mm) > 2.0 * (stock.lining_mm + stock.sheet_thickness_mm)


def _boards(piece: Piece, stock: Stock, show: Show) -> tuple[str, ...]:
    """Return the size of each board of a block, in the order of `_BOARDS`."""
    if not _is_hollow(piece, stock):
        return ("make it solid", *("none",) * (len(_BOARDS) - 1))
    return tuple(
        " x ".join(show_length(side, show) for side in panel.size_mm) for panel in boards(piece, stock)
    )


def _where(stood: Stood, letters: dict[Size, str], shop: Shop) -> tuple[Page, ...]:
    """Return where each block stands by tape, and what keeps it down."""
    show, tank = shop.show, stood.tank
    count = len(stood.pieces)
    rows = tuple(_row(k, stood, letters, show) for k in range(count))
    sketch = StandingSketch(tank, stood.pieces, stood.parts, stood.level_mm, show)
    useful = sketch.useful_pt(_WIDTH_PT)
    says = f"blocks in {tank.name} from above and from the side, to scale, numbered"
    first: tuple[Section, ...] = (
        Lead("Stand", f"{_counted(count, 'block')} for {stood.when}"),
        Drawing(sketch, says, min(_LEAST_PT, useful), min(_MOST_PT, useful)),
        _values(stood, show),
        *_table(rows[:_FIRST_ROWS]),
        Facts("", _facts(stood, shop)),
    )
    title = f"blocks for {stood.when}: where"
    more = (rows[at : at + _MORE_ROWS] for at in range(_FIRST_ROWS, count, _MORE_ROWS))
    return (
        _page(tank, title, shop.name, first),
        *(_page(tank, title, shop.name, _table(each)) for each in more),
    )


def _table(rows: tuple[tuple[str, ...], ...]) -> tuple[Section, ...]:
    heads = (
        "no.",
        "block",
        "from the left end",
        "from the near side",
        "over the floor",
        "displaces",
        "hold by",
    )
    named = any("," in row[1] for row in rows)
    return (Table("", heads, rows, (0.3, 1.1 if named else 0.5, 1.4, 1.3, 0.8, 0.95, 0.95)),)


def _row(k: int, stood: Stood, letters: dict[Size, str], show: Show) -> tuple[str, ...]:
    piece = stood.pieces[k]
    x, y, z = piece.at_mm
    pull = _pull_n(piece, stood)
    return (
        str(k + 1),
        ", ".join([letters[_size(piece)], *_across(piece), *stood.names[k : k + 1]]),
        show_length(x, show),
        show_length(y, show),
        show_length(z, show) if z else "on it",
        show_volume(_displaced_l(piece, stood.level_mm), show),
        show_force(HOLD_DOWN * pull, show) if pull > 0.0 else "its weight",
    )


def _across(piece: Piece) -> tuple[str, ...]:
    return ("across",) if piece.size_mm[1] > piece.size_mm[0] else ()


def _displaced_l(piece: Piece, level_mm: float) -> float:
    length, width, height = piece.size_mm
    return length * width * min(height, max(level_mm - piece.at_mm[2], 0.0)) / MM3_PER_LITRE


def _pull_n(piece: Piece, stood: Stood) -> float:
    """Return what pulls a piece up at the level, empty and held under; below 0 it stands."""
    under = max(stood.level_mm - piece.at_mm[2], 0.0)
    return lift_kg(piece, under, stood.tank.liquid.specific_gravity) * STANDARD_GRAVITY_M_S2


def _values(stood: Stood, show: Show) -> Values:
    hold = HOLD_DOWN * sum(max(_pull_n(piece, stood), 0.0) for piece in stood.pieces)
    liquid = sum(_displaced_l(piece, stood.level_mm) for piece in stood.pieces)
    level = show_length(stood.level_mm, show)
    return Values(
        (
            Value("Straps for", show_force(hold, show), f"in all, {HOLD_DOWN:g} times what pulls up", "care"),
            Value("They displace", show_volume(liquid, show), "that need not be mixed", "go"),
            Value("Liquid up to", level, "over the floor, at most", "liquid"),
        )
    )


def _facts(stood: Stood, shop: Shop) -> tuple[Value, ...]:
    show, gravity = shop.show, stood.tank.liquid.specific_gravity
    floats = [
        piece.at_mm[2] + floats_at_mm(piece, gravity) for piece in stood.pieces if _pull_n(piece, stood) > 0.0
    ]
    if not floats:
        return (Value("Held down", "by their own weight, empty"),)
    first = f"the first floats up at {show_length(min(floats), show)} of liquid, empty and loose"
    held = ballast(stood.pieces, stood.level_mm, gravity, shop.stock)
    return (
        Value("While filling", first, tone="care"),
        *(Value(name, f"instead of straps: {words}") for name, words in ballast_rows(held, show)[:1]),
    )


def _page(tank: Tank, title: str, shop_name: str, sections: tuple[Section, ...]) -> Page:
    return Page(
        kind="build",
        tag=tank.name,
        title=title,
        under=shop_name,
        sections=sections,
        tank=tank.name,
        foot=STANDING_CAUTION,
    )
