"""The page of one lift: how it hangs, the fill line, the slings, what stays in and comes out, the boxes."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.draw.captions import STANDING_CAUTION
from fitcheck.draw.scene import nearest_standing
from fitcheck.draw.sheet_sections import (
    Drawing,
    Facts,
    Lead,
    Notes,
    Page,
    Section,
    Table,
    Ticks,
    Tone,
    Value,
    Values,
)
from fitcheck.questions.dip.answer import Fits, MeasureAgain
from fitcheck.questions.dip.draw_insertion import WaySketch, drawn_poses
from fitcheck.questions.dip.draw_lift import LiftSketch
from fitcheck.questions.dip.draw_scene import scene_of
from fitcheck.questions.dip.page_lifted import Lifted
from fitcheck.questions.dip.say import SIDE_WORDS
from fitcheck.questions.dip.say_insertion import how_in
from fitcheck.questions.hang.answer import HangAnswer, Leg
from fitcheck.questions.hang.draw_scene import lift_of
from fitcheck.questions.pocket.answer import Hole
from fitcheck.say.attitude_words import attitude
from fitcheck.say.cautions import PLAIN, sentences
from fitcheck.say.held_words import NOTHING_L, air_words, carried_words
from fitcheck.things.caution import Caution
from fitcheck.things.fill import Fill
from fitcheck.things.part import Part
from fitcheck.things.pockets import Held
from fitcheck.things.shop import Show
from fitcheck.things.tank import Tank
from fitcheck.things.tank_cautions import tank_cautions
from fitcheck.words.rounding import at_least, at_most, is_under_a_mark, some
from fitcheck.words.units import show_angle, show_force, show_length, show_mass, show_volume

# These go with every lift, and stand in full on a page of their own before all lifts.
_KINDS = ("water test", "outranked", "nobody under", "rigging", "wet slings", "hydrogen", "drilling")
FOR_EVERY_LIFT = tuple(PLAIN[kind] for kind in (*_KINDS, "band shows", "end stands out"))
BESIDE_THE_COMMON_ONES = "Cautions (those for every lift, with their sources: see Read first)"
HOLE_WORDS = {"air": "bleed hole", "liquid": "drain hole"}
LEAST_PICTURE_PT, MOST_PICTURE_PT = 250.0, 420.0
_LEAST_WAY_PT, _MOST_WAY_PT = 120.0, 190.0


def lift_page(lifted: Lifted, show: Show, shop_name: str) -> Page:
    """Return the page of one lift."""
    part, tank, answer = lifted.part, lifted.tank, lifted.answer
    advice = answer.advice
    sections: tuple[Section, ...] = (
        Lead("Hang it", attitude(advice.pose.angles, part, show)),
        _picture(lifted, show),
        *_way_in(lifted, show),
        liquid_values(advice.fill, tank, show),
        *_legs(lifted, show),
        Facts("", (*_hung(lifted, show), *_facts(lifted, show))),
        ticks(lifted.slung, show),
        *_cautions(lifted, show),
    )
    return Page(
        kind="lift",
        tag=part.name,
        title=f"in {tank.name}, {tank.liquid.name}",
        under=under_words(part, show, shop_name),
        sections=sections,
        verdict=answer.verdict,
        tone="go" if isinstance(answer, Fits) else "care",
        part=part.name,
        tank=tank.name,
        foot=STANDING_CAUTION,
    )


def under_words(part: Part, show: Show, shop_name: str) -> str:
    """Return what the part is, in one line: its size as drawn, what it weighs, how many there are."""
    size = " x ".join(show_length(side, show) for side in part.size_mm)
    count = f", {part.count} of them, one at a time" if part.count > 1 else ""
    return f"{size} as drawn, {show_mass(part.mass_kg, show)}{count}. {shop_name}"


def liquid_values(fill: Fill, tank: Tank, show: Show) -> Values:
    """Return the fill line with the part in and before it, and the liquid."""
    before_mm = tank.depth_mm - fill.level_before_mm
    over = f"; {show_volume(fill.overflow_l, show)} runs over the rim" if fill.overflow_l > 0.0 else ""
    line = f"down from the rim, {show_length(fill.level_mm, show)} over the floor{over}"
    rise = f"down from the rim; the part lifts it {_lifts(fill.rise_mm, show)}"
    name = f"{tank.liquid.name.capitalize()} in the tank"
    return Values(
        (
            Value(
                "Fill line, part in", show_length(fill.from_rim_mm, show), line, "no" if over else "liquid"
            ),
            Value("Fill to, before the part", show_length(before_mm, show), rise, "liquid"),
            Value(name, show_volume(fill.liquid_l, show), "before the part goes in"),
        )
    )


def _lifts(rise_mm: float, show: Show) -> str:
    return some(rise_mm, show) if is_under_a_mark(rise_mm, show) else show_length(rise_mm, show)


def _picture(lifted: Lifted, show: Show) -> Drawing:
    part, tank, answer = lifted.part, lifted.tank, lifted.answer
    slung = None if lifted.slung is None else (lifted.slung, lift_of(lifted.slung, part, tank))
    says = f"{part.name} in {tank.name} from the side, the end and in space, to scale, with the fill line"
    # Where only the height decides, the end view shows it.
    tight = isinstance(answer, MeasureAgain) and any(side.side != "height" for side in answer.deciding)
    sketch = LiftSketch(scene_of(answer, part, tank), show, slung, tight)
    return Drawing(sketch, says, LEAST_PICTURE_PT, MOST_PICTURE_PT)


def _way_in(lifted: Lifted, show: Show) -> tuple[Section, ...]:
    """Return the way in, drawn pose by pose, where the part cannot be let straight down."""
    way = lifted.answer.way_in if isinstance(lifted.answer, Fits) else None
    if way is None or way.kind == "straight down":
        return ()
    drawn = drawn_poses(way.poses)
    some_of = f", {len(drawn)} of its {len(way.poses)} places drawn" if len(drawn) < len(way.poses) else ""
    says = f"the way of {lifted.part.name} into {lifted.tank.name}, place by place"
    sketch = WaySketch(lifted.part, lifted.tank, lifted.answer.advice.fill, drawn)
    words = f"not straight down: {how_in(way, show)}{some_of}"
    return (
        Facts("", (Value("Way in", words, tone="care"),)),
        Drawing(sketch, says, _LEAST_WAY_PT, _MOST_WAY_PT),
    )


def _legs(lifted: Lifted, show: Show) -> tuple[Section, ...]:
    """Return the legs of the sling, a row each; nothing where it is not known how it hangs."""
    if lifted.slung is None:
        return ()
    rows = tuple(
        (
            f"Leg {k + 1}",
            show_length(leg.length_mm, show),
            ", ".join(f"{axis} {show_length(mm, show)}" for axis, mm in zip("xyz", leg.pick_mm, strict=True)),
            _pull(leg, show),
        )
        for k, leg in enumerate(lifted.slung.legs)
    )
    heads = ("slings", "long", "from, on the part as drawn", "pulls")
    return (Table("", heads, rows, (0.55, 1.15, 2.8, 2.4)),)


def _pull(leg: Leg, show: Show) -> str:
    air, out = show_force(leg.tension_n, show), show_force(leg.breakout_n, show)
    lifted = "" if air == out else f", {out} lifted out"
    return f"{air} at {show_angle(leg.angle_rad)} from level{lifted}"


def _hung(lifted: Lifted, show: Show) -> tuple[Value, ...]:
    slung = lifted.slung
    if slung is None:
        return (Value("Slings", lifted.not_slung, tone="care"),)
    faults = () if slung.verdict == "fits" else (Value("So hung", slung.reason, tone=_sling_tone(slung)),)
    return (Value("Hook", _hook(slung, show)), *faults)


def _sling_tone(slung: HangAnswer) -> Tone:
    return "no" if slung.verdict == "does not fit" else "care"


def _hook(slung: HangAnswer, show: Show) -> str:
    carries = f"carries {show_force(max(slung.dry_n, slung.breakout.hook_n), show)}"
    if slung.hook.needed_mm is None:
        return f"{at_least(slung.rise_mm, show)} over the higher pick; {carries}"
    spare = slung.hook.spare_mm
    goes = "" if spare is None or spare < 0.0 else f" ({some(spare, show)} to spare)"
    return f"at {at_most(slung.hook.needed_mm, show)} over the shop floor it clears the rim{goes}; {carries}"


def _facts(lifted: Lifted, show: Show) -> tuple[Value, ...]:
    advice, answer = lifted.answer.advice, lifted.answer
    held = advice.held
    too_much = held.air_l > lifted.part.air_at_most_l
    rows = [Value("Room", _room(lifted, show))]
    if isinstance(answer, MeasureAgain):
        rows.append(Value("Measure again", _deciding(answer, show), tone="care"))
    rows.append(Value("Stays in", _stays(held, show), tone="air" if too_much else "plain"))
    rows.append(Value("Comes out", _carried(lifted, show)))
    if advice.uplift_n > 0.0:
        rows.append(Value("It floats", f"{show_force(advice.uplift_n, show)} up: hold it down", tone="no"))
    if lifted.holes is None:
        rows.append(Value("Best hole", "being looked for"))
    for kind, words in HOLE_WORDS.items():
        of_kind = [hole for hole in lifted.holes or () if hole.kind == kind]
        rows += [
            Value(f"Best {words}" if k == 0 else "And a next", _hole(hole, show))
            for k, hole in enumerate(of_kind)
        ]
    return tuple(rows)


def _room(lifted: Lifted, show: Show) -> str:
    advice = lifted.answer.advice
    spare = advice.spare_mm
    words = (
        f"{some(spare, show)} beyond every clearance" if spare >= 0.0 else f"{at_most(-spare, show)} short"
    )
    near = nearest_standing(scene_of(lifted.answer, lifted.part, lifted.tank))
    beside = "" if near is None else f"; {at_least(near[1], show)} clear of {near[0]}"
    tape_mm = (lifted.answer.spare.high_mm - lifted.answer.spare.low_mm) / 2.0
    sides = "" if lifted.tank.standing else " and ".join(SIDE_WORDS[each] for each in lifted.tightest)
    least = f", least in {sides}" if sides else ""
    return f"{words}{least} (tapes: {at_most(tape_mm, show)}){beside}"


def _stays(held: Held, show: Show) -> str:
    return "no air" if held.air_l < NOTHING_L else f"air: {air_words(held, show)}"


def _deciding(answer: Fits | MeasureAgain, show: Show) -> str:
    if not answer.deciding:
        return answer.reason
    words = ", ".join(
        f"{SIDE_WORDS[side.side]} ({some(side.spare_mm, show)} left)"
        if side.spare_mm >= 0.0
        else f"{SIDE_WORDS[side.side]} ({at_most(-side.spare_mm, show)} short)"
        for side in answer.deciding
    )
    return f"{words}, of the part as hung and of the tank inside"


def _carried(lifted: Lifted, show: Show) -> str:
    advice = lifted.answer.advice
    dry, wet = show_mass(lifted.part.mass_kg, show), show_mass(advice.wet_mass_kg, show)
    weighs = f"weighs {dry}" if dry == wet else f"weighs {wet} at lift-out, {dry} dry"
    liquid = advice.held.carry_out_l >= NOTHING_L
    comes = f"{carried_words(advice.held, show)} and what clings" if liquid else "only what clings"
    return f"{comes}; {weighs}"


def _hole(hole: Hole, show: Show) -> str:
    at = ", ".join(f"{axis} {show_length(mm, show)}" for axis, mm in zip("xyz", hole.at_mm, strict=True))
    left = "nothing" if hole.left_l < NOTHING_L else show_volume(hole.left_l, show)
    return f"at {at} as drawn, through {show_length(hole.through_mm, show)}: leaves {left}"


def ticks(slung: HangAnswer | None, show: Show) -> Ticks:
    """Return the boxes to tick before and at the lift, and the lines to write on."""
    gear = "Gear marked" if slung is None else f"Gear for {show_force(slung.most_pull_n, show)}"
    boxes = ("Water tested", "Level at line", gear, "Tag lines", "Nobody under")
    return Ticks(boxes, ("In at", "Out at", "Minutes", "By"))


def _cautions(lifted: Lifted, show: Show) -> tuple[Section, ...]:
    slung = lifted.slung
    told: tuple[Caution, ...] = lifted.answer.cautions
    if slung is not None:
        # Of a part that floats its slings' cautions say the same, and that they do not hold it.
        again = "floats" if slung.under.hook_n <= 0.0 else ""
        told = (*(each for each in lifted.answer.cautions if each.kind != again), *slung.cautions)
    return own_cautions(told, lifted.tank, show)


def own_cautions(told: Iterable[Caution], tank: Tank, show: Show) -> tuple[Section, ...]:
    """Return the cautions that belong to this lift more than to every other of its tank."""
    others = (*FOR_EVERY_LIFT, *sentences(tank_cautions(tank), show))
    # What sends the reader to another command stands among the facts, with the holes that help.
    own = tuple(
        line for line in sentences(told, show) if line not in others and "fitcheck pocket" not in line
    )
    return (Notes(BESIDE_THE_COMMON_ONES, own, "no"),) if own else ()
