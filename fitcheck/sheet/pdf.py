"""Pages on paper as PDF: the same marks as in the pictures, the typeface embedded."""

from __future__ import annotations

from collections.abc import Iterable
from io import BytesIO
from typing import TYPE_CHECKING

from fitcheck.draw import ink
from fitcheck.draw.ink import Area, Label, Mark, Photo, Stroke
from fitcheck.sheet.paper import Laid

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

# Written into the file: how a sheet of ours is known from anybody else's file of that name.
MADE_BY = "fitcheck sheet"
_FACES = {False: "DejaVuSans", True: "DejaVuSans-Bold"}
_ROUND = 1
_WINDING = 1


def pdf_of(pages: Iterable[Laid], title: str) -> bytes:
    """Return pages as one PDF file; the same pages give the same bytes."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    for bold, face in _FACES.items():
        pdfmetrics.registerFont(TTFont(face, str(ink.font_file(bold=bold))))
    store = BytesIO()
    canvas = Canvas(store, invariant=1, pageCompression=1)
    canvas.setTitle(title)
    canvas.setCreator(MADE_BY)
    for laid in pages:
        canvas.setPageSize(laid.size_pt)
        canvas.setLineJoin(_ROUND)
        for mark in laid.marks:
            _put(mark, canvas)
        canvas.showPage()
    canvas.save()
    return store.getvalue()


def _put(mark: Mark, canvas: Canvas) -> None:
    match mark:
        case Area():
            _put_area(mark, canvas)
        case Stroke():
            _put_stroke(mark, canvas)
        case Label():
            _put_label(mark, canvas)
        case Photo():
            _put_photo(mark, canvas)


def _put_area(mark: Area, canvas: Canvas) -> None:
    if not mark.rings:
        return
    path = canvas.beginPath()
    for ring in mark.rings:
        (x, y), *rest = ring.tolist()
        path.moveTo(x, y)
        for x, y in rest:
            path.lineTo(x, y)
        path.close()
    if mark.fill:
        canvas.setFillColor(mark.fill)
    if mark.line:
        canvas.setStrokeColor(mark.line)
        canvas.setLineWidth(mark.width_pt)
    canvas.drawPath(path, stroke=int(bool(mark.line)), fill=int(bool(mark.fill)), fillMode=_WINDING)


def _put_stroke(mark: Stroke, canvas: Canvas) -> None:
    canvas.setStrokeColor(mark.colour)
    canvas.setLineWidth(mark.width_pt)
    canvas.setLineCap(_ROUND)
    canvas.setDash(*([[3.7 * mark.width_pt, 1.6 * mark.width_pt], 0] if mark.dashed else [[], 0]))
    path = canvas.beginPath()
    for line in mark.lines:
        (x, y), *rest = line.tolist()
        path.moveTo(x, y)
        for x, y in rest:
            path.lineTo(x, y)
    canvas.drawPath(path, stroke=1, fill=0)
    canvas.setDash([], 0)


def _put_label(mark: Label, canvas: Canvas) -> None:
    canvas.setFont(_FACES[mark.bold], mark.size_pt)
    canvas.setFillColor(mark.colour)
    put = {"left": canvas.drawString, "centre": canvas.drawCentredString, "right": canvas.drawRightString}
    for y, line in ink.lines_of(mark):
        put[mark.align](mark.at[0], y, line)


def _put_photo(mark: Photo, canvas: Canvas) -> None:
    from PIL import Image
    from reportlab.lib.utils import ImageReader

    (left, low), (right, high) = mark.low, mark.high
    canvas.drawImage(ImageReader(Image.fromarray(mark.pixels)), left, low, right - left, high - low)
