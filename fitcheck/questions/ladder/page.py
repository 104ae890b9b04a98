"""The pages of the whole kit: the fill ladder as a picture and a table, and what is to be bought for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fitcheck.draw.captions import STANDING_CAUTION
from fitcheck.draw.ink import Marks, shrunk
from fitcheck.draw.sheet_sections import Drawing, Lead, Notes, Page, Section, Table
from fitcheck.geometry.liquid.block_pieces import boards, sheets_by_area
from fitcheck.questions.ladder.answer import LadderAnswer, held_at_most_l
from fitcheck.questions.ladder.draw import ON_A_PAGE, ladder_marks
from fitcheck.questions.ladder.page_blocks import ladder_blocks
from fitcheck.questions.ladder.say import first_line
from fitcheck.questions.lot.say import contents
from fitcheck.say.cautions import sentence
from fitcheck.things.caution import Caution
from fitcheck.things.make_up import make_up
from fitcheck.things.shop import Shop, Show
from fitcheck.things.stock import Piece
from fitcheck.things.tank import Tank
from fitcheck.words.units import show_length, show_mass, show_volume

_LEAST_PT, _MOST_PT = 260.0, 600.0
# Loads told on a page.
_ROWS = 26


@dataclass(frozen=True, slots=True, eq=False)
class _LadderSketch:
    """The fill ladder, as large as it finds room."""

    answer: LadderAnswer
    show: Show

    def marks(self, width_pt: float, height_pt: float) -> Marks:
        """Return the ladder in a box of that size, at its top."""
        marks, (wide, high) = ladder_marks(self.answer, self.show, look=ON_A_PAGE)
        share = min(width_pt / wide, height_pt / high)
        return shrunk(marks, share, (0.0, height_pt - share * high))


def ladder_pages(answer: LadderAnswer, shop: Shop) -> tuple[Page, ...]:
    """Return the page of the ladder, pages of its loads, what is bought, its blocks; none for no load."""
    if not answer.steps:
        return ()
    says = "what is in each tank at each load, what is added for it, and what blocks save"
    picture: tuple[Section, ...] = (
        Lead("Whole kit", first_line(answer, shop.show)),
        Drawing(_LadderSketch(answer, shop.show), says, _LEAST_PT, _MOST_PT),
        Notes("", (sentence(Caution("losses not counted"), shop.show),)),
    )
    rows = _rows(answer, shop.show)
    return (
        _page("Ladder", "what is added, load by load", shop.name, picture),
        *(
            _page("Loads", "in their order", shop.name, (_loads(rows[at : at + _ROWS]),))
            for at in range(0, len(rows), _ROWS)
        ),
        _page("To buy", "for the whole kit", shop.name, _to_buy(answer, shop)),
        *ladder_blocks(answer, shop),
    )


def _page(tag: str, title: str, shop_name: str, sections: tuple[Section, ...]) -> Page:
    return Page(kind="other", tag=tag, title=title, under=shop_name, sections=sections, foot=STANDING_CAUTION)


def _rows(answer: LadderAnswer, show: Show) -> tuple[tuple[str, ...], ...]:
    return tuple(
        (
            str(k + 1),
            step.tank,
            contents(step.lot),
            str(len(step.blocks) or "none"),
            show_volume(step.add_l, show),
            show_volume(step.liquid_l, show),
            show_length(step.level_mm, show),
        )
        for k, step in enumerate(answer.steps)
    )


def _loads(rows: tuple[tuple[str, ...], ...]) -> Table:
    heads = ("load", "tank", "parts", "blocks", "add", "then in it", "level, part in")
    return Table("Blocks: their build sheets follow", heads, rows, (0.5, 0.5, 2.6, 0.7, 0.9, 0.9, 1.2))


def _to_buy(answer: LadderAnswer, shop: Shop) -> tuple[Section, ...]:
    show = shop.show
    baths = tuple(
        _bath_row(shop.tanks[name], litres, show) for name, litres in held_at_most_l(answer.steps).items()
    )
    sets = _largest_sets(answer)
    sheets = sum(
        sheets_by_area([panel for piece in pieces for panel in boards(piece, shop.stock)], shop.stock)
        for pieces in sets.values()
    )
    size = " x ".join(show_length(side, show) for side in shop.stock.sheet_mm)
    thick = show_length(shop.stock.sheet_thickness_mm, show)
    which = "the few blocks to build" if answer.builds else "the most blocks that stand at a time"
    blocks = ((f"{thick} sheet, {size}", f"{sheets} at least", f"by area, for {which}"),)
    notes = (
        "What parts carry out, and what dries off, comes on top: ask fitcheck mix.",
        "Gloves, goggles, apron, rinse and neutraliser as the safety sheets ask for.",
    )
    heads = ("tank", "bath", "of concentrate", "whole containers", "price")
    return (
        Table("Baths", heads, baths, (0.5, 1.2, 1.4, 1.4, 0.9)),
        *((Table("Blocks", ("what", "so many", ""), blocks, (1.5, 1.0, 2.2)),) if sets else ()),
        Notes("Not counted", notes, "care"),
    )


def _largest_sets(answer: LadderAnswer) -> Mapping[str, tuple[Piece, ...]]:
    """Return for each tank the few blocks to build, else the most that stand in it at a time."""
    at = (0.0, 0.0, 0.0)
    sets = {
        build.tank: tuple(Piece(block.size_mm, at, block.mass_kg) for block in build.blocks)
        for build in answer.builds
        if build.blocks
    }
    if answer.builds:
        return sets
    for step in answer.steps:
        if len(step.blocks) > len(sets.get(step.tank, ())):
            sets[step.tank] = step.blocks
    return sets


def _bath_row(tank: Tank, litres: float, show: Show) -> tuple[str, ...]:
    recipe = tank.liquid.recipe
    made = make_up(recipe, litres)
    concentrate = "no ratio in the shop file"
    if made.concentrate_l is not None:
        concentrate = f"{show_volume(made.concentrate_l, show)} in {show_volume(made.water_l, show)} of water"
    elif made.concentrate_kg is not None:
        concentrate = f"{show_mass(made.concentrate_kg, show)} in {show_volume(made.water_l, show)} of water"
    bought = "size of container not told" if made.containers is None else str(made.containers)
    price = "not told" if recipe.price_per_l is None else f"{recipe.price_per_l * litres:,.0f}"
    name = f"{show_volume(litres, show)} of {tank.liquid.name}"
    plain = made.strength is None and tank.liquid.name == "water"
    return (tank.name, name, "plain water" if plain else concentrate, "" if plain else bought, price)
