"""What codes ask of a room, and what was not checked for want of figures."""

from __future__ import annotations

import numpy as np

from fitcheck.questions.room.answer import RoomAnswer
from fitcheck.things.caution import Caution, each_once
from fitcheck.things.room import Door, KeepClear
from fitcheck.words.units import read_length

# 29 CFR 1910.36(g): an exit access is this wide everywhere, and its ceiling this high.
EXIT_WIDTH, EXIT_CEILING = "28 in", "7 ft 6 in"
# 2010 ADA Standards 404.2.3: the clear opening of a door, and its height.
DOOR_CLEAR, DOOR_HEIGHT = "32 in", "80 in"
# 29 CFR 1910.303(g)(1), Table S-1, up to 150 V to ground: the working space at an electrical panel.
PANEL_DEPTH, PANEL_WIDTH, PANEL_HEIGHT = "36 in", "30 in", "6 ft 6 in"
LOCAL_CODE = Caution("local code")
_ROUNDING_MM = 1e-6


def cautions_of(answer: RoomAnswer) -> tuple[Caution, ...]:
    """Return the cautions of an answer and its room."""
    return each_once(
        *_ways_out(answer),
        *(caution for door in answer.room.doors for caution in _door(door)),
        *(caution for zone in answer.room.keep_clear for caution in _panel(zone)),
        *_heaters(answer),
        *_unasked(answer),
        LOCAL_CODE,
    )


def _is_less(mm: float, least: str) -> bool:
    return mm < read_length(least) - _ROUNDING_MM


def _ways_out(answer: RoomAnswer) -> list[Caution]:
    found = []
    aisles = answer.best.aisles if answer.best else ()
    least = min(aisles, key=lambda each: each.width_mm, default=None)
    if least is not None and _is_less(least.width_mm, EXIT_WIDTH):
        found.append(Caution.of("narrow way out", to=least.to, width_mm=least.width_mm, least=EXIT_WIDTH))
    ceiling = answer.room.ceiling_mm
    if ceiling is not None and _is_less(ceiling, EXIT_CEILING):
        found.append(Caution.of("low ceiling", ceiling_mm=ceiling, least=EXIT_CEILING))
    return found


def _door(door: Door) -> list[Caution]:
    found = []
    if _is_less(door.clear_mm, DOOR_CLEAR):
        found.append(
            Caution.of(
                "narrow door", door=door.name, clear_mm=door.clear_mm, least=DOOR_CLEAR, way_out=EXIT_WIDTH
            )
        )
    if door.height_mm is not None and _is_less(door.height_mm, DOOR_HEIGHT):
        found.append(Caution.of("low door", door=door.name, height_mm=door.height_mm, least=DOOR_HEIGHT))
    return found


def _panel(zone: KeepClear) -> list[Caution]:
    """Return what an electrical panel needs, for a zone that is called so."""
    if "panel" not in zone.name.casefold():
        return []
    sides = np.hypot(*np.diff(np.array([*zone.ring_mm, zone.ring_mm[0]]), axis=0).T)
    width, depth = (float(side) for side in sorted(sides)[::2])
    rule = {"depth": PANEL_DEPTH, "width": PANEL_WIDTH, "height": PANEL_HEIGHT}
    low = zone.height_mm is not None and _is_less(zone.height_mm, PANEL_HEIGHT)
    if _is_less(depth, PANEL_DEPTH) or _is_less(width, PANEL_WIDTH) or low:
        return [Caution.of("small panel", zone=zone.name, width_mm=width, depth_mm=depth, **rule)]
    return [Caution.of("panel", zone=zone.name, **rule)]


def _heaters(answer: RoomAnswer) -> list[Caution]:
    names = [fixture.name for fixture in answer.room.fixtures]
    names += [zone.name for zone in answer.room.keep_clear]
    return [Caution.of("heater", thing=name) for name in names if "heater" in name.casefold()]


def _unasked(answer: RoomAnswer) -> list[Caution]:
    """Return what could not be checked for want of figures."""
    room, found = answer.room, []
    if not room.doors:
        found.append(Caution("no door"))
    elif room.aisle_mm <= 0.0:
        found.append(Caution("no aisle"))
    if room.doors and answer.best is not None and not answer.best.aisles:
        found.append(Caution("no work sides"))
    if room.ceiling_mm is None:
        found.append(Caution("no ceiling"))
    return found
