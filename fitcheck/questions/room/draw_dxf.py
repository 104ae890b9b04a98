"""A plan as DXF, in mm, one to one: for whoever draws on from it."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fitcheck.files.written import whole
from fitcheck.questions.room.answer import RoomAnswer
from fitcheck.questions.room.say import taped
from fitcheck.things.room import Door, Ring
from fitcheck.things.shop import Show
from fitcheck.words.rounding import at_least
from fitcheck.words.units import RAD_PER_DEGREE

if TYPE_CHECKING:
    from ezdxf.document import Drawing

# Layer and colour: 7 is black on white, 8 grey, 1 red, 3 green, 5 blue (AutoCAD colour index, DXF reference).
LAYERS = {"WALLS": 7, "DOORS": 8, "FIXTURES": 7, "WORK": 3, "KEEP_CLEAR": 1, "AISLES": 5, "TAPE": 8}
# Heights of letters on the floor, in mm: read at 1 : 50.
_NAME_MM, _TAPE_MM = 120.0, 55.0


def write_room_dxf(answer: RoomAnswer, show: Show, path: Path | str) -> None:
    """Write the best layout of an answer, or the room alone, whole or not at all.

    Raises `Refused` where the disk does not take it.
    """
    target = Path(path)
    document = room_drawing(answer, show)
    with whole(target) as draft:
        document.saveas(draft)


def room_drawing(answer: RoomAnswer, show: Show) -> Drawing:
    """Return the drawing of a plan."""
    from ezdxf import units
    from ezdxf._options import options
    from ezdxf.filemanagement import new

    # The date and a number drawn by lot would make two drawings of one answer differ.
    options.write_fixed_meta_data_for_testing = True
    document = new("R2010", setup=True)
    document.units = units.MM
    for name, colour in LAYERS.items():
        document.layers.add(name, color=colour)
    space = document.modelspace()
    room = answer.room
    _ring(space, room.outline_mm, "WALLS")
    for door in room.doors:
        _door(space, door)
    for zone in room.keep_clear:
        _ring(space, zone.ring_mm, "KEEP_CLEAR")
        _text(space, zone.name, _middle(zone.ring_mm), _NAME_MM, "KEEP_CLEAR")
    best = answer.best
    if best is None:
        return document
    for fixture, place, corners in taped(room, best, show):
        ring = fixture.ring_mm(place)
        _ring(space, ring, "FIXTURES")
        _text(space, fixture.name, _middle(ring), _NAME_MM, "FIXTURES")
        for side in fixture.working_sides:
            _ring(space, fixture.work_ring_mm(side, place), "WORK")
        for corner, (x, y) in zip(ring, corners, strict=True):
            _text(space, f"{x}, {y}", corner, _TAPE_MM, "TAPE")
    for aisle in best.aisles:
        if aisle.pinch_mm is not None:
            start, end = aisle.pinch_mm
            space.add_line(start, end, dxfattribs={"layer": "AISLES"})
            _text(space, at_least(aisle.width_mm, show), _middle(aisle.pinch_mm), _TAPE_MM, "AISLES")
    return document


def _ring(space: Any, ring: Ring, layer: str) -> None:
    space.add_lwpolyline(ring, close=True, dxfattribs={"layer": layer})


def _door(space: Any, door: Door) -> None:
    """Draw the leaf standing open, its swing as a true arc, and a line across the doorway."""
    hinge, strike = door.hinge_mm, door.strike_mm
    way = 1.0 if door.takes_floor else -1.0
    open_end = tuple(h + way * door.width_mm * n for h, n in zip(hinge, door.inward, strict=True))
    space.add_line(door.low_mm, door.high_mm, dxfattribs={"layer": "DOORS"})
    space.add_line(hinge, open_end, dxfattribs={"layer": "DOORS"})
    shut, wide = (
        math.atan2(end[1] - hinge[1], end[0] - hinge[0]) / RAD_PER_DEGREE for end in (strike, open_end)
    )
    # An arc of a DXF runs counter-clockwise.
    first, last = (shut, wide) if (wide - shut) % 360.0 < 180.0 else (wide, shut)
    space.add_arc(hinge, door.width_mm, first, last, dxfattribs={"layer": "DOORS"})
    _text(space, door.name, _middle((hinge, strike)), _TAPE_MM, "DOORS")


def _text(space: Any, words: str, at: tuple[float, float], height_mm: float, layer: str) -> None:
    from ezdxf.enums import TextEntityAlignment

    note = space.add_text(words, height=height_mm, dxfattribs={"layer": layer})
    note.set_placement(at, align=TextEntityAlignment.MIDDLE_CENTER)


def _middle(ring: Ring) -> tuple[float, float]:
    return sum(x for x, _ in ring) / len(ring), sum(y for _, y in ring) / len(ring)
