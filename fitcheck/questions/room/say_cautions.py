"""The cautions that go with every layout of a room, each with where it comes from."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from fitcheck.questions.room.answer import RoomAnswer
from fitcheck.things.room import Door, KeepClear
from fitcheck.words.rounding import at_least
from fitcheck.words.units import Show, read_length

# 29 CFR 1910.36(g): an exit access is this wide everywhere, and its ceiling this high.
EXIT_WIDTH, EXIT_CEILING = "28 in", "7 ft 6 in"
# 2010 ADA Standards 404.2.3: the clear opening of a door, and its height.
DOOR_CLEAR, DOOR_HEIGHT = "32 in", "80 in"
# 29 CFR 1910.303(g)(1), Table S-1, up to 150 V to ground: the working space at an electrical panel.
PANEL_DEPTH, PANEL_WIDTH, PANEL_HEIGHT = "36 in", "30 in", "6 ft 6 in"
LOCAL_CODE = (
    "Local building, fire and electrical codes and the inspector outrank these figures; a plan that fits "
    "here is not an approval."
)
_ROUNDING_MM = 1e-6


def with_room_cautions(answer: RoomAnswer, show: Show) -> RoomAnswer:
    """Return the answer with the cautions of its room."""
    lines = [
        *_ways_out(answer, show),
        *(line for door in answer.room.doors for line in _door(door, show)),
        *(line for zone in answer.room.keep_clear for line in _panel(zone, show)),
        *_heaters(answer),
        *_unasked(answer),
        LOCAL_CODE,
    ]
    return replace(answer, cautions=tuple(dict.fromkeys((*answer.cautions, *lines))))


def _ways_out(answer: RoomAnswer, show: Show) -> list[str]:
    lines = []
    rule = f"an exit access is at least {EXIT_WIDTH} wide at every point (29 CFR 1910.36(g)(2))"
    aisles = answer.best.aisles if answer.best else ()
    least = min(aisles, key=lambda each: each.width_mm, default=None)
    if least is not None and least.width_mm < read_length(EXIT_WIDTH) - _ROUNDING_MM:
        lines.append(f"The way to {least.to} is {at_least(least.width_mm, show)} wide: {rule}.")
    ceiling = answer.room.ceiling_mm
    if ceiling is not None and ceiling < read_length(EXIT_CEILING) - _ROUNDING_MM:
        lines.append(
            f"The ceiling is {at_least(ceiling, show)} high: over an exit route it is at least "
            f"{EXIT_CEILING} (29 CFR 1910.36(g)(1))."
        )
    return lines


def _door(door: Door, show: Show) -> list[str]:
    lines = []
    if door.clear_mm < read_length(DOOR_CLEAR) - _ROUNDING_MM:
        lines.append(
            f"{door.name} is {at_least(door.clear_mm, show)} clear: an accessible door is at least "
            f"{DOOR_CLEAR} with its leaf at 90 deg (2010 ADA Standards 404.2.3), and an exit access "
            f"{EXIT_WIDTH} (29 CFR 1910.36(g)(2))."
        )
    if door.height_mm is not None and door.height_mm < read_length(DOOR_HEIGHT) - _ROUNDING_MM:
        high = at_least(door.height_mm, show)
        lines.append(f"{door.name} is {high} high: {DOOR_HEIGHT} is the least (2010 ADA Standards 404.2.3).")
    return lines


def _panel(zone: KeepClear, show: Show) -> list[str]:
    """Return what an electrical panel needs, for a zone that is called so."""
    if "panel" not in zone.name.casefold():
        return []
    sides = np.hypot(*np.diff(np.array([*zone.ring_mm, zone.ring_mm[0]]), axis=0).T)
    width, depth = (float(side) for side in sorted(sides)[::2])
    rule = (
        f"{PANEL_DEPTH} deep at up to 150 V to ground (more above), {PANEL_WIDTH} wide or as wide as the "
        f"equipment, {PANEL_HEIGHT} high, its door opening to 90 deg, and never a place for storage "
        "(29 CFR 1910.303(g)(1))"
    )
    small = depth < read_length(PANEL_DEPTH) - _ROUNDING_MM or width < read_length(PANEL_WIDTH) - _ROUNDING_MM
    low = zone.height_mm is not None and zone.height_mm < read_length(PANEL_HEIGHT) - _ROUNDING_MM
    if small or low:
        size = f"{at_least(width, show)} x {at_least(depth, show)}"
        return [f"{zone.name}: {size} is less than its working space, which is {rule}."]
    return [f"{zone.name}: the working space at it is {rule}."]


def _heaters(answer: RoomAnswer) -> list[str]:
    names = [fixture.name for fixture in answer.room.fixtures]
    names += [zone.name for zone in answer.room.keep_clear]
    hot = [name for name in names if "heater" in name.casefold()]
    return [
        f"{name}: what burns stays 36 in off unless its label says otherwise (common practice)."
        for name in hot
    ]


def _unasked(answer: RoomAnswer) -> list[str]:
    """Return what could not be looked at for want of figures."""
    room, lines = answer.room, []
    if not room.doors:
        lines.append("No door is given: ways out and aisles were not looked at.")
    elif room.aisle_mm <= 0.0:
        lines.append("No aisle is given: any width will do here.")
    if room.doors and answer.best is not None and not answer.best.aisles:
        lines.append("No fixture has work sides: aisles were not looked at.")
    if room.ceiling_mm is None:
        lines.append("No ceiling is given: heights under it were not looked at.")
    return lines
