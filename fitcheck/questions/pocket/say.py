"""What a part holds, in the words of the shop."""

from __future__ import annotations

from fitcheck.questions.pocket.answer import Hole, PocketAnswer
from fitcheck.say.attitude_words import attitude
from fitcheck.say.held_words import NOTHING_L
from fitcheck.say.lines import aligned, cautions_text, folded
from fitcheck.things.part import Part
from fitcheck.things.pockets import Pocket, WayUp
from fitcheck.things.shop import Shop
from fitcheck.words.units import MM2_PER_M2, Show, show_area, show_length, show_volume

HOLE_WORDS = {"air": "bleed hole", "liquid": "drain hole"}
# Pockets told one by one.
TOLD = 6


def text(answer: PocketAnswer, shop: Shop) -> str:
    """Return the answer as text: what is held in one line, then the numbers, then the cautions."""
    part, show = shop.parts[answer.part], shop.show
    blocks = [
        first_line(answer, part, show),
        "\n".join(aligned(_rows(answer, part, show))),
        "\n".join(folded(f"note: {line}") for line in answer.notes),
        cautions_text(answer.cautions, show),
    ]
    return "\n\n".join(block for block in blocks if block)


def first_line(answer: PocketAnswer, part: Part, show: Show) -> str:
    """Return what is held at the attitude, in one line."""
    how = attitude(answer.angles, part, show)
    return f"{answer.part}, {how}: {_both(answer.held.air_l, answer.held.carry_out_l, show)}"


def _both(air_l: float, carry_out_l: float, show: Show) -> str:
    air, liquid = _amount(air_l, "air", show), _amount(carry_out_l, "liquid", show)
    return f"{air} stays in going under, {liquid} comes out with it"


def _amount(litres: float, what: str, show: Show) -> str:
    return f"no {what}" if litres < NOTHING_L else f"{show_volume(litres, show)} of {what}"


def _at_most(litres: float, show: Show) -> str:
    return (
        "nothing" if litres < NOTHING_L else f"{show_volume(litres, show)} at most, air and liquid together"
    )


def _rows(answer: PocketAnswer, part: Part, show: Show) -> list[tuple[str, str]]:
    rows = [(f"Pocket {k + 1}", _pocket(row, show)) for k, row in enumerate(answer.held.pockets[:TOLD])]
    more = answer.held.pockets[TOLD:]
    if more:
        rows.append(
            ("And", f"{len(more)} smaller, {show_volume(sum(p.volume_l for p in more), show)} in all")
        )
    rows.append(("A degree off", _at_most(answer.off_l, show)))
    if answer.sealed_l > 0.0:
        rows.append(("Sealed", f"{show_volume(answer.sealed_l, show)} that no liquid reaches"))
    for kind in ("air", "liquid"):
        holes = [hole for hole in answer.holes if hole.kind == kind]
        rows += [(_nth(k, hole), _hole(hole, show)) for k, hole in enumerate(holes)]
    if answer.map is not None:
        rows.append(("Best way up", _best(answer.best, answer, part, show)))
    return rows


def _pocket(pocket: Pocket, show: Show) -> str:
    side = "highest" if pocket.kind == "air" else "lowest"
    error = f" (+- {show_volume(pocket.error_l, show)})" if pocket.error_l >= NOTHING_L else ""
    left = "bare" if pocket.kind == "air" else "wet"
    area = show_area(pocket.touched_m2 * MM2_PER_M2, show)
    return (
        f"{show_volume(pocket.volume_l, show)} of {pocket.kind}{error}, {side} at "
        f"{_place(pocket.top_mm, show)}; {area} {left}"
    )


def _nth(k: int, hole: Hole) -> str:
    word = HOLE_WORDS[hole.kind]
    return f"Best {word}" if k == 0 else f"And a {'second' if k == 1 else 'third'}"


def _hole(hole: Hole, show: Show) -> str:
    through = show_length(hole.through_mm, show)
    return f"at {_place(hole.at_mm, show)}, through {through}: leaves {_amount(hole.left_l, hole.kind, show)}"


def _best(best: WayUp | None, answer: PocketAnswer, part: Part, show: Show) -> str:
    if best is None:
        return f"none of the ways up on the map was found to fit {answer.tank}"
    where = f" (of those that fit {answer.tank})" if answer.tank else ""
    how = f"{attitude(best.angles, part, show)}{where}"
    return f"{how}: {_both(best.air_l, best.carry_out_l, show)}; a degree off {_at_most(best.off_l, show)}"


def _place(point_mm: tuple[float, float, float], show: Show) -> str:
    """Return a place on the part as drawn."""
    return ", ".join(
        f"{axis} {show_length(value, show)}" for axis, value in zip("xyz", point_mm, strict=True)
    )
