"""The picture of a block design: the tank with what is built in, the part, and the liquid that is left."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from fitcheck.draw import ink, layout
from fitcheck.draw.captions import Fact
from fitcheck.draw.ink import Label, Marks
from fitcheck.draw.layout import planned
from fitcheck.draw.paint import blank, checked_path, put, write
from fitcheck.draw.posed_part import hung
from fitcheck.draw.scene import Scene
from fitcheck.draw.svg import svg as svg_of
from fitcheck.geometry.liquid.block_pieces import shut_off
from fitcheck.geometry.liquid.blocks_in_tank import with_pieces
from fitcheck.geometry.liquid.fill_level import fill_at
from fitcheck.questions.block.answer import BlockAnswer, Design
from fitcheck.questions.block.say import UNDER_A_PICTURE
from fitcheck.questions.dip.draw import end_view, from_above, side_view
from fitcheck.questions.dip.draw_dimensions import beside, measured
from fitcheck.things.part import Part
from fitcheck.things.pockets import Held
from fitcheck.things.shop import Shop, Show
from fitcheck.things.stock import Piece
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import show_force, show_length, show_mass, show_volume

_NAME_PT = 11.0


def draw(answer: BlockAnswer, shop: Shop, path: Path) -> tuple[str, ...]:
    """Draw the best design to `path` (.png, .svg or .pdf), with the first of the parts in it.

    Returns no notes. Raises `Refused` where there is no design, where the folder does not exist, and for an
    unknown kind of file.
    """
    target = checked_path(path)
    if not answer.designs:
        raise Refused(
            f"there is no block or dam in {answer.tank} to be drawn", "ask with other parts or another stock"
        )
    paper = blank(layout.SHEET_PT)
    put(_marks(answer, shop), paper)
    write(paper, target)
    return ()


def svg(answer: BlockAnswer, shop: Shop) -> str | None:
    """Return the best design as SVG; None where there is no design."""
    return svg_of(_marks(answer, shop), layout.SHEET_PT, _title(answer)) if answer.designs else None


def _marks(answer: BlockAnswer, shop: Shop) -> Marks:
    """Return the whole sheet of the best design."""
    design, show = answer.designs[0], shop.show
    scene = design_scene(design, shop.parts[answer.parts[0]], shop.tanks[answer.tank])
    facts, sizes = _facts(answer, design, show), measured(scene, show)
    foot, high = layout.footer(UNDER_A_PICTURE)
    plan = planned(scene, beside(sizes), facts, high)
    return (
        *layout.frame_of_sheet(),
        *layout.header(f"saves {show_volume(design.saves_l, show)}", ink.GO, _title(answer), shop.name),
        *side_view(scene, sizes, plan),
        *end_view(scene, sizes, plan),
        *layout.panel(facts, plan.words_box),
        *from_above(scene, plan.space_box),
        *piece_numbers(scene, design, plan.space_box),
        *foot,
    )


def _title(answer: BlockAnswer) -> str:
    what = "dam board" if answer.designs[0].kind == "dam" else "blocks"
    return f"{what} in {answer.tank} for {', '.join(answer.parts)}"


def design_scene(design: Design, part: Part, tank: Tank) -> Scene:
    """Return the tank with a design in it, and the first of its parts under the liquid."""
    filled = with_pieces(tank, _without_liquid(design, part, tank))
    fill = fill_at(part, design.pose, filled, design.level_mm)
    here = hung(part, design.pose, Held(()))
    return Scene(here.part, here.pose, here.ends_mm, (), filled, fill)


def _without_liquid(design: Design, part: Part, tank: Tank) -> tuple[Piece, ...]:
    """Return what holds no liquid: the blocks, or the board with the end of the tank that it shuts off."""
    if design.kind == "block":
        return design.pieces
    (board,) = design.pieces
    is_beyond = float(design.pose.apply(part.centre_mm[None, :])[0, 0]) < board.at_mm[0]
    return (shut_off(tank, board, beyond=is_beyond),)


def _facts(answer: BlockAnswer, design: Design, show: Show) -> tuple[Fact, ...]:
    """Return what the design saves and what holds it, most needed first."""
    facts = [
        Fact(
            "liquid", f"{show_volume(design.liquid_l, show)} instead of {show_volume(answer.without_l, show)}"
        ),
        Fact("of all that could be saved", f"{answer.saves_share:.0%}"),
    ]
    if design.kind == "dam":
        facts.append(
            Fact("pushes on the board", show_force(design.thrust_n, show), ink.WARNING, leading=True)
        )
        return tuple(facts)
    straps, ballast = show_force(design.hold_down_n, show), show_mass(design.ballast_kg, show)
    facts.append(Fact("straps for", f"{straps}, or {ballast} of ballast", ink.WARNING, leading=True))
    if design.lifts_at_mm is not None:
        facts.append(Fact("the first floats up at", f"{show_length(design.lifts_at_mm, show)} of liquid"))
    sizes: dict[str, int] = {}
    for piece in design.pieces:
        words = " x ".join(show_length(side, show) for side in piece.size_mm)
        sizes[words] = sizes.get(words, 0) + 1
    facts += [Fact(f"{count} of" if count > 1 else "one of", words) for words, count in sizes.items()]
    return tuple(facts)


def piece_numbers(scene: Scene, design: Design, box: ink.Box) -> Marks:
    """Return the number of each piece, in its middle, in the view from above."""
    frame = layout.plan_frame(scene, box)
    marks: list[Label] = []
    for k, piece in enumerate(design.pieces):
        middle = [piece.at_mm[axis] + piece.size_mm[axis] / 2.0 for axis in range(3)]
        ((x, y),) = frame.place(np.array([middle])).tolist()
        marks.append(Label(str(k + 1), (x, y), _NAME_PT, bold=True))
    return tuple(marks)
