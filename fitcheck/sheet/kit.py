"""A whole set of sheets: every part asked about in every tank, a page for each lift, laid out on paper.

Each part gets a lift in each liquid: in the tank that takes least of it. Where it goes under in no tank of
that liquid, two passes are asked for in the tank it is least short in.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.draw.paper_sizes import PaperName
from fitcheck.draw.sheet_sections import Page
from fitcheck.geometry.liquid.attitude_map import vessel_of
from fitcheck.geometry.statics.sprung_sheet import bent_part
from fitcheck.questions.chart.page import Cell, Row, cover_count, cover_pages
from fitcheck.questions.dip.answer import DipAnswer, DoesNotFit, Fits, MeasureAgain
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.dip.page import lift_page
from fitcheck.questions.dip.say import cure_line
from fitcheck.questions.fill.page import stick_page
from fitcheck.questions.ladder.ask import ladder
from fitcheck.questions.ladder.page import ladder_pages
from fitcheck.questions.passes.ask import passes
from fitcheck.questions.passes.page import pass_pages
from fitcheck.questions.room.ask import room
from fitcheck.questions.room.page import room_pages
from fitcheck.sheet.lifted import lifted, with_holes
from fitcheck.sheet.paper import Laid, laid_out, laid_over, numbered
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop, Show
from fitcheck.things.tank import Tank


@dataclass(frozen=True, slots=True)
class Order:
    """What is asked for: the paper, a dip-stick to each lift, and the words that every page needs.

    last: pages that come after all lifts, plans of rooms say. loads: whether the whole kit's come after its
    chart; few: with so many blocks at most built for a tank, None for as many as help.
    """

    paper: PaperName
    sticks: bool
    show: Show
    shop_name: str
    last: tuple[Page, ...] = ()
    loads: bool = False
    few: int | None = None


@dataclass(frozen=True, slots=True, eq=False)
class PartSheet:
    """One part: its line on the chart and its pages."""

    cells: tuple[Cell, ...]
    nowhere: str
    laid: tuple[Laid, ...]


def kit(
    shop: Shop,
    parts: Sequence[Part],
    tanks: Sequence[Tank],
    order: Order,
    executor: Executor | None = None,
    done: Callable[[], None] = lambda: None,
) -> tuple[Laid, ...]:
    """Return the pages of a set, in order, numbered; `done` is called after each part.

    executor: who helps; it begins with the first parts and this process with the last, until they meet.
    """
    each = replace(order, last=())
    jobs = (
        [] if executor is None else [executor.submit(part_sheet, part, tuple(tanks), each) for part in parts]
    )
    # The others are at the parts meanwhile.
    loads = loads_of(shop, order.few) if order.loads else ()
    mine: list[PartSheet] = []
    while len(mine) < len(parts) and (not jobs or jobs[-1].cancel()):
        mine.append(part_sheet(parts[len(parts) - 1 - len(mine)], tuple(tanks), order))
        jobs = jobs[:-1]
        done()
    theirs = []
    for job in jobs:
        theirs.append(job.result())
        done()
    sheets = [*theirs, *reversed(mine)]
    at = cover_count(len(parts), len(loads)) + 1
    rows = []
    for part, sheet in zip(parts, sheets, strict=True):
        rows.append(Row(part.name, sheet.cells, range(at, at + len(sheet.laid)), sheet.nowhere))
        at += len(sheet.laid)
    covers = [laid_out(page, order.paper) for page in cover_pages(shop, tanks, rows, loads)]
    ends = [laid for page in order.last for laid in laid_over(page, order.paper)]
    pages = [*covers, *(laid for sheet in sheets for laid in sheet.laid), *ends]
    return tuple(numbered(laid, k + 1, len(pages)) for k, laid in enumerate(pages))


def rooms_of(shop: Shop) -> tuple[Page, ...]:
    """Return the pages of every room of a shop, as it is laid out."""
    answers = [room(each) for each in shop.rooms.values()]
    return tuple(page for answer in answers for page in room_pages(answer, shop.show, shop.name))


def loads_of(shop: Shop, few: int | None = None) -> tuple[Page, ...]:
    """Return the pages of the whole kit: the fill ladder, its loads and what to buy; few: see `ladder`."""
    return ladder_pages(ladder(shop, few=few), shop)


def part_sheet(part: Part, tanks: tuple[Tank, ...], order: Order) -> PartSheet:
    """Return one part's line and pages."""
    vessel = vessel_of(part)
    answers = {tank.name: dip(part, tank, with_cures=False, vessel=vessel) for tank in tanks}
    cells = tuple(_cell(tank, answers[tank.name]) for tank in tanks)
    pages: list[Page] = []
    for liquid in dict.fromkeys(tank.liquid.name for tank in tanks):
        these = [tank for tank in tanks if tank.liquid.name == liquid]
        pages += _pages_in(part, these, answers, order)
    nowhere = "" if pages else _why_not(part, tanks, answers, order.show)
    return PartSheet(cells, nowhere, tuple(laid for page in pages for laid in laid_over(page, order.paper)))


def _pages_in(part: Part, tanks: list[Tank], answers: dict[str, DipAnswer], order: Order) -> tuple[Page, ...]:
    """Return the pages of a part in the tanks of one liquid."""
    by_name = {tank.name: tank for tank in tanks}
    going = [answer for name in by_name if isinstance(answer := answers[name], Fits | MeasureAgain)]
    if going:
        best = min(going, key=lambda answer: (isinstance(answer, MeasureAgain), answer.advice.fill.liquid_l))
        tank = by_name[best.tank]
        lift = with_holes(lifted(part, tank, best))
        page = lift_page(lift, order.show, order.shop_name)
        stick = (stick_page(lift, order.show, order.shop_name, order.paper),) if order.sticks else ()
        return (page, *stick)
    tank = by_name[max(by_name, key=lambda name: answers[name].spare.mm)]
    if not may_do_in_two(part, tank):
        return ()
    two = passes(part, tank)
    if two.verdict in {"not found", "does not fit"}:
        return ()
    if two.sprung is not None:
        part = bent_part(part, two.sprung.chord_mm)
    return pass_pages(two, part, tank, order.show, order.shop_name)


def may_do_in_two(part: Part, tank: Tank) -> bool:
    """Whether two passes could wet the part at all.

    What one pass wets of a line from end to end of the part lies under the liquid between the clearances, and
    is no longer than the longest line there; two and their overlap must make up the part's length.
    """
    rules = tank.rules
    length, width, depth = tank.size_mm
    room = np.array(
        [
            length - 2.0 * rules.side_clearance_mm,
            width - 2.0 * rules.side_clearance_mm,
            depth - rules.freeboard_mm - rules.bottom_clearance_mm,
        ]
    )
    longest = float(np.ptp(part.solid.vertices_mm, axis=0).max())
    return longest + rules.overlap_mm <= 2.0 * float(np.linalg.norm(room))


def _cell(tank: Tank, answer: DipAnswer) -> Cell:
    level = None
    if isinstance(answer, Fits | MeasureAgain):
        level = answer.least.level_mm if answer.least else answer.advice.fill.level_mm
    spare = answer.spare
    return Cell(tank.name, answer.verdict, spare.mm, spare.at_most_mm, level)


def _why_not(part: Part, tanks: tuple[Tank, ...], answers: dict[str, DipAnswer], show: Show) -> str:
    """Return why a part has no lift, and what would give it one, in the tank it is least short in."""
    tank = max(tanks, key=lambda each: answers[each.name].spare.mm)
    answer = answers[tank.name]
    if not isinstance(answer, DoesNotFit):
        return f"in {tank.name}, {answer.reason}"
    whole = dip(part, tank)
    cures = (
        " or ".join(cure_line(cure, show) for cure in whole.cures) if isinstance(whole, DoesNotFit) else ""
    )
    would = f"; {tank.name} would do with {cures}" if cures else ""
    return f"does not fit any tank asked about, in one pass or two{would}"
