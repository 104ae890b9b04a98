"""A rack in the words of the shop: the verdict in one line, the places, what is left out, the cautions."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from fitcheck.questions.store.answer import StoreAnswer, Stored
from fitcheck.say.lines import aligned, cautions_text, folded
from fitcheck.say.tables import table_text
from fitcheck.things.rack import BayRack, RailRack
from fitcheck.things.shop import Shop
from fitcheck.words.rounding import at_least, at_most
from fitcheck.words.units import Show, show_angle, show_length, show_mass


def text(answer: StoreAnswer, shop: Shop) -> str:
    """Return the answer as text: the verdict, what is left out, the places, the cautions."""
    show = shop.show
    racks = answer.at_least_racks
    count = (
        "no number of these racks would do"
        if racks is None
        else f"at least {racks} such rack{'s' if racks > 1 else ''} (proven: {answer.racks_proof})"
    )
    left = [(each.part, f"{each.count} left out: {each.why}") for each in answer.left_out]
    blocks = [
        verdict_line(answer),
        "\n".join(aligned([("Racks", count), *left])),
        _rails_table(answer.places, show) if isinstance(answer.rack, RailRack) else _bays_table(answer, show),
        cautions_text(answer.cautions, show),
    ]
    return "\n\n".join(block for block in blocks if block)


def verdict_line(answer: StoreAnswer) -> str:
    """Return the whole verdict in one line."""
    return folded(f"{answer.rack.name}: {answer.verdict}, {answer.reason}")


def runs(places: Sequence[Stored]) -> list[list[Stored]]:
    """Return places in runs of like parts that hang or lie alike, side by side."""
    key = [(each.where, each.part, tuple(round(side, 3) for side in each.size_mm)) for each in places]
    return [
        [place for _, place in group]
        for _, group in itertools.groupby(zip(key, places, strict=True), key=lambda pair: pair[0])
    ]


def _numbers(run: Sequence[Stored]) -> str:
    first, last = run[0].number, run[-1].number
    return f"{run[0].part} {first}" if first == last else f"{run[0].part} {first} to {last}"


def _size(place: Stored, show: Show) -> str:
    return " x ".join(show_length(side, show) for side in place.size_mm)


def _rails_table(places: Sequence[Stored], show: Show) -> str:
    rows = []
    for run in runs(places):
        first = run[0]
        step = run[1].along_mm - first.along_mm if len(run) > 1 else 0.0
        every = f", every {show_length(step, show)}" if len(run) > 1 else ""
        hooks = "one hook" if first.hooks == 1 else f"{first.hooks} hooks"
        load = "" if first.hook_kg is None else f", {show_mass(first.hook_kg, show)} on one"
        rows.append(
            [
                first.place,
                _numbers(run),
                f"{show_length(first.along_mm, show)}{every}",
                _size(first, show),
                at_least(first.over_floor_mm or 0.0, show),
                f"{hooks}{load}",
            ]
        )
    heads = ["rail", "part", "from its low end", "along x across x upright", "over the floor", "hooks"]
    return table_text(heads, rows) if rows else ""


def _bays_table(answer: StoreAnswer, show: Show) -> str:
    rows = []
    for place in answer.places:
        x, y = place.along_mm, place.across_mm
        angles = place.pose.angles
        turned = ", ".join(
            f"{name} {show_angle(angle)}"
            for name, angle in zip(("tilt", "roll", "swing"), angles, strict=True)
            if abs(angle) > 1e-9
        )
        sag = "" if place.sag_mm is None else at_most(place.sag_mm, show)
        rows.append(
            [
                place.place,
                f"{place.part} {place.number}",
                f"{show_length(x, show)}, {show_length(y, show)}",
                _size(place, show),
                turned or "as drawn",
                sag,
            ]
        )
    heads = ["bay", "part", "low corner at", "along x deep x high", "turned", "sags at most"]
    if not isinstance(answer.rack, BayRack) or all(place.sag_mm is None for place in answer.places):
        heads, rows = heads[:-1], [row[:-1] for row in rows]
    return table_text(heads, rows) if rows else ""
