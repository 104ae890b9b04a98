"""The names of what stands in a room: inside its outline, or on a leader beside what is too narrow."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from fitcheck.rim.draw import ink
from fitcheck.rim.draw.ink import Area, Box, Label, Mark, Marks, Stroke, box_of, text_size
from fitcheck.things.solid import Floats

NAME_PT = 11.0
# A name in smaller print than this goes beside its thing.
_LEAST_PT = 9.0
_AIR_PT = 2.0
# How far from a thing its name is tried, nearest first.
_AWAY_PT = (6.0, 14.0, 24.0, 36.0, 50.0, 66.0)
# Which side of a thing a name goes to, and how far along that side from its middle, against half of it.
_SIDES = ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))
_ALONG = (0.0, 0.4, -0.4, 0.8, -0.8, 1.2, -1.2)


@dataclass(frozen=True, slots=True, eq=False)
class Named:
    """A thing on the sheet: its ring, its name, and how that is printed; hatched: on ground of its own."""

    ring: Floats
    name: str
    bold: bool = True
    colour: str = ink.INK
    hatched: bool = False


def names_marks(things: Sequence[Named], taken: Iterable[Box], within: Box) -> Marks:
    """Return every name, none on another nor on a thing that is not its own.

    taken: what else names keep off where they can. within: they stay inside.
    """
    inside = [_inside(thing) for thing in things]
    full = [box_of(label) for label in inside if label is not None]
    outlines = [_box(thing.ring) for thing in things]
    marks: list[Mark] = []
    for thing, label in zip(things, inside, strict=True):
        if label is not None:
            marks += [*((Area((box_of(label).ring,), fill=ink.PAPER),) if thing.hatched else ()), label]
    for thing, label in zip(things, inside, strict=True):
        if label is None:
            beside = _beside(thing, [*full, *outlines], list(taken), within)
            full.append(box_of(beside))
            marks += _led(thing, beside)
    return tuple(marks)


def _inside(thing: Named) -> Label | None:
    """Return a name in the middle of its thing, a word a line where that helps; None where it is narrow."""
    box = _box(thing.ring)
    at = ((box.left + box.right) / 2.0, (box.low + box.high) / 2.0)
    for words in (thing.name, "\n".join(thing.name.split())):
        wide, tall = text_size(words, 1.0, bold=thing.bold)
        size = min(NAME_PT, 0.94 * box.width / wide, 1.1 * box.height / tall)
        if size >= _LEAST_PT:
            return Label(words, at, size, thing.bold, thing.colour)
    return None


def _beside(thing: Named, full: list[Box], taken: list[Box], within: Box) -> Label:
    """Return a name near its thing, clear of all else; where nothing is, clear of what is full."""
    tries = list(_tries(thing))
    inner = [label for label in tries if _holds(within, box_of(label))] or tries
    for things in ([*full, *taken], full):
        for label in inner:
            if not any(_wider(box_of(label)).overlaps(box) for box in things):
                return label
    return inner[0]


def _tries(thing: Named) -> Iterable[Label]:
    box = _box(thing.ring)
    middle = np.array([(box.left + box.right) / 2.0, (box.low + box.high) / 2.0])
    half = np.array([box.width, box.height]) / 2.0
    stacked = "\n".join(thing.name.split())
    names = tuple(dict.fromkeys((thing.name, stacked)))
    for away, along, words, side in itertools.product(_AWAY_PT, _ALONG, names, _SIDES):
        size = np.array(text_size(words, NAME_PT, bold=thing.bold)) / 2.0
        out, across = np.array(side), np.array([side[1], side[0]])
        x, y = (middle + out * (half + size + away) + across * along * half).tolist()
        yield Label(words, (x, y), NAME_PT, thing.bold, thing.colour)


def _led(thing: Named, label: Label) -> Marks:
    """Return a name with a leader from its edge to its thing."""
    box, own = box_of(label), _box(thing.ring)
    end = np.array([np.clip(label.at[0], own.left, own.right), np.clip(label.at[1], own.low, own.high)])
    start = np.array([np.clip(end[0], box.left, box.right), np.clip(end[1], box.low, box.high)])
    # A leader ends inside its thing, so that there is no doubt whose it is.
    middle = np.array([(own.left + own.right) / 2.0, (own.low + own.high) / 2.0])
    line = np.array([start, end + 0.25 * (middle - end)])
    return (Stroke((line,), label.colour, 0.9), Area((box.ring,), fill=ink.PAPER), label)


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
