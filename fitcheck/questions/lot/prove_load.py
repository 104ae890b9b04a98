"""Is a load right? Looked at again from its poses alone, by exact distance, by code that did not search."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from fitcheck.geometry.liquid.fill_level import covering_level_mm, fill_with
from fitcheck.geometry.liquid.pockets import UPSIDE_DOWN, Vessel
from fitcheck.geometry.mesh.distance import Surface, gap_mm
from fitcheck.geometry.mesh.hole_caps import NARROW_MM, shut
from fitcheck.geometry.statics.lift_out import Lifting
from fitcheck.proving.exact_gaps import recheck
from fitcheck.questions.lot.answer import Lot
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


def lot_checks(lot: Lot, posed: Posed, tank: Tank) -> tuple[Check, ...]:
    """Return what is so of a load and what not; posed: its parts, in its order, at its poses."""
    apart, shadows = nearest_mm(posed), nearest_outlines_mm(posed)
    gap = tank.rules.part_gap_mm
    level = max(covering_level_mm(part, pose, tank) for part, pose in posed)
    hoist = tank.rim.hoist_kg
    vessels = {part.name: Vessel(shut(part.skin, NARROW_MM)) for part, _ in posed}
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
        Check("no part hangs over another, or nearer in plan", shadows >= gap - FORGIVEN_MM),
        Check("the liquid covers them all", lot.level_mm >= level - FORGIVEN_MM),
        Check("the freeboard is kept", lot.level_mm <= tank.depth_mm - tank.rules.freeboard_mm + FORGIVEN_MM),
        Check("level, liquid, air and rise follow from the poses", _fills(lot, posed, tank, vessels)),
        *_lifted(lot, posed, tank, vessels),
    ]
    if hoist is not None:
        dry = sum(part.mass_kg for part, _ in posed)
        checks.append(Check("the hoist lifts them all", dry <= lot.wet_kg <= hoist))
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


def _lifted(lot: Lot, posed: Posed, tank: Tank, vessels: Mapping[str, Vessel]) -> Iterator[Check]:
    """Give whether the parts that have picks are lifted out by them, and their hooks are as told."""
    for told, (part, pose) in zip(lot.parts, posed, strict=True):
        if not len(part.picks_mm):
            continue
        liquid = vessels[part.name].air_mm3((UPSIDE_DOWN @ pose.rotation)[None])[0] / MM3_PER_LITRE
        wet = part.mass_kg + tank.liquid.specific_gravity * float(liquid)
        lifting = Lifting(part)
        needed = lifting.hook_mm(tank, pose.angles, wet)
        same = told.hook_mm is None or (needed is not None and abs(told.hook_mm - needed) <= FORGIVEN_MM)
        holds = same and lifting.lifts(tank, pose.angles, wet)
        yield Check(f"{part.name} is lifted out over the rim on its picks, with the hook as told", holds)


def _fills(lot: Lot, posed: Posed, tank: Tank, vessels: Mapping[str, Vessel]) -> bool:
    air = sum(_air_l(pose, lot.level_mm, vessels[part.name]) for part, pose in posed)
    try:
        fill = fill_with(posed, tank, lot.level_mm, air)
    except Refused:
        return False
    told = ((lot.air_l, air), (lot.liquid_l, fill.liquid_l), (lot.rise_mm, fill.rise_mm))
    return all(abs(one - other) <= SAME_SHARE * max(1.0, abs(other)) for one, other in told)


def _surface(part: Part) -> Surface:
    return Surface.of(part.skin.vertices_mm, part.skin.triangles)


def _box(part: Part, pose: Pose) -> Floats:
    placed = pose.apply(part.skin.vertices_mm)
    return np.array([placed.min(axis=0), placed.max(axis=0)])


def _boxes_mm(one: Floats, other: Floats) -> float:
    """Return the distance between two upright boxes (2, 3)."""
    between = np.maximum(np.maximum(one[0] - other[1], other[0] - one[1]), 0.0)
    return float(np.linalg.norm(between))
