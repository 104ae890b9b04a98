"""How each kind of section is set in a column: large print for what is worked by, none that is small."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.ink import Area, Box, Label, Marks, Stroke, text_size, wrapped
from fitcheck.draw.sheet_sections import Facts, Lead, Notes, Section, Table, Ticks, Tone, Values

# No print on a sheet is smaller than this: it is read at arm's length.
LEAST_PT = 9.0
TONES: dict[Tone, str] = {
    "plain": ink.INK,
    "faint": ink.FAINT,
    "liquid": ink.SURFACE,
    "air": ink.AIR_LINE,
    "care": ink.CARE,
    "no": ink.WARNING,
    "go": ink.GO,
}
# Print at its largest, in points.
_LEAD_PT, _VALUE_PT, _FACT_PT, _TITLE_PT, _NAME_PT, _NOTE_PT, _CELL_PT = (
    22.0,
    24.0,
    12.5,
    11.5,
    11.0,
    11.0,
    12.0,
)
_TICK_PT, _BOX_PT = 12.5, 12.0
# Between boxes to tick, and at least; a row that just fits is not broken by rounding.
_APART_PT, _CLOSE_PT, _HAIR_PT = 18.0, 8.0, 1e-6
# What is worked by never gets smaller than this.
WORKED_BY_PT = 18.0
# What to do stands on one line if it finds room there in a print of at least this.
_ONE_LINE_PT = 15.0
_STEP_PT = 0.5
_GAP_PT = 12.0
_NAMES_SHARE = 0.16
# Letters set to whole dots make a line a little longer than it is measured.
_PRINTED = 0.985


@dataclass(frozen=True, slots=True, eq=False)
class Column:
    """A box that is filled from the top.

    share: of the print against its largest. low: how far it is filled.
    """

    box: Box
    share: float
    marks: Marks = ()
    low: float = field(default=np.nan)

    @property
    def top(self) -> float:
        """Where the next thing goes."""
        return self.box.high if np.isnan(self.low) else self.low

    def put(self, section: Section) -> Column:
        """Return the column with a section of words in it."""
        match section:
            case Lead():
                return self._lead(section)
            case Values():
                return self._values(section)
            case Facts():
                return self._facts(section)
            case Table():
                return self._table(section)
            case Notes():
                return self._notes(section)
            case Ticks():
                return self._ticks(section)
        raise TypeError(f"{type(section).__name__} is no section of words")

    def _lead(self, section: Lead) -> Column:
        size = lead_pt(section, self.share, self.box.width)
        return self._named(section.name)._set(section.words, size, ink.INK, bold=True)

    def size(self, size_pt: float) -> float:
        """Return a print at this column's share, never under the least."""
        return max(LEAST_PT, size_pt * self.share)

    def words(self, words: str, size_pt: float, *, bold: bool = False, colour: str = ink.INK) -> Column:
        """Return the column with a paragraph in it."""
        if not words:
            return self
        return self._set(words, self.size(size_pt), colour, bold=bold)

    def _set(self, words: str, size: float, colour: str, *, bold: bool) -> Column:
        """Return the column with a paragraph in just that print."""
        text = wrapped(words, _PRINTED * self.box.width, size, bold=bold)
        height = text_size(text, size, bold=bold)[1]
        label = Label(text, (self.box.left, self.top - height / 2.0), size, bold, colour, "left")
        return replace(self, marks=(*self.marks, label), low=self.top - height)

    def skip(self, points: float) -> Column:
        """Return the column with nothing in so much of it."""
        return replace(self, low=self.top - points * self.share)

    def _named(self, name: str) -> Column:
        return self.words(name, _NAME_PT, colour=ink.FAINT)

    def _titled(self, title: str) -> Column:
        return self.words(title, _TITLE_PT, bold=True)

    def _beside(self, parts: list[tuple[Box, Column]]) -> Column:
        marks = tuple(mark for _, column in parts for mark in column.marks)
        low = min((column.top for _, column in parts), default=self.top)
        return replace(self, marks=(*self.marks, *marks), low=low)

    def _split(self, shares: tuple[float, ...]) -> list[Box]:
        """Return boxes side by side of shares of the width, air between them."""
        whole = sum(shares)
        width = self.box.width - _GAP_PT * (len(shares) - 1)
        boxes, left = [], self.box.left
        for share in shares:
            right = left + width * share / whole
            boxes.append(Box(left, self.box.low, right, self.top))
            left = right + _GAP_PT
        return boxes

    def _values(self, section: Values) -> Column:
        parts = []
        for box, value in zip(self._split((1.0,) * len(section.values)), section.values, strict=True):
            column = Column(box, self.share)._named(value.name)
            colour = TONES[value.tone]
            size = _fitting(value.words, max(WORKED_BY_PT, self.share * _VALUE_PT), box.width)
            column = column._set(value.words, size, colour, bold=True)
            parts.append((box, column.words(value.more, _FACT_PT)))
        return self._beside(parts)

    def _facts(self, section: Facts) -> Column:
        column = self._titled(section.title)
        for row in section.rows:
            left, right = column._split((_NAMES_SHARE, 1.0 - _NAMES_SHARE))
            name = Column(left, self.share).words(row.name, _FACT_PT, colour=ink.FAINT)
            bold = row.tone != "plain"
            told = Column(right, self.share).words(row.words, _FACT_PT, bold=bold, colour=TONES[row.tone])
            column = column._beside([(left, name), (right, told)]).skip(1.5)
        return column

    def _table(self, section: Table) -> Column:
        widths = section.widths or (1.0,) * len(section.heads)
        column = self._titled(section.title)
        plain: Tone = "plain"
        tones = section.tones or ((plain,) * len(section.heads),) * len(section.rows)
        heads = [
            (box, Column(box, self.share)._named(head))
            for box, head in zip(column._split(widths), section.heads, strict=True)
        ]
        column = column._beside(heads)
        for row, meant in zip(section.rows, tones, strict=True):
            column = column.skip(1.5)._ruled().skip(1.5)
            cells = []
            for k, (box, cell, tone) in enumerate(zip(column._split(widths), row, meant, strict=True)):
                bold = k == 0 or tone == "go"
                cells.append(
                    (box, Column(box, self.share).words(cell, _CELL_PT, bold=bold, colour=TONES[tone]))
                )
            column = column._beside(cells)
        return column

    def _ruled(self) -> Column:
        line = np.array([[self.box.left, self.top], [self.box.right, self.top]])
        return replace(self, marks=(*self.marks, Stroke((line,), ink.WALL, 0.6)))

    def _notes(self, section: Notes) -> Column:
        column = self._titled(section.title)
        for line in section.lines:
            size = self.size(_NOTE_PT)
            dash, rest = column._split((size, self.box.width - size))
            box = replace(rest, left=dash.left + size)
            mark = Column(dash, self.share).words("-", _NOTE_PT, colour=TONES[section.tone])
            told = Column(box, self.share).words(line, _NOTE_PT, colour=TONES[section.tone])
            column = column._beside([(dash, mark), (box, told)]).skip(1.5)
        return column

    def _ticks(self, section: Ticks) -> Column:
        """Return boxes in rows of as many as find room, then lines to write on."""
        size = self.size(_TICK_PT)
        marks: list[ink.Mark] = []
        x, y, step = self.box.left, self.top, 1.75 * size
        taken = sum(_BOX_PT + 6.0 + text_size(words, size)[0] for words in section.boxes)
        # Closer together where that lets all of them stand in one row.
        close = taken + _CLOSE_PT * (len(section.boxes) - 1) <= self.box.width
        fair = (self.box.width - taken) / max(1, len(section.boxes) - 1)
        air = max(_CLOSE_PT, min(_APART_PT, fair)) if close else _APART_PT
        for words in section.boxes:
            wide = _BOX_PT + 6.0 + text_size(words, size)[0] + air
            if x > self.box.left and x + wide - air > self.box.right + _HAIR_PT:
                x, y = self.box.left, y - step
            middle = y - step / 2.0
            ring = Box(x, middle - _BOX_PT / 2.0, x + _BOX_PT, middle + _BOX_PT / 2.0).ring
            marks += [
                Area((ring,), fill="#ffffff", line=ink.INK, width_pt=1.2),
                Label(words, (x + _BOX_PT + 6.0, middle), size, align="left"),
            ]
            x += wide
        column = replace(self, marks=(*self.marks, *marks), low=y - step)
        return column._blanks(section.blanks) if section.blanks else column

    def _blanks(self, blanks: tuple[str, ...]) -> Column:
        size = self.size(_TICK_PT)
        low = self.top - 2.1 * size
        marks: list[ink.Mark] = []
        for box, words in zip(self._split((1.0,) * len(blanks)), blanks, strict=True):
            wide = text_size(words, size)[0]
            line = np.array([[box.left + wide + 4.0, low + 2.0], [box.right, low + 2.0]])
            marks += [
                Label(words, (box.left, low + 2.0 + 0.5 * size), size, align="left"),
                Stroke((line,), ink.INK, 0.8),
            ]
        return replace(self, marks=(*self.marks, *marks), low=low)


def lead_pt(section: Lead, share: float, width_pt: float) -> float:
    """Return the print of what to do: on one line, or two, where that need not be small."""
    size = max(WORKED_BY_PT, share * _LEAD_PT)
    wide = text_size(section.words, size, bold=True)[0]
    # A hair less than just fitting, so that rounding does not make it too wide again.
    one_line = 0.999 * size * _PRINTED * width_pt / wide
    if one_line >= _ONE_LINE_PT:
        return min(size, one_line)
    for smaller in np.arange(size, _ONE_LINE_PT, -_STEP_PT).tolist():
        if wrapped(section.words, _PRINTED * width_pt, smaller, bold=True).count("\n") <= 1:
            return float(smaller)
    return size


def _fitting(words: str, size_pt: float, width: float) -> float:
    """Return a print in which the longest word, or number with its unit, finds room in a line."""
    longest = max(
        text_size(line, size_pt, bold=True)[0] for line in wrapped(words, 1.0, size_pt, bold=True).split("\n")
    )
    return min(size_pt, size_pt * _PRINTED * width / longest)
