"""Cautions of rooms, racks and ways as sentences, each with where it comes from."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fitcheck.things.caution import Caution
from fitcheck.words.rounding import at_least
from fitcheck.words.units import Show

# Those that have no numbers.
FLOOR: Mapping[str, str] = {
    "local code": (
        "Local building, fire and electrical codes and the inspector outrank these figures; a plan that fits "
        "here is not an approval."
    ),
    "no door": "No door is given: ways out and aisles were not looked at.",
    "no aisle": "No aisle is given: any width will do here.",
    "no work sides": "No fixture has work sides: aisles were not looked at.",
    "no ceiling": "No ceiling is given: heights under it were not looked at.",
    "rack capacity": (
        "What the rack, its hooks and the wall carry is for who built them to say; no rack is approved here."
    ),
    "drip": "Wet parts drip: a tray under every rail, and nobody's way under them (common practice).",
    "pads": (
        "Pad arms and uprights; film or paper between parts; skins on edge or flat on full support (common "
        "practice)."
    ),
    "rails apart": (
        "apart is not given: rails are taken to be so far apart that nothing of one reaches another."
    ),
    "hook load": "load is not given: what a hook carries was not looked at.",
    "rail hooks slide": (
        "Hooks are taken to slide along their rail: where they are fixed, parts hang further apart than told."
    ),
    "mock up": (
        "On paper: walk it first with a light dummy of the same size; handles, people and slings are not "
        "looked at (common practice)."
    ),
    "lifted by hand": (
        "Who carries decides how much: NIOSH's load constant is 51 lb for one person, at best (DHHS 94-110)."
    ),
}
_PANEL_RULE = (
    "{depth} deep at up to 150 V to ground (more above), {width} wide or as wide as the equipment, {height} "
    "high, its door opening to 90 deg, and never a place for storage (29 CFR 1910.303(g)(1))"
)


def _narrow_way_out(caution: Caution, show: Show) -> str:
    wide, least = at_least(caution.number("width_mm"), show), caution.word("least")
    return (
        f"The way to {caution.word('to')} is {wide} wide: an exit access is at least {least} wide at every "
        "point (29 CFR 1910.36(g)(2))."
    )


def _low_ceiling(caution: Caution, show: Show) -> str:
    high, least = at_least(caution.number("ceiling_mm"), show), caution.word("least")
    return f"The ceiling is {high} high: over an exit route it is at least {least} (29 CFR 1910.36(g)(1))."


def _narrow_door(caution: Caution, show: Show) -> str:
    clear, least = at_least(caution.number("clear_mm"), show), caution.word("least")
    return (
        f"{caution.word('door')} is {clear} clear: an accessible door is at least {least} with its leaf at "
        f"90 deg (2010 ADA Standards 404.2.3), and an exit access {caution.word('way_out')} (29 CFR "
        "1910.36(g)(2))."
    )


def _low_door(caution: Caution, show: Show) -> str:
    high, least = at_least(caution.number("height_mm"), show), caution.word("least")
    return f"{caution.word('door')} is {high} high: {least} is the least (2010 ADA Standards 404.2.3)."


def _panel_rule(caution: Caution) -> str:
    return _PANEL_RULE.format(**{name: caution.word(name) for name in ("depth", "width", "height")})


def _panel(caution: Caution, _show: Show) -> str:
    return f"{caution.word('zone')}: the working space at it is {_panel_rule(caution)}."


def _small_panel(caution: Caution, show: Show) -> str:
    size = " x ".join(at_least(caution.number(name), show) for name in ("width_mm", "depth_mm"))
    rule = _panel_rule(caution)
    return f"{caution.word('zone')}: {size} is less than its working space, which is {rule}."


def _heater(caution: Caution, _show: Show) -> str:
    return (
        f"{caution.word('thing')}: what burns stays 36 in off unless its label says otherwise (common "
        "practice)."
    )


def _sag(caution: Caution, _show: Show) -> str:
    return (
        f"Sag is held to 1/{caution.number('one_in'):.0f} of the way between arms; arms every 4 to 6 ft for "
        "thin spars (common practice). Parts of unknown metal and stubby ones were not looked at."
    )


FLOOR_WITH_NUMBERS: Mapping[str, Callable[[Caution, Show], str]] = {
    "narrow way out": _narrow_way_out,
    "low ceiling": _low_ceiling,
    "narrow door": _narrow_door,
    "low door": _low_door,
    "panel": _panel,
    "small panel": _small_panel,
    "heater": _heater,
    "sag": _sag,
}
