"""Output of a drawing as a PNG, SVG or PDF file, written whole or not at all."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.ink import Area, Label, Marks, Photo, Stroke, text_size
from fitcheck.files.written import check_place, whole
from fitcheck.things.solid import Floats
from fitcheck.words.errors import Refused

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.path import Path as Outline

DOTS_PER_INCH = 200
DOTS_PER_POINT = DOTS_PER_INCH / 72.0
# Of 9: more makes the file a little smaller and takes three times as long.
_PNG_PACKING = 2
_KINDS = (".png", ".svg", ".pdf")


def checked_path(path: Path) -> Path:
    """Return the path if a picture can be written there; raises `Refused` if not."""
    if path.suffix.lower() not in _KINDS:
        raise Refused(
            f"{path}: a picture is not written as {path.suffix or 'a file without an ending'!r}",
            f"end its name in {', '.join(_KINDS)}",
        )
    check_place(path)
    return path


def blank(size_pt: tuple[float, float]) -> Figure:
    """Return a blank sheet."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(size_pt[0] / 72.0, size_pt[1] / 72.0), dpi=DOTS_PER_INCH, facecolor=ink.PAPER)
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0), xlim=(0.0, size_pt[0]), ylim=(0.0, size_pt[1]))
    axes.set_axis_off()
    return figure


def put(marks: Marks, paper: Figure) -> None:
    """Put marks on the sheet, over what is there already; only photographs go under it."""
    (axes,) = paper.axes
    first = len(axes.get_children())
    for order, mark in enumerate(marks):
        _put(mark, axes, first + order)


def write(paper: Figure, path: Path) -> None:
    """Write the sheet to `path`, whole or not at all; raises `Refused` where the disk does not take it."""
    kind = path.suffix.lower().removeprefix(".")
    # The date would make two drawings of one answer differ.
    metadata = {"svg": {"Date": None}, "pdf": {"CreationDate": None}}.get(kind)
    with whole(path) as draft:
        if kind == "png":
            paper.savefig(draft, format=kind, pil_kwargs={"compress_level": _PNG_PACKING})
        else:
            paper.savefig(draft, format=kind, metadata=metadata)


def _put(mark: Area | Stroke | Label | Photo, axes: Axes, order: int) -> None:
    match mark:
        case Area():
            _put_area(mark, axes, order)
        case Stroke():
            _put_stroke(mark, axes, order)
        case Label():
            _put_label(mark, axes, order)
        case Photo():
            _put_photo(mark, axes)


def _put_photo(mark: Photo, axes: Axes) -> None:
    """Shrink the photograph to the dots it is printed with, so that nothing resamples it again."""
    from PIL import Image

    (left, low), (right, high) = mark.low, mark.high
    dots = (round((right - left) * DOTS_PER_POINT), round((high - low) * DOTS_PER_POINT))
    small = Image.fromarray(mark.pixels).resize(dots, Image.Resampling.LANCZOS)
    limits = axes.get_xlim(), axes.get_ylim()
    axes.imshow(
        np.asarray(small),
        extent=(left, right, low, high),
        aspect="auto",
        interpolation="nearest",
        zorder=-1,
    )
    axes.set(xlim=limits[0], ylim=limits[1])


def _put_area(mark: Area, axes: Axes, order: int) -> None:
    from matplotlib.patches import PathPatch

    if not mark.rings:
        return
    axes.add_patch(
        PathPatch(
            _outline(mark.rings),
            facecolor=mark.fill or "none",
            edgecolor=mark.line or "none",
            linewidth=mark.width_pt,
            joinstyle="round",
            zorder=order,
        )
    )


def _outline(rings: tuple[Floats, ...]) -> Outline:
    from matplotlib.path import Path as Outline

    points, codes = [], []
    for ring in rings:
        points.append(np.vstack([ring, ring[:1]]))
        codes.append([Outline.MOVETO, *[Outline.LINETO] * (len(ring) - 1), Outline.CLOSEPOLY])
    return Outline(np.vstack(points), np.concatenate(codes))


def _put_stroke(mark: Stroke, axes: Axes, order: int) -> None:
    from matplotlib.collections import LineCollection

    axes.add_collection(
        LineCollection(
            list(mark.lines),
            colors=mark.colour,
            linewidths=mark.width_pt,
            linestyles="dashed" if mark.dashed else "solid",
            capstyle="round",
            zorder=order,
        ),
        autolim=False,
    )


def _put_label(mark: Label, axes: Axes, order: int) -> None:
    from matplotlib.font_manager import FontProperties

    shift = {"left": 0.0, "centre": 0.5, "right": 1.0}[mark.align]
    for y, line in ink.lines_of(mark):
        width, _ = text_size(line, mark.size_pt, bold=mark.bold)
        axes.text(
            mark.at[0] - shift * width,
            y,
            line,
            fontproperties=FontProperties(fname=ink.font_file(bold=mark.bold), size=mark.size_pt),
            color=mark.colour,
            parse_math=False,
            zorder=order,
        )
