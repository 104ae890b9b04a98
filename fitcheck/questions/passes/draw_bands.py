"""The faces of a part as drawn, flat: what each pass wets, and the bands that are treated twice."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.dimension import Span, chain_below
from fitcheck.draw.flat import Frame
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, Stroke, text_size
from fitcheck.draw.outline import PLAN, SIDE, View, hatched, rings_of, silhouette
from fitcheck.geometry.liquid.halfspace_area import dry_pieces, surface_of
from fitcheck.questions.passes.answer import PassAnswer
from fitcheck.things.part import Part
from fitcheck.things.shop import Show
from fitcheck.things.solid import Floats, Solid
from fitcheck.words.units import show_length

if TYPE_CHECKING:
    from manifold3d import CrossSection

PRINT_PT = 12.0
NAME_PT = 13.0
# Under a face for its dimensions, and over it for its name.
BELOW_PT, OVER_PT = 26.0, 18.0
_HATCH_PT = 4.0
# Between words on a tier of dimensions.
_WORDS_AIR_PT = 10.0
# A face seen under this much of its area is seen edge-on: nothing is drawn of it.
_FACING = 1e-6
# A band that reaches within this share of a face's ends goes right to them.
_WHOLE = 0.01
DRY = "#f6c9a8"


@dataclass(frozen=True, slots=True)
class Face:
    """One way to look at a part as drawn, its name, and which side of the view's axis it shows."""

    name: str
    view: View
    side: float


FACES = (Face("top", PLAN, 1.0), Face("underside, seen through", PLAN, -1.0), Face("side", SIDE, 1.0))


@dataclass(frozen=True, slots=True, eq=False)
class Banded:
    """A face's outline, what of it one pass wets, what several do, and what stays dry.

    passes: how many; the bands of more than two are drawn to scale only.
    """

    face: Face
    outline: CrossSection
    once: CrossSection
    twice: CrossSection
    dry: CrossSection
    passes: int

    @property
    def size_mm(self) -> tuple[float, float]:
        """How wide and how tall the face is."""
        left, low, right, high = self.outline.bounds()
        return right - left, high - low


def banded(answer: PassAnswer, part: Part) -> tuple[Banded, ...]:
    """Return the faces of a part, with what the passes of an answer wet of each.

    Of a hollow part, its outside: that of its hull. A sprung sheet is shown as it is.
    """
    solid = part.solid if answer.sprung is not None else _hull(part.solid)
    ups = np.array([each.pose.rotation[2] for each in answer.passes])
    lines = np.array([each.level_mm - float(each.pose.shift_mm[2]) for each in answer.passes])
    return tuple(_banded(face, solid, ups, lines) for face in FACES)


def _banded(face: Face, solid: Solid, ups: Floats, lines: Floats) -> Banded:
    triangles = surface_of(solid)
    toward = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])[
        :, face.view.toward
    ]
    size = np.linalg.norm(np.ptp(solid.vertices_mm, axis=0))
    shown = triangles[toward * face.view.sign * face.side > _FACING * size]
    wet = [_region(dry_pieces(shown, -ups[[k]], -lines[[k]]), face) for k in range(len(ups))]
    outline = silhouette(solid, face.view)
    nothing = outline - outline
    once, twice = nothing, nothing
    for one, two in itertools.combinations(wet, 2):
        twice = twice + (one ^ two)
    for each in wet:
        once = once + each
    return Banded(face, outline, once, twice, _region(dry_pieces(shown, ups, lines), face), len(ups))


def _region(triangles: Floats, face: Face) -> CrossSection:
    """Return the shadow of triangles in the view of a face."""
    from manifold3d import CrossSection, FillRule

    seen = [face.view.seen(triangle)[:, :2] for triangle in triangles]
    return CrossSection(seen, FillRule.NonZero)


def _hull(solid: Solid) -> Solid:
    from scipy.spatial import ConvexHull

    hull = ConvexHull(solid.vertices_mm)
    triangles = hull.simplices.astype(np.int64)
    corner = solid.vertices_mm[triangles]
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    inward = np.einsum("ij,ij->i", normal, hull.equations[:, :3]) < 0.0
    triangles[inward] = triangles[inward][:, ::-1]
    used, renumbered = np.unique(triangles, return_inverse=True)
    return Solid(solid.vertices_mm[used], renumbered.reshape(-1, 3), solid.source)


def face_marks(banded: Banded, box: Box, show: Show) -> Marks:
    """Return one face within a box: its name, what is wet of it, the bands hatched and dimensioned."""
    wide, tall = banded.size_mm
    scale = min(box.width / wide, (box.height - BELOW_PT - OVER_PT) / tall)
    left, low, *_ = banded.outline.bounds()
    frame = Frame(
        banded.face.view,
        (box.left + box.right - scale * wide) / 2.0 - scale * left,
        box.high - OVER_PT - scale * (tall + low),
        scale,
    )
    name = Label(banded.face.name, (frame.across(left), box.high - OVER_PT / 2.0), NAME_PT, colour=ink.FAINT)
    name = Label(name.words, name.at, NAME_PT, colour=ink.FAINT, align="left")
    bands = _on_sheet(banded.twice, frame)
    marks: list[Mark] = [
        name,
        Area(_on_sheet(banded.outline, frame), fill=ink.PAPER),
        Area(_on_sheet(banded.once, frame), fill=ink.LIQUID),
        Area(_on_sheet(banded.dry, frame), fill=DRY),
    ]
    if bands:
        marks += [
            Area(bands, fill=ink.AIR),
            Stroke(hatched(bands, _HATCH_PT), ink.AIR_LINE, 0.6),
            Area(bands, line=ink.AIR_LINE, width_pt=0.9),
        ]
    marks.append(Area(_on_sheet(banded.outline, frame), line=ink.INK, width_pt=1.4))
    return (*marks, *_sizes(banded, frame, box, show))


def _sizes(banded: Banded, frame: Frame, box: Box, show: Show) -> Marks:
    """Return where the band begins and how wide it is along the face, from the -x end."""
    left, low, right, _ = banded.outline.bounds()
    inner = banded.twice if not banded.twice.is_empty() else banded.dry
    if inner.is_empty() or banded.passes > 2:
        return ()
    start, _, end, _ = inner.bounds()
    near = _WHOLE * (right - left)
    places = [left, *(place for place in (start, end) if left + near < place < right - near), right]
    y = frame.height(low)
    spans = [
        Span(
            frame.across(a),
            frame.across(b),
            y,
            y,
            show_length(b - a, show),
            PRINT_PT,
            bold=(a, b) == (start, end),
        )
        for a, b in itertools.pairwise(places)
    ]
    if sum(text_size(span.words, PRINT_PT, bold=span.bold)[0] + _WORDS_AIR_PT for span in spans) > box.width:
        # No room for all: how wide the band is counts most.
        spans = [span for span in spans if span.bold]
    return chain_below(spans, y - 7.0, box.left, box.right)[0] if spans else ()


def _on_sheet(region: CrossSection, frame: Frame) -> tuple[Floats, ...]:
    return tuple(frame.flat(ring) for ring in rings_of(region))


def faces_height(faces: Sequence[Banded], width: float, most: float) -> float:
    """Return the height that faces side by side or one under the other take well, at most `most`."""
    scale = width / max(face.size_mm[0] for face in faces)
    if stacked(faces):
        return min(most, sum(scale * face.size_mm[1] + BELOW_PT + OVER_PT for face in faces))
    column = width / len(faces) - 20.0
    scale = column / max(face.size_mm[0] for face in faces)
    return min(most, max(scale * face.size_mm[1] for face in faces) + BELOW_PT + OVER_PT)


def stacked(faces: Sequence[Banded]) -> bool:
    """Whether faces are so long that they go one under the other."""
    return max(face.size_mm[1] / face.size_mm[0] for face in faces) < 1.0 / 6.0


def faces_marks(faces: Sequence[Banded], box: Box, show: Show) -> Marks:
    """Return the faces within a box, at one scale."""
    wide = max(face.size_mm[0] for face in faces)
    marks: list[Mark] = []
    if stacked(faces):
        room = box.height - len(faces) * (BELOW_PT + OVER_PT)
        scale = min(box.width / wide, room / sum(face.size_mm[1] for face in faces))
        high = box.high
        for face in faces:
            low = high - scale * face.size_mm[1] - BELOW_PT - OVER_PT
            marks += face_marks(face, Box(box.left, low, box.right, high), show)
            high = low
        return tuple(marks)
    step = box.width / len(faces)
    scale = min((step - 20.0) / wide, (box.height - BELOW_PT - OVER_PT) / max(f.size_mm[1] for f in faces))
    for k, face in enumerate(faces):
        tall = scale * face.size_mm[1] + BELOW_PT + OVER_PT
        left = box.left + k * step
        marks += face_marks(face, Box(left, box.high - tall, left + step - 20.0, box.high), show)
    return tuple(marks)


def key_marks(at: tuple[float, float], *, is_dry: bool) -> Marks:
    """Return the key of the colours, on one line from a place."""
    marks: list[Mark] = []
    x, y = at
    rows = [(ink.LIQUID, "wet once"), (ink.AIR, "treated twice")]
    rows += [(DRY, "dry")] if is_dry else []
    for fill, words in rows:
        ring = Box(x, y - 5.0, x + 14.0, y + 5.0).ring
        marks.append(Area((ring,), fill=fill, line=ink.INK, width_pt=0.7))
        if fill == ink.AIR:
            marks.append(Stroke(hatched((ring,), _HATCH_PT), ink.AIR_LINE, 0.6))
        marks.append(Label(words, (x + 19.0, y), PRINT_PT, colour=ink.FAINT, align="left"))
        x += 19.0 + text_size(words, PRINT_PT)[0] + 16.0
    return tuple(marks)
