"""A layout in the words of the shop: the verdict in one line, conflicts with their cures, aisles, places."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from fitcheck.questions.room.answer import Aisle, Conflict, Layout, Move, RoomAnswer
from fitcheck.say.lines import aligned, cautions_text, folded
from fitcheck.say.tables import table_text
from fitcheck.things.room import Fixture, Place, Room
from fitcheck.things.shop import Shop
from fitcheck.words.rounding import ROUNDING_MM, at_least, at_most
from fitcheck.words.units import Show, show_angle, show_area, show_length


def text(answer: RoomAnswer, shop: Shop) -> str:
    """Return the answer as text: the verdict, conflicts with their cures, layouts, places, cautions."""
    show = shop.show
    blocks = [verdict_line(answer, show)]
    if answer.proof:
        blocks.append(
            folded(f"Proven: {answer.proof} (steps of {show_length(answer.grid_mm or 0.0, show)}).")
        )
    blocks.append("\n".join(_conflict_lines(answer, show)))
    for k, layout in enumerate(answer.layouts):
        name = "" if len(answer.layouts) == 1 else f"Layout {k + 1}"
        blocks.append("\n".join(filter(None, [name, *aligned(_layout_rows(layout, answer, show))])))
    if answer.best is not None:
        blocks.append(places_table(answer.room, answer.best, show))
    blocks.append(cautions_text(answer.cautions, show))
    return "\n\n".join(block for block in blocks if block)


def verdict_line(answer: RoomAnswer, show: Show) -> str:
    """Return the whole verdict in one line."""
    return f"{answer.room.name}: {answer.verdict}, {verdict_words(answer, show)}"


def verdict_words(answer: RoomAnswer, show: Show) -> str:
    """Return what the verdict hangs on, with its figure."""
    if answer.verdict != "fits":
        return answer.reason
    least = answer.best.least_aisle_mm if answer.best else None
    return (
        answer.reason if least is None else f"{answer.reason}; the narrowest aisle is {at_least(least, show)}"
    )


def conflict_words(conflict: Conflict, show: Show) -> str:
    """Return one conflict as a foreman would say it."""
    by = at_most(conflict.short_by_mm, show)
    one, other = conflict.between[0], conflict.between[-1]
    words = {
        "bodies overlap": f"{one} and {other} overlap by {by}",
        "outside the room": f"{one} reaches beyond the {other} by {by}",
        "work zone outside the room": f"the working floor of {one} reaches beyond the {other} by {by}",
        "in a work zone": f"{one} stands {by} inside the working floor of {other}",
        "in the door swing": f"{one} stands {by} inside the swing of {other}",
        "in a keep-clear zone": f"{one} stands {by} inside {other}, which is to be kept clear",
        "aisle too narrow": f"the aisle between {' and '.join(conflict.between)} is {by} too narrow",
    }
    return words[conflict.kind]


def move_words(move: Move, show: Show) -> str:
    """Return one change: "move jig 6 in east"."""
    if move.by_mm is None:
        return f"hang {move.name} to swing out"
    steps = [
        f"{at_most(abs(by), show)} {ways[by > 0.0]}"
        for by, ways in zip(move.by_mm, (("west", "east"), ("south", "north")), strict=True)
        if abs(by) > ROUNDING_MM
    ]
    return f"move {move.name} {' and '.join(steps)}"


def aisle_words(aisle: Aisle, show: Show) -> str:
    """Return how wide the way to one working side is, and where it is pinched."""
    if aisle.width_mm <= 0.0:
        return "no way to it from any door"
    words = f"{at_least(aisle.width_mm, show)} from {aisle.door}"
    if aisle.pinch is None:
        return f"{words}, as wide as the place at it"
    return f"{words}, pinched between {aisle.pinch[0]} and {aisle.pinch[1]}"


def aisles_alike(aisles: Sequence[Aisle]) -> list[tuple[str, Aisle]]:
    """Return the aisles, the narrowest first, those of one fixture with one width and pinch told together."""
    found: dict[tuple[object, ...], list[Aisle]] = {}
    for aisle in sorted(aisles, key=lambda each: each.width_mm):
        found.setdefault((aisle.fixture, aisle.door, round(aisle.width_mm), aisle.pinch), []).append(aisle)
    return [
        (
            ", ".join([alike[0].to, *(each.to.removeprefix(f"{each.fixture} ") for each in alike[1:])]),
            alike[0],
        )
        for alike in found.values()
    ]


def places_table(room: Room, layout: Layout, show: Show) -> str:
    """Return the tape figures: each fixture's corners, from the room's west and south side."""
    rows = [
        [fixture.name, turn_words(place.turn_rad), *(f"{x}, {y}" for x, y in corners)]
        for fixture, place, corners in taped(room, layout, show)
    ]
    heads = ["fixture", "turned", "front left", "front right", "back right", "back left"]
    return f"From the west side, from the south side\n\n{table_text(heads, rows)}" if rows else ""


def taped(room: Room, layout: Layout, show: Show) -> Iterator[tuple[Fixture, Place, list[tuple[str, str]]]]:
    """Yield each fixture with its place and corners, east of the west side and north of the south side."""
    west, south = (min(corner[axis] for corner in room.outline_mm) for axis in (0, 1))
    for fixture in layout.fixtures:
        if fixture.place is not None:
            corners = [
                (show_length(x - west, show), show_length(y - south, show))
                for x, y in fixture.ring_mm(fixture.place)
            ]
            yield fixture, fixture.place, corners


def turn_words(turn_rad: float) -> str:
    """Return how a fixture is turned."""
    return "as drawn" if turn_rad == 0.0 else show_angle(turn_rad)


def _conflict_lines(answer: RoomAnswer, show: Show) -> Iterator[str]:
    for conflict in answer.conflicts:
        cure = f": {move_words(conflict.cure, show)}" if conflict.cure else ": no one move cures it"
        yield folded(f"{conflict_words(conflict, show)}{cure}", "- ", "  ")


def _layout_rows(layout: Layout, answer: RoomAnswer, show: Show) -> list[tuple[str, str]]:
    rows = [(to, aisle_words(aisle, show)) for to, aisle in aisles_alike(layout.aisles)]
    wide = (
        f"that a {show_length(answer.room.aisle_mm, show)} wide load reaches"
        if answer.room.aisle_mm
        else "free"
    )
    rows.append(("Free floor", f"{show_area(layout.free_mm2, show)} {wide}"))
    count = len(layout.fixtures)
    rows.append(("On walls", f"{layout.on_walls} of {count} fixtures stand against a wall"))
    return rows
