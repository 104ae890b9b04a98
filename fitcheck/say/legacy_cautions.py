"""The cautions that go with every answer that sends a part into a bath, each with where it comes from."""

from __future__ import annotations

from dataclasses import replace

from fitcheck.questions.block.answer import BlockAnswer
from fitcheck.questions.dip.answer import Advice
from fitcheck.questions.passes.answer import PassAnswer
from fitcheck.questions.pocket.answer import PocketAnswer
from fitcheck.things.part import Part
from fitcheck.things.stock import HOLD_DOWN
from fitcheck.things.tank import Tank
from fitcheck.words.rounding import at_least
from fitcheck.words.units import (
    MM2_PER_M2,
    Show,
    read_length,
    show_area,
    show_force,
    show_length,
    show_mass,
    show_volume,
)

# California Code of Regulations, Title 8, section 3480: an open tank of hazardous liquid whose rim is
# lower than this over the floor has a rail at least this high, a raised rim or a cover.
GUARDED_RIM = "36 in"
WATER_TEST = (
    "On paper until proven in plain water: fill to the line and dip the part, or a dummy of its size, before "
    "anything is mixed (common practice)."
)
OUTRANKED = (
    "The safety sheet, the bath maker's sheet, local codes and a competent person outrank all figures here."
)


GAS = (
    "Etching gives off hydrogen, which gathers in the same high pockets as the air: one that is vented only "
    "at the start goes bare later. It burns from about 4 % in air: no flame near, exhaust at the rim, and no "
    "lid on a bath at work."
)
DRILLING = (
    "Holes told here are where geometry wants them: whoever answers for the part's strength and tightness "
    "says whether it may be drilled there."
)
RE_WET = (
    "What is treated twice shows as a band. Keep the edge wet between the passes: a dry line shows too "
    "(common practice)."
)
SPRUNG = (
    "A sprung sheet lets go with a snap: straps in good order, nobody in line with its edges, and gloves. "
    "The yield is where 0.2 % of set is left already: bend an offcut first (common practice)."
)
AIR_IN_PARTS = (
    "What caught air keeps bare counts as wet here: bleed it at each attitude (fitcheck pocket tells where a "
    "hole would help)."
)
# Air under this is a cupful: it is let out by rocking the part.
AIR_L = 0.1
STRAIGHT_DOWN = (
    "Not looked at is the way down: where walls lean in towards the rim, see that it goes down straight."
)
ENDS_OUT = "The end that stands out is held and cannot swing: nobody stands under it."
BLOCKS = (
    "An empty block is a float: strap or ballast every piece before any liquid goes in, pad its edges "
    "against the lining, and try it in plain water (common practice)."
)
ENGINEER = (
    "Thrust, bending and floor figures are to ask an engineer with; they approve no wall, board, strap or "
    "floor."
)
# A part that comes out with more of the bath than this is worth a word.
BATHFUL_L = 5.0


def with_pocket_cautions(answer: PocketAnswer) -> PocketAnswer:
    """Return the answer with the cautions that belong to it."""
    ours = (GAS, *((DRILLING,) if answer.holes else ()), WATER_TEST, OUTRANKED)
    return replace(answer, cautions=tuple(dict.fromkeys(answer.cautions + ours)))


def with_pass_cautions(answer: PassAnswer, tank: Tank, show: Show) -> PassAnswer:
    """Return the answer with the cautions of its tank, and of treating a part in pieces."""
    two = (RE_WET, ENDS_OUT) if len(answer.passes) > 1 else ()
    air = (AIR_IN_PARTS,) if any(each.air_l > AIR_L for each in answer.passes) else ()
    sprung = (SPRUNG,) if answer.sprung is not None else ()
    down = () if tank.is_box else (STRAIGHT_DOWN,)
    ours = (
        *two,
        *_narrow_band(answer, tank, show),
        *air,
        *down,
        *sprung,
        *_low_rim(tank, show),
        WATER_TEST,
        OUTRANKED,
    )
    return replace(answer, cautions=tuple(dict.fromkeys(answer.cautions + ours)))


def _narrow_band(answer: PassAnswer, tank: Tank, show: Show) -> tuple[str, ...]:
    """Warn of a band, treated twice, that is less wide than the overlap: that is kept along the part."""
    asked = tank.rules.overlap_mm
    if answer.band_mm is None or answer.band_mm >= asked:
        return ()
    return (
        f"The band that is treated twice is {at_least(answer.band_mm, show)} wide where it is narrowest, "
        f"square to the line; the overlap of {show_length(asked, show)} is kept along the part. A level half "
        "as much too low in both passes leaves a dry line: set tilt and level by marks on the part.",
    )


def with_block_cautions(answer: BlockAnswer, tank: Tank, show: Show) -> BlockAnswer:
    """Return the answer with the cautions of its tank, of blocks, and of what carries them."""
    ours = (BLOCKS, ENGINEER, *_low_rim(tank, show), WATER_TEST, OUTRANKED)
    return replace(answer, cautions=tuple(dict.fromkeys(answer.cautions + ours)))


def tank_cautions(tank: Tank, show: Show) -> tuple[str, ...]:
    """Return the cautions that go with whatever is done at a tank."""
    return (*_low_rim(tank, show), WATER_TEST, OUTRANKED)


def _air(advice: Advice, part: Part, show: Show) -> tuple[str, ...]:
    held = advice.held
    if held.air_l <= part.air_at_most_l:
        return ()
    bare = show_area(held.bare_m2 * MM2_PER_M2, show)
    return (
        f"{show_volume(held.air_l, show)} of air stays in {part.name} here, more than air_at_most allows "
        f"({show_volume(part.air_at_most_l, show)}): {bare} of metal stays bare. Ask fitcheck pocket for a "
        "better way up, or where a bleed hole would help.",
        GAS,
    )


def _carried(advice: Advice, part: Part, show: Show) -> tuple[str, ...]:
    if advice.held.carry_out_l <= BATHFUL_L:
        return ()
    more = show_mass(advice.wet_mass_kg - part.mass_kg, show)
    bath = show_volume(advice.held.carry_out_l, show)
    return (
        f"{part.name} comes out with {bath} of the bath in it, {more} more on the hook: ask with "
        "--prefer best-drain, or fitcheck pocket where a drain hole would help.",
    )


def uplift(advice: Advice, part: Part, show: Show) -> tuple[str, ...]:
    """Return what to do about a part that floats; nothing for one that sinks."""
    if advice.uplift_n <= 0.0:
        return ()
    up = show_force(advice.uplift_n, show)
    return (
        f"{part.name} floats: {up} pushes it up when it is under. Hold it down with at least "
        f"{HOLD_DOWN:g} times that (common practice), and let nobody hold it by hand.",
    )


def _low_rim(tank: Tank, show: Show) -> tuple[str, ...]:
    height_mm = tank.rim.height_mm
    if height_mm is None or height_mm >= read_length(GUARDED_RIM):
        return ()
    return (
        f"The rim of {tank.name} is {show_length(height_mm, show)} over the floor, under {GUARDED_RIM}: with "
        "a hazardous liquid it needs a rail, a cover or a higher rim (California Title 8 section 3480, "
        "quoted); federal 29 CFR 1910.28(b)(6) treats such tanks as dangerous equipment.",
    )
