"""A page laid out on its paper: where every word and line goes, in points.

The words come first, in as large a print as they find room in; pictures take the height that is left. No
print is smaller than `LEAST_PT`, and a page that does not find room even so is refused rather than cut.
"""

from __future__ import annotations

import bisect
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.ink import Area, Box, Label, Marks, Stroke, fitted, shrunk, text_size
from fitcheck.draw.paper_sizes import SIZES_PT, PaperName
from fitcheck.draw.sheet_sections import Drawing, Page, Picture, Section
from fitcheck.sheet.rows import LEAST_PT, TONES, Column
from fitcheck.words.errors import Refused

MARGIN_PT = 30.0
_HEAD_PT, _FOOT_PT = 60.0, 26.0
_BETWEEN_PT = 8.0
# Kept in the bottom band for the page's number.
_NUMBER_PT = 64.0
# Print against its largest, from which words step down until everything finds room.
_SHARES = (1.0, 0.95, 0.9, 0.86, 0.82, 0.78, 0.74, 0.7)
# Print that is read without effort; and pictures against their least, where that print leaves no more.
_EASY = 0.82
_SQUEEZED = 0.75


@dataclass(frozen=True, slots=True)
class _Room:
    """A print against its largest, the height that its words leave, and pictures against their least."""

    share: float
    left_pt: float
    squeezed: float


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """A page on its paper.

    page: with its pictures drawn. share: its print against the largest. number: which page of how many it is.
    """

    page: Page
    size_pt: tuple[float, float]
    share: float
    number: str = ""

    @property
    def marks(self) -> Marks:
        """Everything on it; made when asked for: a browser sets the words itself."""
        at = (self.size_pt[0] - MARGIN_PT, MARGIN_PT + 8.0)
        number = (Label(self.number, at, 10.0, align="right"),) if self.number else ()
        body = _body(self.page, _body_box(self.size_pt), self.share)
        return (*_head(self.page, self.size_pt), *body, *_foot(self.page, self.size_pt), *number)


def laid_out(page: Page, paper: PaperName) -> Laid:
    """Return a page laid out; raises `Refused` where it does not find room on one."""
    size = SIZES_PT[paper]
    body = _body_box(size)
    room = _room(page, body)
    if room is not None:
        return Laid(_drawn(page, body.width, room), size, room.share)
    raise Refused(
        f"the page of {page.tag} {page.title} does not find room on {paper} paper",
        "ask for fewer parts or tanks at a time",
    )


def _body_box(size_pt: tuple[float, float]) -> Box:
    """Return what is left between the bands of a page."""
    wide, high = size_pt
    return Box(MARGIN_PT, MARGIN_PT + _FOOT_PT, wide - MARGIN_PT, high - MARGIN_PT - _HEAD_PT)


def _room(page: Page, body: Box) -> _Room | None:
    """Return the largest print in which a page finds room, None where it does not in the least."""
    least = sum(section.least_pt for section in page.sections if isinstance(section, Drawing))

    def room(share: float) -> _Room:
        taken = sum(_height(section, body.width, share) + _BETWEEN_PT for section in page.sections)
        return _Room(share, body.height - taken, 1.0)

    # Smaller print never takes more height: not every one need be tried.
    easy = [share for share in _SHARES if share >= _EASY]
    at = bisect.bisect_left(easy, True, key=lambda share: room(share).left_pt >= least)
    if at < len(easy):
        return room(easy[at])
    rooms = [room(share) for share in _SHARES]
    tight = [room for room in rooms if room.left_pt >= _SQUEEZED * least]
    if not tight:
        return None
    # Smaller pictures rather than print that is hard to read, and that only where nothing else is left.
    is_easy = tight[0].share >= _EASY
    whole = next((room for room in tight if room.left_pt >= least), None)
    return replace(tight[0], squeezed=_SQUEEZED) if is_easy or whole is None else whole


def laid_over(page: Page, paper: PaperName) -> tuple[Laid, ...]:
    """Return a page laid out, its last sections on a page after it where they do not find room on one.

    Raises `Refused` where one section alone does not find room.
    """
    try:
        return (laid_out(page, paper),)
    except Refused:
        if len(page.sections) == 1:
            raise
    for k in range(len(page.sections) - 1, 0, -1):
        try:
            first = laid_out(replace(page, sections=page.sections[:k]), paper)
        except Refused:
            continue
        rest = replace(page, kind="other", title=f"{page.title}: goes on", sections=page.sections[k:])
        return (first, *laid_over(rest, paper))
    return (laid_out(page, paper),)


def numbered(laid: Laid, number: int, of: int) -> Laid:
    """Return a page with its number in the set."""
    return replace(laid, number=f"{number} of {of}")


def _height(section: Section, width: float, share: float) -> float:
    """Return the height that a section's words take; a picture takes none yet."""
    if isinstance(section, Drawing):
        return 0.0
    if isinstance(section, Picture):
        return section.size_pt[1]
    column = Column(Box(0.0, 0.0, width, 0.0), share)
    return -column.put(section).low


def _drawn(page: Page, width: float, room: _Room) -> Page:
    """Return a page with its pictures drawn; they share what height is left, up to what each has use for."""
    drawings = [section for section in page.sections if isinstance(section, Drawing)]
    spare_pt = room.left_pt - room.squeezed * sum(drawing.least_pt for drawing in drawings)
    useful_pt = sum(drawing.most_pt - room.squeezed * drawing.least_pt for drawing in drawings)
    share = min(1.0, spare_pt / useful_pt) if useful_pt else 0.0
    sections: list[Section] = []
    for section in page.sections:
        if isinstance(section, Drawing):
            least = room.squeezed * section.least_pt
            size = (width, least + share * (section.most_pt - least))
            sections.append(Picture(section.sketch.marks(*size), size, section.says))
        else:
            sections.append(section)
    return replace(page, sections=tuple(sections))


def _body(page: Page, body: Box, share: float) -> Marks:
    marks: list[ink.Mark] = []
    y = body.high
    for section in page.sections:
        if isinstance(section, Picture):
            y -= section.size_pt[1]
            marks += shrunk(section.marks, 1.0, (body.left, y))
        else:
            column = Column(replace(body, high=y), share).put(section)
            marks += column.marks
            y = column.low
        y -= _BETWEEN_PT
    return tuple(marks)


def _head(page: Page, size: tuple[float, float]) -> Marks:
    """Return the top band: the tag as large as chalk, what the page is of, and the verdict in a box."""
    left, right, top = MARGIN_PT, size[0] - MARGIN_PT, size[1] - MARGIN_PT
    marks: list[ink.Mark] = []
    if page.verdict:
        words = Label(page.verdict.upper(), (0.0, top - 20.0), 19.0, True, "#ffffff")
        width = text_size(words.words, 19.0, bold=True)[0] + 22.0
        box = Box(right - width, top - 37.0, right, top - 3.0)
        marks += [
            Area((box.ring,), fill=TONES[page.tone]),
            replace(words, at=(right - width / 2.0, top - 20.0)),
        ]
        right = box.left - 10.0
    tag = fitted(Label(page.tag, (left, top - 20.0), 38.0, True, align="left"), 0.5 * (right - left), 18.0)
    at = left + text_size(tag.words, tag.size_pt, bold=True)[0] + 12.0
    marks.append(tag)
    title = Label(page.title, (at, top - 20.0), 21.0, True, align="left")
    marks.append(fitted(title, right - at, 12.0))
    under = Label(page.under, (left, top - 48.0), 11.5, colour=ink.FAINT, align="left")
    marks.append(fitted(under, size[0] - 2.0 * MARGIN_PT, LEAST_PT))
    line = _across(size, top - _HEAD_PT + 3.0, 1.4)
    return (*marks, line)


def _foot(page: Page, size: tuple[float, float]) -> Marks:
    words = fitted(
        Label(page.foot, (MARGIN_PT, MARGIN_PT + 8.0), 12.0, True, align="left"),
        size[0] - 2.0 * MARGIN_PT - _NUMBER_PT,
        LEAST_PT,
    )
    return (_across(size, MARGIN_PT + 20.0, 1.0), words)


def _across(size: tuple[float, float], y: float, width_pt: float) -> Stroke:
    return Stroke((np.array([[MARGIN_PT, y], [size[0] - MARGIN_PT, y]]),), ink.INK, width_pt)
