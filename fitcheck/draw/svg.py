"""SVG text of a drawing, for a page in a browser: quicker than by a file, and its words are words."""

from __future__ import annotations

from html import escape

from fitcheck.draw import ink
from fitcheck.draw.ink import Area, Label, Mark, Marks, Photo, Stroke, text_size
from fitcheck.things.solid import Floats

# The typeface of all drawings where it is there, else one as wide.
_FACE = "'DejaVu Sans', Verdana, sans-serif"
# Capitals are 0.73 of the print size high (DejaVu Sans): their middle goes to the line's middle.
_HALF_CAPITAL = 0.365


def svg(marks: Marks, size_pt: tuple[float, float], title: str) -> str:
    """Return the drawing as one svg element that fills the width it is given; photographs are left out."""
    width, height = size_pt
    drawn = "".join(_put(mark, height) for mark in marks)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" role="img" '
        f'style="width:100%;height:auto;background:{ink.PAPER}" font-family="{_FACE}">'
        f"<title>{escape(title)}</title>{drawn}</svg>"
    )


def _put(mark: Mark, height: float) -> str:
    match mark:
        case Area(rings=rings, fill=fill, line=line, width_pt=width):
            path = "".join(f"{_path(ring, height)}Z" for ring in rings)
            edge = f' stroke="{line}" stroke-width="{width:g}" stroke-linejoin="round"' if line else ""
            return f'<path d="{path}" fill="{fill or "none"}"{edge}/>'
        case Stroke(lines=lines, colour=colour, width_pt=width, dashed=dashed):
            path = "".join(_path(line, height) for line in lines)
            dashes = f' stroke-dasharray="{3.7 * width:g} {1.6 * width:g}"' if dashed else ""
            return (
                f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="{width:g}" '
                f'stroke-linecap="round"{dashes}/>'
            )
        case Label():
            return _words(mark, height)
        case Photo():
            return ""


def _path(points: Floats, height: float) -> str:
    steps = " ".join(f"{x:.2f} {height - y:.2f}" for x, y in points.tolist())
    return f"M{steps}"


def _words(label: Label, height: float) -> str:
    lines = label.words.split("\n")
    step = ink.LINE_HEIGHT * label.size_pt
    first = height - label.at[1] - step * (len(lines) - 1) / 2.0 + _HALF_CAPITAL * label.size_pt
    anchor = {"left": "start", "centre": "middle", "right": "end"}[label.align]
    weight = ' font-weight="bold"' if label.bold else ""
    return "".join(
        f'<text x="{label.at[0]:.2f}" y="{first + k * step:.2f}" font-size="{label.size_pt:.2f}"{weight} '
        f'fill="{label.colour}" text-anchor="{anchor}" lengthAdjust="spacingAndGlyphs" '
        f'textLength="{text_size(line, label.size_pt, bold=label.bold)[0]:.2f}">{escape(line)}</text>'
        for k, line in enumerate(lines)
        if line
    )
