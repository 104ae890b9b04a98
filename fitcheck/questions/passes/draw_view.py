"""One pass, from the side to scale: tank, liquid, the part out over the rim, and its heights."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.draw.captions import LEAST_RAD
from fitcheck.draw.dimension import Span, chain_beside
from fitcheck.draw.flat import WALL_PT, Frame, flat_view, roll_mark, tilt_mark
from fitcheck.draw.ink import FAINT, INK, SURFACE, Box, Label, Marks, fitted, text_size
from fitcheck.draw.outline import END, SIDE, View, silhouette
from fitcheck.draw.posed_part import hung
from fitcheck.draw.scene import Scene
from fitcheck.questions.dip.draw import swung_across
from fitcheck.questions.passes.answer import Pass
from fitcheck.things.part import Part
from fitcheck.things.pockets import Held
from fitcheck.things.shop import Show
from fitcheck.things.tank import Tank
from fitcheck.words.units import show_length

PRINT_PT = 12.0
FILL_LINE = "FILL LINE"
NAME_PT = 13.0
# Over the view for its tag, and under it for its name.
OVER_PT, NAME_ROOM_PT = 32.0, 24.0
_TIER_PT, _WORDS_AIR_PT, _LINE_PT = 10.0, 20.0, 15.0


@dataclass(frozen=True, slots=True)
class PassScene:
    """One pass with what is drawn of it; low and high: corners of the view, in mm.

    under: its heights in words, where there is no room beside the view for dimensions (lefts, rights).
    """

    scene: Scene
    view: View
    number: int
    lefts: tuple[tuple[float, float, str], ...]
    rights: tuple[tuple[float, float, str], ...]
    low_mm: tuple[float, float]
    high_mm: tuple[float, float]
    under: str = ""

    @property
    def beside_pt(self) -> tuple[float, float]:
        """What the heights left and right of the view take of the sheet."""
        if self.under:
            return 0.0, 0.0
        return (
            _TIER_PT + _WORDS_AIR_PT + max(_wide(words) for *_, words in self.lefts),
            sum(_TIER_PT + _WORDS_AIR_PT + _wide(words) for *_, words in self.rights),
        )


def pass_scene(each: Pass, number: int, part: Part, tank: Tank, show: Show) -> PassScene:
    """Return what is drawn of one pass; seen from the end where it leans out over a long side."""
    here = hung(part, each.pose, Held(()))
    scene = Scene(here.part, here.pose, here.ends_mm, here.pockets, tank, each.fill)
    points = scene.part.vertices_mm
    beyond = [
        max(-float(points[:, axis].min()), float(points[:, axis].max()) - tank.size_mm[axis])
        for axis in (0, 1)
    ]
    is_rolled = abs(each.pose.angles.tilt_rad) < LEAST_RAD
    view = END if beyond[1] > max(beyond[0], 0.0) or (is_rolled and beyond[0] <= 0.0) else SIDE
    seen = np.vstack([view.seen(points), view.seen(tank.inside.vertices_mm)])
    low, high = seen.min(axis=0), seen.max(axis=0)
    lefts = (
        (each.level_mm, tank.depth_mm, f"{FILL_LINE}\n{show_length(each.fill.from_rim_mm, show)}"),
        (0.0, each.lowest_mm, f"{show_length(each.lowest_mm, show)}\nunder it"),
    )
    return PassScene(
        scene,
        view,
        number,
        lefts,
        _rights(each, scene, view, show),
        (float(low[0]), float(low[1])),
        (float(high[0]), float(high[1])),
    )


def in_few_words(scene: PassScene, each: Pass, show: Show) -> PassScene:
    """Return a pass with its heights in words under it instead of dimensions beside it: one of many."""
    low, high = show_length(each.lowest_mm, show), show_length(each.highest_mm, show)
    return replace(scene, lefts=(), rights=(), under=f"from {low} to {high} over the tank floor")


def _rights(each: Pass, scene: Scene, view: View, show: Show) -> tuple[tuple[float, float, str], ...]:
    """Return how high the underside passes over the rim, where it does, and how high the high end is."""
    tank = scene.tank
    found = []
    roller = _over_rim_mm(scene, view)
    if roller is not None:
        found.append((tank.depth_mm, roller, f"{show_length(roller - tank.depth_mm, show)}\nover the rim"))
    words = f"{show_length(each.highest_mm, show)}\nover tank floor"
    if tank.rim.height_mm is not None:
        stands = tank.rim.height_mm - tank.depth_mm
        words = f"{words}\n{show_length(each.highest_mm + stands, show)}\nover shop floor"
    return (*found, (0.0, each.highest_mm, words))


def _over_rim_mm(scene: Scene, view: View) -> float | None:
    """Return how high the part's underside passes over the inner edge of the rim that it lies out over."""
    from manifold3d import CrossSection

    far = scene.tank.size_mm[view.across]
    left, low, right, high = silhouette(scene.part, view).bounds()
    edge = far if right > far else 0.0 if left < 0.0 else None
    if edge is None:
        return None
    # A slice as thin as a hair, across the rim's edge.
    hair = 0.05
    ring = np.array([[edge - hair, low], [edge + hair, low], [edge + hair, high], [edge - hair, high]])
    there = silhouette(scene.part, view) ^ CrossSection([ring])
    return None if there.is_empty() else float(there.bounds()[1])


def scale_in(scene: PassScene, box: Box) -> float:
    """Return the points to the mm with which a pass stays in a box."""
    left, right = scene.beside_pt
    wide, tall = (scene.high_mm[k] - scene.low_mm[k] for k in (0, 1))
    return min(
        (box.width - left - right - 2.0 * WALL_PT) / wide,
        (box.height - OVER_PT - _under_pt(scene) - WALL_PT) / tall,
    )


def _under_pt(scene: PassScene) -> float:
    return NAME_ROOM_PT + (_LINE_PT if scene.under else 0.0)


def pass_marks(scene: PassScene, box: Box, scale: float) -> Marks:
    """Return one pass within a box, its name under it."""
    left_pt, right_pt = scene.beside_pt
    wide, tall = (scale * (scene.high_mm[k] - scene.low_mm[k]) for k in (0, 1))
    left = box.left + left_pt + WALL_PT + (box.width - left_pt - right_pt - 2.0 * WALL_PT - wide) / 2.0
    floor = box.high - OVER_PT - tall
    frame = Frame(scene.view, left - scale * scene.low_mm[0], floor - scale * scene.low_mm[1], scale)
    top = box.high - OVER_PT / 4.0
    mark = tilt_mark if (scene.view is SIDE) != swung_across(scene.scene) else roll_mark
    within = Box(box.left, floor, box.right, box.high)
    words = f"Pass {scene.number}" + ("" if scene.view is SIDE else ", seen from the end")
    start, below = (box.left if scene.under else left - WALL_PT), floor - WALL_PT - 9.0
    name = Label(words, (start, below), NAME_PT, True, FAINT, "left")
    heights = Label(scene.under, (start, below - _LINE_PT), PRINT_PT, align="left")
    return (
        *((fitted(heights, box.width),) if scene.under else ()),
        *flat_view(scene.scene, frame),
        *mark(scene.scene, frame, top, within),
        *_tier(scene.lefts, frame, left - WALL_PT, box, right=False),
        *_right_tiers(scene, frame, left + wide + WALL_PT, box),
        fitted(name, box.width),
    )


def _tier(
    heights: tuple[tuple[float, float, str], ...], frame: Frame, foot: float, box: Box, *, right: bool
) -> Marks:
    if not heights:
        return ()
    spans = [
        Span(
            frame.height(low),
            frame.height(high),
            foot,
            foot,
            words,
            PRINT_PT,
            words.startswith(FILL_LINE),
            SURFACE if words.startswith(FILL_LINE) else INK,
        )
        for low, high, words in heights
    ]
    at = foot + _TIER_PT if right else foot - _TIER_PT
    return chain_beside(spans, at, box.low, box.high, right=right)


def _right_tiers(scene: PassScene, frame: Frame, foot: float, box: Box) -> Marks:
    marks: list[object] = []
    at = foot
    for height in scene.rights:
        marks += _tier((height,), frame, at, box, right=True)
        at += _TIER_PT + _WORDS_AIR_PT + _wide(height[2])
    return tuple(marks)  # type: ignore[arg-type]


def _wide(words: str) -> float:
    return text_size(words, PRINT_PT, bold=words.startswith(FILL_LINE))[0]


def columns_for(count: int) -> tuple[int, ...]:
    """Return the numbers of columns worth trying for so many passes."""
    return tuple(range(1, count + 1)) if count <= 3 else tuple(range(2, math.ceil(count / 2) + 1))
