"""The words on the sheet of what a part holds."""

from __future__ import annotations

from fitcheck.draw import ink
from fitcheck.draw.captions import Fact, attitude_words
from fitcheck.questions.pocket.answer import Hole, PocketAnswer
from fitcheck.questions.pocket.say import HOLE_WORDS
from fitcheck.say.cautions import sentences
from fitcheck.say.held_words import NOTHING_L
from fitcheck.things.part import Part
from fitcheck.things.pockets import Held, PocketKind
from fitcheck.things.shop import Show
from fitcheck.things.tank_cautions import STANDING
from fitcheck.words.units import MM2_PER_M2, show_area, show_volume

WHEN: dict[PocketKind, str] = {"air": "Going in", "liquid": "Coming out"}
_COUNTED = ("one", "two", "three")


def amount(litres: float, show: Show) -> str:
    """Return a volume, "nothing" where it is less than a teaspoon."""
    return show_volume(litres, show) if litres >= NOTHING_L else "nothing"


def held_l(held: Held, kind: PocketKind) -> float:
    """Return how much of one kind is held."""
    return held.air_l if kind == "air" else held.carry_out_l


def kinds_held(held: Held) -> tuple[PocketKind, ...]:
    """Return what is held at all: air, liquid, both or neither."""
    kinds: tuple[PocketKind, ...] = ("air", "liquid")
    return tuple(kind for kind in kinds if held_l(held, kind) >= NOTHING_L)


def heading(held: Held, kind: PocketKind, show: Show) -> str:
    """Return "Going in: air 115 gal" or "Coming out: no liquid"."""
    litres = held_l(held, kind)
    what = f"{kind} {show_volume(litres, show)}" if litres >= NOTHING_L else f"no {kind}"
    return f"{WHEN[kind]}: {what}"


def finding(held: Held, part: Part) -> tuple[str, str]:
    """Return what is held in two words, and the colour behind them: the warning one for too much air."""
    kinds = kinds_held(held)
    if not kinds:
        return "holds nothing", ink.GO
    words = "holds both" if len(kinds) == 2 else f"holds {kinds[0]}"
    return words, ink.WARNING if held.air_l > part.air_at_most_l else ink.CARE


def title(answer: PocketAnswer) -> str:
    """Return the part and how it hangs; swing makes no difference to what it holds."""
    return f"{answer.part}, {attitude_words(answer.angles._replace(swing_rad=0.0))}"


def hole_words(hole: Hole, show: Show) -> str:
    """Return what a hole is for and what it leaves, on two lines."""
    return f"{HOLE_WORDS[hole.kind]}:\nleaves {amount(hole.left_l, show)}"


def facts(answer: PocketAnswer, show: Show) -> tuple[Fact, ...]:
    """Return the panel: what the headings and the views do not say."""
    told = [Fact(f"{HOLE_WORDS[kind]}s", _left(answer.holes, kind, show)) for kind in kinds_held(answer.held)]
    off = amount(answer.off_l, show)
    told.append(Fact("held when hung a degree off", off if off == "nothing" else f"{off} at most"))
    if answer.held.air_l >= NOTHING_L:
        told.append(Fact("stays bare", show_area(answer.held.bare_m2 * MM2_PER_M2, show)))
    if answer.sealed_l > 0.0:
        told.append(Fact("sealed, no liquid gets there", show_volume(answer.sealed_l, show)))
    return tuple(fact for fact in told if fact.words)


def _left(holes: tuple[Hole, ...], kind: PocketKind, show: Show) -> str:
    """Return what is left with one hole, with two, with three."""
    left = [amount(hole.left_l, show) for hole in holes if hole.kind == kind]
    if not left:
        return "none that helps was found"
    return ", ".join(
        f"{count} leave{'s' if k == 0 else ''} {words}"
        for k, (count, words) in enumerate(zip(_COUNTED, left, strict=False))
    )


def notes(answer: PocketAnswer, show: Show, *, holes: bool = True) -> tuple[str, ...]:
    """Return the small print: the answer's notes and cautions but the two that the standing one says.

    holes: whether holes are told on the sheet; without, nor is the caution about drilling them.
    """
    standing = sentences(STANDING, show)
    told = tuple(each for each in answer.cautions if holes or each.kind != "drilling")
    return (*answer.notes, *(line for line in sentences(told, show) if line not in standing))
