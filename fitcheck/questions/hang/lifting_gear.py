"""Other ways to lift by the same two picks: a spreader, a lifting beam, two hoists."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.statics.sling_problem import GEAR_MM
from fitcheck.geometry.statics.sling_statics import plan
from fitcheck.questions.hang.answer import Rig, RigKind
from fitcheck.questions.hang.hook_forces import Load
from fitcheck.things.solid import Floats
from fitcheck.words.units import RAD_PER_DEGREE

# Upper legs of a spreader (common practice).
UPPER_RAD = 60.0 * RAD_PER_DEGREE
# How high a lifting beam is with its eye (common practice; measure your own).
BEAM_MM = 200.0


@dataclass(frozen=True, slots=True, eq=False)
class Lifted:
    """What is to be lifted: two picks (2, 3) and the up, seen from the part, and its top and bottom.

    top_mm, low_mm: highest and lowest point over the centre of mass, sag counted in. floor_mm: how high the
    lowest point must go, over the shop floor; None where that is not known. hook_mm: how high the hook goes.
    """

    picks_mm: Floats
    up: Floats
    top_mm: float
    low_mm: float
    floor_mm: float | None
    hook_mm: float | None


def rigs(lifted: Lifted, dry: Load, breakout: Load) -> tuple[Rig, ...]:
    """Return a spreader, a lifting beam and two hoists, for the way the part hangs in air.

    Loads go to the two slings by moments. None where both picks are on one side of the centre of mass.
    """
    arms = lifted.picks_mm - dry.at_mm
    away = np.linalg.norm(plan(arms, lifted.up), axis=1)
    loads, out = _shared(lifted, dry), _shared(lifted, breakout)
    if min(*loads, *out) <= 0.0:
        return ()
    pick_top = float((arms @ lifted.up).max())
    bar = max(lifted.top_mm, pick_top) + GEAR_MM
    one, other = float(away[0]), float(away[1])
    rise = max(one, other) * math.tan(UPPER_RAD)
    upper = (out[0] * math.hypot(rise, one) / rise, out[1] * math.hypot(rise, other) / rise)
    # The push is the same from both sides when the hook is over the load; else the larger one.
    push = max(out[0] * one, out[1] * other) / rise
    length = one + other

    def rig(
        kind: RigKind, hook_mm: float, more: tuple[tuple[float, float] | None, float | None] = (None, None)
    ) -> Rig:
        needed = None if lifted.floor_mm is None else lifted.floor_mm + hook_mm - lifted.low_mm
        spare = None if needed is None or lifted.hook_mm is None else lifted.hook_mm - needed
        return Rig(kind, length, loads, out, *more, needed, spare)

    return (
        rig("spreader", bar + rise, (upper, push)),
        rig("lifting beam", bar + BEAM_MM),
        rig("two hoists", pick_top + GEAR_MM),
    )


def _shared(lifted: Lifted, load: Load) -> tuple[float, float]:
    """Return the pull in two plumb slings, by moments about each in plan."""
    seen = plan(lifted.picks_mm - load.at_mm, lifted.up)
    span = seen[1] - seen[0]
    second = load.force_n * float(-seen[0] @ span) / float(span @ span)
    return load.force_n - second, second
