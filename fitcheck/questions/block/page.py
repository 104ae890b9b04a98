"""The pages of a block design: what to build and where it stands, then how its boards are cut."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.draw.captions import STANDING_CAUTION
from fitcheck.draw.ink import Box, Marks, shrunk
from fitcheck.draw.scene import Scene
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
from fitcheck.geometry.plan.sheet_cutting import KERF_MM
from fitcheck.questions.block.answer import BlockAnswer, Design
from fitcheck.questions.block.draw import design_scene, piece_numbers
from fitcheck.questions.block.draw_cutting import CuttingSketch, panel_letter
from fitcheck.questions.block.say import ballast_rows, bending_words, what
from fitcheck.questions.dip.draw import from_above
from fitcheck.questions.dip.draw_lift import PRINT, LiftSketch
from fitcheck.say.attitude_words import attitude, heights
from fitcheck.say.cautions import sentences
from fitcheck.things.caution import Caution
from fitcheck.things.part import Part
from fitcheck.things.shop import Show
from fitcheck.things.stock import Stock
from fitcheck.things.tank import Tank
from fitcheck.things.tank_cautions import STANDING
from fitcheck.words.units import show_force, show_length, show_mass, show_volume

# The plan takes no more than this of the picture's height, and so much for its walls and name.
_PLAN_SHARE, _PLAN_NAME_PT = 0.34, 36.0
_CUT_LEAST_PT, _CUT_MOST_PT = 200.0, 460.0
_LEAST_PT, _MOST_PT = 320.0, 460.0
# Pieces told on the first page, and on each page of more.
_FIRST_ROWS, _MORE_ROWS = 5, 26
CHECKS = (
    "boards glued and screwed, butt joints as named",
    "lined outside all round, edges rounded, tried for leaks",
    "numbered as in the plan from above",
    "strapped or ballasted before any liquid goes in",
    "tried in plain water to the fill line",
)
BUILD_CAUTIONS = (Caution("blocks float"), Caution("ask an engineer"), *STANDING)
_DAM_CHECKS = (
    "board sealed along the floor and both walls",
    "held against the push of the liquid",
    "a stiff rail along its top",
    "tried in plain water to the fill line; the dry side stays dry",
)


@dataclass(frozen=True, slots=True, eq=False)
class Built:
    """A design that is to be built: the answer it stands in, its parts, its tank and stock."""

    answer: BlockAnswer
    design: Design
    parts: tuple[Part, ...]
    tank: Tank
    stock: Stock


@dataclass(frozen=True, slots=True, eq=False)
class _DesignSketch:
    """The tank with the blocks from above, numbered, and from the side and the end."""

    scene: Scene
    design: Design
    show: Show

    def marks(self, width_pt: float, height_pt: float) -> Marks:
        """Return the views in a box of that size."""
        long, across, _ = self.scene.tank.size_mm
        plan_pt = min(_PLAN_SHARE * height_pt, width_pt * across / long + _PLAN_NAME_PT)
        views = height_pt - plan_pt
        box = Box(0.0, 0.0, width_pt / PRINT, plan_pt / PRINT)
        plan = (*from_above(self.scene, box), *piece_numbers(self.scene, self.design, box))
        return (
            *shrunk(plan, PRINT, (0.0, views)),
            *LiftSketch(self.scene, self.show).marks(width_pt, views),
        )


def building_pages(built: Built, show: Show, shop_name: str) -> tuple[Page, ...]:
    """Return the pages of what is built and where, how it is held down, and how its boards are cut."""
    pieces = _pieces(built.design, show)
    return (
        _page(built, "build", shop_name, (*_building(built, show), *_table(pieces[:_FIRST_ROWS]))),
        *(
            _page(built, "pieces", shop_name, _table(pieces[at : at + _MORE_ROWS]))
            for at in range(_FIRST_ROWS, len(pieces), _MORE_ROWS)
        ),
        _page(built, "hold", shop_name, _holding(built, show)),
        _page(built, "cut", shop_name, _cutting(built, show)),
    )


def _building(built: Built, show: Show) -> tuple[Section, ...]:
    answer, design = built.answer, built.design
    scene = design_scene(design, built.parts[0], built.tank)
    says = f"{what(design)} in {answer.tank} from above, the side and the end, to scale"
    return (
        Lead("Build", f"{what(design)} of {show_length(built.stock.sheet_thickness_mm, show)} sheet"),
        Drawing(_DesignSketch(scene, design, show), says, _LEAST_PT, _MOST_PT),
        _values(answer, design, show),
    )


def _holding(built: Built, show: Show) -> tuple[Section, ...]:
    design = built.design
    hung = tuple(
        Value(f"{part.name} hangs", f"{attitude(pose.angles, part, show)}; {heights(pose, part, show)}")
        for part, pose in zip(built.parts, design.poses, strict=True)
    )
    pulls = tuple(
        (show_length(step.level_mm, show), show_force(step.uplift_n, show)) for step in design.filling
    )
    heads = ("liquid over the floor", "pulls up on straps")
    filling = (Table("While filling", heads, pulls),) if pulls else ()
    return (
        Facts("", (*_facts(design, show), *hung)),
        *filling,
        Ticks(_DAM_CHECKS if design.kind == "dam" else CHECKS, ("built by", "date")),
        Notes("Cautions", sentences(BUILD_CAUTIONS, show), "care"),
    )


def _page(built: Built, word: str, shop_name: str, sections: tuple[Section, ...]) -> Page:
    answer = built.answer
    return Page(
        kind="build",
        tag=answer.tank,
        title=f"{what(built.design)} for {', '.join(answer.parts)}: {word}",
        under=shop_name,
        sections=sections,
        tank=answer.tank,
        foot=STANDING_CAUTION,
    )


def _values(answer: BlockAnswer, design: Design, show: Show) -> Values:
    line = f"instead of {show_volume(answer.without_l, show)}, part in"
    held = (
        Value("Pushes on the board", show_force(design.thrust_n, show), "sideways, all of it", "care")
        if design.kind == "dam"
        else Value("Straps for", show_force(design.hold_down_n, show), "1.5 times what pulls up", "care")
    )
    return Values(
        (
            Value("Saves", show_volume(design.saves_l, show), design.reason, "go"),
            Value("Liquid", show_volume(design.liquid_l, show), line, "liquid"),
            held,
        )
    )


def _pieces(design: Design, show: Show) -> tuple[tuple[str, ...], ...]:
    """Return a row for each piece: its number, size, place and mass."""

    def place(at_mm: tuple[float, float, float]) -> str:
        return ", ".join(f"{axis} {show_length(mm, show)}" for axis, mm in zip("xy", at_mm[:2], strict=True))

    return tuple(
        (
            str(k + 1),
            " x ".join(show_length(side, show) for side in piece.size_mm),
            place(piece.at_mm),
            show_mass(piece.mass_kg, show),
        )
        for k, piece in enumerate(design.pieces)
    )


def _table(rows: tuple[tuple[str, ...], ...]) -> tuple[Section, ...]:
    heads = ("no.", "outside, length x width x height", "low corner in the tank", "empty")
    return (Table("", heads, rows, (0.35, 3.0, 2.0, 0.8)),)


def _facts(design: Design, show: Show) -> tuple[Value, ...]:
    if design.kind == "dam":
        return (Value("Bending", bending_words(design, show)),)
    rows = []
    if design.lifts_at_mm is not None:
        words = f"the first floats up at {show_length(design.lifts_at_mm, show)} of liquid"
        rows.append(Value("While filling", words, tone="care"))
    if design.ballast is not None:
        rows += [Value(name, words) for name, words in ballast_rows(design.ballast, show)]
    if design.metacentre_mm is not None and design.metacentre_mm < 0.0:
        rows.append(Value("Afloat", "a loose piece rolls over", tone="care"))
    return tuple(rows)


def _cutting(built: Built, show: Show) -> tuple[Section, ...]:
    design = built.design
    rows = tuple(
        (
            panel_letter(k),
            panel.name,
            " x ".join(show_length(side, show) for side in panel.size_mm),
            str(panel.count),
        )
        for k, panel in enumerate(design.panels)
    )
    sketch = CuttingSketch(design, built.stock.sheet_mm, show)
    kerf = show_length(KERF_MM, show)
    thick = show_length(built.stock.sheet_thickness_mm, show)
    says = f"the boards on {len(design.sheets)} sheets, to scale"
    lining = show_length(built.stock.lining_mm, show)
    notes = (
        f"Sheet {thick} thick; {kerf} is left between boards for the saw; every cut goes right through.",
        f"Sizes are of bare boards: {lining} of lining comes on outside.",
        "Measure each board before it is cut: top and bottom whole, sides between them, ends between those.",
    )
    return (
        Lead("Cut", f"{sum(panel.count for panel in design.panels)} boards from {len(design.sheets)} sheets"),
        Drawing(sketch, says, _CUT_LEAST_PT, _CUT_MOST_PT),
        Table("", ("board", "what", "size", "so many"), rows, (0.5, 1.4, 2.2, 0.7)),
        Notes("", notes),
    )
