"""The plan of a route with the part at its key poses, to scale."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from fitcheck.draw import ink, layout
from fitcheck.draw.captions import Fact
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, Stroke, box_of
from fitcheck.draw.paint import blank, checked_path, put, write
from fitcheck.draw.svg import svg as svg_of
from fitcheck.questions.carry.answer import CarryAnswer, KeyPose
from fitcheck.things.answer import Verdict
from fitcheck.things.room import Ring
from fitcheck.things.route import Route
from fitcheck.things.shop import Shop, Show
from fitcheck.things.solid import Floats
from fitcheck.words.rounding import at_least, is_under_a_mark
from fitcheck.words.units import show_angle, show_length

_COLOURS: dict[Verdict, str] = {
    "fits": ink.GO,
    "does not fit": ink.WARNING,
    "measure again": ink.CARE,
    "not found": ink.UNKNOWN,
}
SEAM_MM = 1e-3
NAME_PT = 9.0
# Poses drawn between the first and the last.
_MOST = 9
CAUTION = "Walk it first with a light dummy. Local codes outrank this sheet."


def draw(answer: CarryAnswer, shop: Shop, path: Path) -> tuple[str, ...]:
    """Draw the answer to `path` (.png, .svg or .pdf); all of it can be drawn, so there are no notes.

    Raises `Refused` where the folder does not exist or the kind of file is unknown.
    """
    target = checked_path(path)
    paper = blank(layout.SHEET_PT)
    put(carry_marks(answer, shop), paper)
    write(paper, target)
    return ()


def svg(answer: CarryAnswer, shop: Shop) -> str:
    """Return the sheet as SVG."""
    return svg_of(carry_marks(answer, shop), layout.SHEET_PT, f"{answer.part} by {answer.route}")


def carry_marks(answer: CarryAnswer, shop: Shop) -> Marks:
    """Return everything on the sheet of an answer."""
    route, show = shop.routes[answer.route], shop.show
    foot, high = layout.footer((), CAUTION)
    width, tall = layout.SHEET_PT
    box = Box(50.0, high + 24.0, 0.64 * width, tall - 92.0)
    words = Box(box.right + 24.0, high + 10.0, width - 40.0, tall - 92.0)
    title = f"{answer.part} by {answer.route}"
    return (
        *layout.frame_of_sheet(),
        *layout.header(answer.verdict, _COLOURS[answer.verdict], title, shop.name),
        *_plan(answer, route, box, show),
        *layout.panel(_facts(answer, show), words),
        *foot,
    )


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """Where a place on the floor is in a drawing: low_mm is at corner_pt."""

    low_mm: Floats
    corner_pt: Floats
    scale: float

    @classmethod
    def of(cls, route: Route, box: Box) -> Plan:
        """Return the largest plan of a route that a box has room for."""
        floor = np.array(route.floor)
        low, high = floor.min(axis=0), floor.max(axis=0)
        scale = min(box.width / (high[0] - low[0]), box.height / (high[1] - low[1]))
        return cls(low, np.array([box.left, box.low]), scale)

    def placed(self, points: Floats | Ring) -> Floats:
        """Return places as points of the drawing."""
        return np.asarray((np.asarray(points) - self.low_mm) * self.scale + self.corner_pt)


def ground_marks(route: Route, plan: Plan) -> list[Mark]:
    """Return the floor, the rooms it is made of, and what stands on it, with their names."""
    marks: list[Mark] = [Area((plan.placed(route.floor),), fill="#ffffff", line=ink.INK, width_pt=2.2)]
    marks += [
        Area((plan.placed(post)[::-1],), fill=ink.WALL, line=ink.INK, width_pt=0.8) for post in route.posts
    ]
    for name, ring in route.rooms:
        west, north = plan.placed(ring)[:, 0].min(), plan.placed(ring)[:, 1].max()
        marks.append(Label(name, (float(west) + 7.0, float(north) - 11.0), 11.0, True, ink.FAINT, "left"))
    for name, post in zip(route.post_names, route.posts, strict=False):
        corners = plan.placed(post)
        x, y = ((corners.min(axis=0) + corners.max(axis=0)) / 2.0).tolist()
        across = float(np.ptp(corners[:, 0]))
        # A name that does not find room on its thing is left to the plan of the room.
        if ink.text_size(name, NAME_PT)[0] <= across:
            marks.append(Label(name, (x, y), NAME_PT, colour=ink.INK))
    return marks


def _plan(answer: CarryAnswer, route: Route, box: Box, show: Show) -> Marks:
    """Return floor, posts, the part at some of its poses, and the way that its middle takes."""
    plan = Plan.of(route, box)
    placed, marks = plan.placed, ground_marks(route, plan)
    steps = _shown(answer, route)
    for k, step in enumerate(steps):
        ends = k in (0, len(steps) - 1)
        rings = tuple(placed(ring) for ring in outlines_of(answer, step))
        marks.append(
            Area(rings, fill=ink.METAL if ends else None, line=ink.INK, width_pt=1.1 if ends else 0.5)
        )
    if answer.path:
        marks.append(
            Stroke((placed(np.array([step.at_mm for step in answer.path])),), ink.SURFACE, 1.2, True)
        )
    if answer.pinch_mm is not None:
        x, y = placed(np.array([answer.pinch_mm]))[0].tolist()
        ring = np.array(
            [[x + 5.0 * math.cos(a), y + 5.0 * math.sin(a)] for a in np.linspace(0.0, 2.0 * math.pi, 25)]
        )
        name = Label("pinch", (x + 9.0, y + 11.0), 11.0, True, ink.WARNING, "left")
        # On paper of its own: the part's places lie all round.
        marks += [Stroke((ring,), ink.WARNING, 1.4), Area((box_of(name).ring,), fill=ink.PAPER), name]
    across, up = (show_length(float(side), show) for side in np.ptp(np.array(route.floor), axis=0))
    marks.append(
        Label(
            f"floor {across} x {up} over all",
            (box.left, box.low - 12.0),
            11.0,
            colour=ink.FAINT,
            align="left",
        )
    )
    return tuple(marks)


def _shown(answer: CarryAnswer, route: Route) -> list[KeyPose]:
    if answer.path:
        picks = np.unique(np.linspace(0, len(answer.path) - 1, _MOST + 2).round().astype(int))
        return [answer.path[k] for k in picks]
    stands = (route.start, route.goal)
    return [KeyPose(stand.at_mm, stand.swing_rad or 0.0, 0.0) for stand in stands] if answer.outlines else []


def outlines_of(answer: CarryAnswer, step: KeyPose) -> list[Floats]:
    """Return the outline of the part at one of its poses, where it is: a ring for each loose piece."""
    import shapely

    pieces = [shapely.Polygon(piece) for piece in answer.outline_at(step.tilt_rad)]
    # Pieces of one outline touch along a line that rounding may open.
    whole = shapely.buffer(
        shapely.union_all(shapely.buffer(pieces, SEAM_MM, join_style="mitre")), -SEAM_MM, join_style="mitre"
    )
    cosine, sine = math.cos(step.swing_rad), math.sin(step.swing_rad)
    turn = np.array([[cosine, sine], [-sine, cosine]])
    rings = [np.asarray(part.exterior.coords)[:-1] for part in shapely.get_parts(whole)]
    return [np.asarray(ring @ turn + np.array(step.at_mm)) for ring in rings]


def _facts(answer: CarryAnswer, show: Show) -> tuple[Fact, ...]:
    facts = [Fact("so carried", answer.reason, _COLOURS[answer.verdict], leading=True)]
    if answer.width_spare_mm is not None:
        little = is_under_a_mark(answer.width_spare_mm, show)
        spare = "nothing to promise" if little else at_least(answer.width_spare_mm, show)
        facts.append(Fact("to spare on each side, at least", spare))
    tilt = max((step.tilt_rad for step in answer.path), default=0.0)
    if tilt:
        facts.append(Fact("tipped up to", show_angle(tilt)))
    return tuple(facts)
