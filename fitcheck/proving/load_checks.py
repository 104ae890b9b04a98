"""Check of a load from its poses and figures alone, by exact distance, without a search.

A question checks each load so before it tells it, and a prover checks it so again.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.liquid.fill_level import covering_level_mm, fill_with
from fitcheck.geometry.liquid.pockets import UPSIDE_DOWN, Vessel
from fitcheck.geometry.mesh.distance import Surface, gap_mm
from fitcheck.geometry.mesh.hole_caps import NARROW_MM, holes_capped
from fitcheck.geometry.statics.lift_out import Lifting
from fitcheck.proving.exact_gaps import recheck
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.proved import Check
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM3_PER_LITRE

# The poses are found to a millionth of a mm, and so are the gaps; sums of metres add less.
FORGIVEN_MM = 1e-5
# Litres are sums of metres cubed: far under what a dip-stick tells.
SAME_SHARE = 1e-6

Posed = Sequence[tuple[Part, Pose]]


@dataclass(frozen=True, slots=True)
class LoadFigures:
    """What is told of a load.

    level_mm: with all parts in; rise_mm: by how much they raise it; liquid_l: in the tank; air_l: what they
    catch under that level; wet_kg: at lift-out. hooks_mm: of each part, how high its hook must go over the
    shop floor, None where that is not told. gap_mm: from part to part, None for a part alone.
    """

    level_mm: float
    rise_mm: float
    liquid_l: float
    air_l: float
    wet_kg: float
    hooks_mm: tuple[float | None, ...]
    gap_mm: float | None


def load_checks(told: LoadFigures, posed: Posed, tank: Tank) -> tuple[Check, ...]:
    """Return what is so of a load and what not.

    posed: its parts at their poses (tank from part), in the order of its hooks. tank: with what stands in it.
    """
    apart, shadows = nearest_mm(posed), nearest_outlines_mm(posed)
    gap = tank.rules.part_gap_mm
    level = max(covering_level_mm(part, pose, tank) for part, pose in posed)
    vessels = {part.name: Vessel(holes_capped(part.skin, NARROW_MM)) for part, _ in posed}
    frames = all(
        (pose.to_frame, pose.from_frame) == (f"tank {tank.name}", f"part {part.name}") for part, pose in posed
    )
    checks = [
        Check("each pose is of that part in that tank", frames),
        *(
            Check(f"{part.name} keeps every clearance, by exact distance", _clear(part, tank, pose))
            for part, pose in posed
        ),
        Check("no two parts are nearer than part_gap", apart is None or apart >= gap - FORGIVEN_MM),
        Check("the least gap between two parts is as told", _same_gap(told.gap_mm, apart)),
        Check("no part hangs over another, or nearer in plan", shadows >= gap - FORGIVEN_MM),
        Check("the liquid covers them all", told.level_mm >= level - FORGIVEN_MM),
        Check(
            "the freeboard is kept", told.level_mm <= tank.depth_mm - tank.rules.freeboard_mm + FORGIVEN_MM
        ),
        Check("level, liquid, air and rise follow from the poses", _fills(told, posed, tank, vessels)),
        *_lifted(told, posed, tank, vessels),
        *_weighed(told.wet_kg, posed, tank, vessels),
    ]
    return tuple(checks)


def nearest_mm(posed: Posed) -> float | None:
    """Return the least distance between two of the parts; None for one part."""
    boxes = [_box(part, pose) for part, pose in posed]
    order = sorted(
        (_boxes_mm(boxes[i], boxes[j]), i, j) for i, j in itertools.combinations(range(len(posed)), 2)
    )
    best = math.inf
    for at_least, i, j in order:
        if at_least >= best:
            break
        (one, pose), (other, beside) = posed[i], posed[j]
        placed = beside.apply(other.skin.vertices_mm)
        best = min(best, gap_mm(_surface(one), Surface.of(placed, other.skin.triangles), pose))
    return None if math.isinf(best) else best


def nearest_outlines_mm(posed: Posed) -> float:
    """Return the least distance between two outlines seen from above, filled and convex; inf for one part."""
    import shapely

    flat = [pose.apply(part.solid.vertices_mm)[:, :2] for part, pose in posed]
    pairs = itertools.combinations([shapely.MultiPoint(points).convex_hull for points in flat], 2)
    return min((float(one.distance(other)) for one, other in pairs), default=math.inf)


def _air_l(pose: Pose, level_mm: float, vessel: Vessel) -> float:
    """Return the air that a part at a pose catches under a level."""
    return vessel.air_under_mm3(pose.rotation, level_mm - float(pose.shift_mm[2])) / MM3_PER_LITRE


def _clear(part: Part, tank: Tank, pose: Pose) -> bool:
    return recheck(part, tank, pose).spare_mm >= -FORGIVEN_MM


def _lifted(load: LoadFigures, posed: Posed, tank: Tank, vessels: Mapping[str, Vessel]) -> Iterator[Check]:
    """Give whether the parts that have picks are lifted out by them, and their hooks are as told."""
    for hook, (part, pose) in zip(load.hooks_mm, posed, strict=True):
        if not len(part.picks_mm):
            continue
        wet = part.mass_kg + tank.liquid.specific_gravity * _most_carried_l(pose, vessels[part.name])
        lifting = Lifting(part)
        needed = lifting.hook_mm(tank, pose.angles, wet)
        same = hook is None or (needed is not None and abs(hook - needed) <= FORGIVEN_MM)
        holds = same and lifting.lifts(tank, pose.angles, wet)
        yield Check(f"{part.name} is lifted out over the rim on its picks, with the hook as told", holds)


def _weighed(wet_kg: float, posed: Posed, tank: Tank, vessels: Mapping[str, Vessel]) -> Iterator[Check]:
    """Give whether the weight at lift-out can be, and whether the hoist, where it is known, lifts it."""
    dry = sum(part.mass_kg for part, _ in posed)
    carried = sum(_most_carried_l(pose, vessels[part.name]) for part, pose in posed)
    most = dry + tank.liquid.specific_gravity * carried
    forgiven = SAME_SHARE * max(1.0, most)
    can_be = dry - forgiven <= wet_kg <= most + forgiven
    yield Check("what hangs at lift-out is the parts, with no more liquid than they hold", can_be)
    hoist = tank.rim.hoist_kg
    if hoist is not None:
        yield Check("the hoist lifts them all", dry <= wet_kg <= hoist)


def _most_carried_l(pose: Pose, vessel: Vessel) -> float:
    """Return what a part at a pose holds upside down: no less than what it carries out, holes or not."""
    return float(vessel.air_mm3((UPSIDE_DOWN @ pose.rotation)[None])[0]) / MM3_PER_LITRE


def _fills(load: LoadFigures, posed: Posed, tank: Tank, vessels: Mapping[str, Vessel]) -> bool:
    air = sum(_air_l(pose, load.level_mm, vessels[part.name]) for part, pose in posed)
    try:
        fill = fill_with(posed, tank, load.level_mm, air)
    except Refused:
        return False
    pairs = ((load.air_l, air), (load.liquid_l, fill.liquid_l), (load.rise_mm, fill.rise_mm))
    return all(abs(one - other) <= SAME_SHARE * max(1.0, abs(other)) for one, other in pairs)


def _same_gap(told_mm: float | None, found_mm: float | None) -> bool:
    if told_mm is None or found_mm is None:
        return told_mm is found_mm
    return abs(told_mm - found_mm) <= FORGIVEN_MM


def _surface(part: Part) -> Surface:
    return Surface.of(part.skin.vertices_mm, part.skin.triangles)


def _box(part: Part, pose: Pose) -> Floats:
    placed = pose.apply(part.skin.vertices_mm)
    return np.array([placed.min(axis=0), placed.max(axis=0)])


def _boxes_mm(one: Floats, other: Floats) -> float:
    """Return the distance between two upright boxes (2, 3)."""
    between = np.maximum(np.maximum(one[0] - other[1], other[0] - one[1]), 0.0)
    return float(np.linalg.norm(between))
