"""Placement of names of what stands in a room or on a rack: inside its outline, or on a leader."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, Stroke, box_of, text_size
from fitcheck.things.solid import Floats

NAME_PT = 11.0
# A name in smaller print than this goes beside its thing.
_LEAST_PT = 9.0
_AIR_PT = 3.0
# How far from a thing its name is tried, nearest first.
_AWAY_PT = (6.0, 14.0, 22.0, 30.0, 40.0, 50.0, 62.0, 76.0, 92.0, 110.0, 130.0)
# Which side of a thing a name goes to, and how far along that side from its middle, against half of it.
_SIDES = ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))
_ALONG = (0.0, 0.4, -0.4, 0.8, -0.8, 1.2, -1.2, 2.0, -2.0, 3.0, -3.0)
# A leader is checked in so many places of its length.
_LOOKS = np.linspace(0.0, 1.0, 33)[:, None]


@dataclass(frozen=True, slots=True, eq=False)
class Named:
    """A thing on the sheet: its ring, its name, and how that is printed; hatched: on ground of its own.

    pieces: rings of several like things that share a name, which stands in one of them or beside all.
    below: the name goes under it where it can.
    """

    ring: Floats
    name: str
    bold: bool = True
    colour: str = ink.INK
    hatched: bool = False
    pieces: tuple[Floats, ...] = ()
    below: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class _Full:
    """What is on the sheet already: names, the outlines of things, what else names keep off, and leaders."""

    names: list[Box]
    outlines: list[Box]
    words: tuple[Box, ...]
    lines: tuple[Box, ...]
    leaders: list[Floats]


def names_marks(
    things: Sequence[Named], words: Iterable[Box], within: Box, lines: Iterable[Box] = ()
) -> Marks:
    """Return every name, none on another nor on a thing that is not its own.

    words: what else names and their leaders keep off where they can; lines: what only names do. within: names
    stay inside.
    """
    inside = [_inside(thing) for thing in things]
    outlines = [_box(ring) for thing in things for ring in _rings(thing)]
    printed = [box_of(label) for label in inside if label is not None]
    full = _Full(printed, outlines, tuple(words), tuple(lines), [])
    marks: list[Mark] = []
    for thing, label in zip(things, inside, strict=True):
        if label is not None:
            marks += [*((Area((box_of(label).ring,), fill=ink.PAPER),) if thing.hatched else ()), label]
    leaders: list[Mark] = []
    for thing, label in zip(things, inside, strict=True):
        if label is None:
            beside = _beside(thing, full, within)
            leader = _leader(thing, beside)
            full.names.append(box_of(beside))
            full.leaders.append(leader)
            leaders.append(Stroke((leader,), beside.colour, 0.9))
            marks += [Area((box_of(beside).ring,), fill=ink.PAPER), beside]
    return (*leaders, *marks)


def _inside(thing: Named) -> Label | None:
    """Return a name in the middle of its thing, a word a line where that helps; None where it is narrow."""
    for box in map(_box, _rings(thing)):
        at = ((box.left + box.right) / 2.0, (box.low + box.high) / 2.0)
        for words in (thing.name, "\n".join(thing.name.split(" "))):
            wide, tall = text_size(words, 1.0, bold=thing.bold)
            size = min(NAME_PT, 0.94 * box.width / wide, 1.1 * box.height / tall)
            if size >= _LEAST_PT:
                return Label(words, at, size, thing.bold, thing.colour)
    return None


def _beside(thing: Named, full: _Full, within: Box) -> Label:
    """Return a name near its thing, clear of all else and its leader too; else of as much as it can be."""
    tries = list(_tries(thing))
    inner = [label for label in tries if _holds(within, box_of(label))] or tries
    clear = [label for label in inner if not _meets(label, [*full.names, *full.outlines])]
    off = [*full.words, *full.lines]
    free = [label for label in clear if not _meets(label, off) and not _lies_on(label, full.leaders)]
    quiet = [label for label in free if not _runs_over(_leader(thing, label), [*full.names, *full.words])]
    own = [_box(ring) for ring in _rings(thing)]
    others = [box for box in full.outlines if box not in own]
    short = [label for label in quiet if not _runs_over(_leader(thing, label), others)]
    readable = [label for label in clear if not _meets(label, full.words)]
    return next(iter([*short, *quiet, *free, *readable, *clear, *inner]))


def _rings(thing: Named) -> tuple[Floats, ...]:
    return thing.pieces or (thing.ring,)


def _meets(label: Label, boxes: Sequence[Box]) -> bool:
    wider = _wider(box_of(label))
    return any(wider.overlaps(box) for box in boxes)


def _lies_on(label: Label, leaders: Sequence[Floats]) -> bool:
    return any(_runs_over(leader, [_wider(box_of(label))]) for leader in leaders)


def _runs_over(leader: Floats, boxes: Sequence[Box]) -> bool:
    x, y = (leader[0] + _LOOKS * (leader[1] - leader[0])).T
    return any(
        bool(((box.left < x) & (x < box.right) & (box.low < y) & (y < box.high)).any()) for box in boxes
    )


def _tries(thing: Named) -> Iterable[Label]:
    box = _box(thing.ring)
    middle = np.array([(box.left + box.right) / 2.0, (box.low + box.high) / 2.0])
    half = np.array([box.width, box.height]) / 2.0
    stacked = "\n".join(thing.name.split(" "))
    names = tuple(dict.fromkeys((thing.name, stacked)))
    sides = _SIDES[::-1] if thing.below else _SIDES
    for away, along, words, side in itertools.product(_AWAY_PT, _ALONG, names, sides):
        size = np.array(text_size(words, NAME_PT, bold=thing.bold)) / 2.0
        out, across = np.array(side), np.array([side[1], side[0]])
        x, y = (middle + out * (half + size + away) + across * along * np.maximum(half, size)).tolist()
        yield Label(words, (x, y), NAME_PT, thing.bold, thing.colour)


def _leader(thing: Named, label: Label) -> Floats:
    """Return the line from a name's edge to its thing, to the nearest of several."""
    box = box_of(label)
    ends = []
    for own in map(_box, _rings(thing)):
        end = np.array([np.clip(label.at[0], own.left, own.right), np.clip(label.at[1], own.low, own.high)])
        start = np.array([np.clip(end[0], box.left, box.right), np.clip(end[1], box.low, box.high)])
        # A leader ends inside its thing, so that there is no doubt whose it is.
        middle = np.array([(own.left + own.right) / 2.0, (own.low + own.high) / 2.0])
        ends.append(np.array([start, end + 0.25 * (middle - end)]))
    return min(ends, key=lambda line: float(np.hypot(*(line[1] - line[0]))))


def _box(ring: Floats) -> Box:
    (left, low), (right, high) = ring.min(axis=0).tolist(), ring.max(axis=0).tolist()
    return Box(left, low, right, high)


def _wider(box: Box) -> Box:
    return Box(box.left - _AIR_PT, box.low - _AIR_PT, box.right + _AIR_PT, box.high + _AIR_PT)


def _holds(outer: Box, box: Box) -> bool:
    return (
        outer.left <= box.left
        and box.right <= outer.right
        and outer.low <= box.low
        and box.high <= outer.high
    )
