"""Where air is caught going in, and liquid carried out; which way up is best; where one hole would help.

What is held at an attitude is exact for the part's mesh (`pockets`); the error told is what the
flats that stand for round faces can make of it, and rounding.
"""

from __future__ import annotations

import numpy as np

from fitcheck.geometry.liquid.attitude_map import (
    Tick,
    best_way,
    caught_l,
    every_way_rad,
    off_l,
    portions,
    steps_rad,
    vessel_of,
)
from fitcheck.geometry.liquid.drain_holes import bores
from fitcheck.geometry.liquid.pockets import UPSIDE_DOWN, Vessel
from fitcheck.geometry.mesh.hole_caps import NARROW_MM
from fitcheck.geometry.mesh.measure import sealed_mm3
from fitcheck.geometry.poses.dip_problem import case_of, fitting
from fitcheck.geometry.poses.dip_with_obstacles import rooms_of
from fitcheck.questions.pocket.answer import Hole, PocketAnswer, PocketMap
from fitcheck.things.part import Part
from fitcheck.things.pockets import Held, Kind, Pocket
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank
from fitcheck.words.units import MM2_PER_M2, MM3_PER_LITRE

# Pockets smaller than this are given as one, at the largest of them.
LISTED_L = 0.001
# Holes told for each kind, and the pockets, largest first, that the next hole is tried for.
HOLES, HOLED = 3, 3
# Volumes are sums of some thousands of products; this share of the part's box covers their rounding.
ROUNDING = 1e-12
LEVEL = Angles()


def pocket(
    part: Part, angles: Angles | None = None, tank: Tank | None = None, tick: Tick = lambda: None
) -> PocketAnswer:
    """Tell what the part holds at an attitude; without one as drawn, and over all tilts and rolls as well.

    tank: the map tells also where the part goes under in it, and the best way is one of those. `tick` is
    called as the map goes on (`ticks_of` tells how often). Angles that the part's limits do not allow are
    looked at all the same (angles: the attitude). best is None where none goes under. Raises nothing of its
    own.
    """
    vessel = vessel_of(part)
    here = angles or LEVEL
    rotation = rotation_from(here)
    chart, best = None, None
    if angles is None:
        tilts, rolls = steps_rad(part.attitude, vessel)
        ways = every_way_rad(tilts, rolls)
        caught = caught_l(vessel, ways, tick)
        case = None if tank is None else case_of(part, tank)
        fits = None if case is None else fitting(case, ways, *rooms_of(case))
        usable = np.ones(caught.shape[:2], dtype=bool) if fits is None else fits
        best = best_way(vessel, ways, caught, usable)
        chart = PocketMap(tilts, rolls, caught[..., 0], caught[..., 1], fits)
    return PocketAnswer(
        part=part.name,
        tank=None if tank is None else tank.name,
        angles=here,
        held=held_in(vessel, part, rotation),
        off_l=float(off_l(vessel, np.array([[here.tilt_rad, here.roll_rad]]))[0]),
        sealed_l=sealed_mm3(part.solid) / MM3_PER_LITRE,
        holes=_holes(vessel, rotation),
        map=chart,
        best=best,
        notes=_notes(part, vessel),
    )


def ticks_of(part: Part) -> int:
    """Return how often `pocket` ticks for its map."""
    vessel = vessel_of(part)
    return portions(every_way_rad(*steps_rad(part.attitude, vessel)))


def held_at(part: Part, rotation: Floats) -> Held:
    """Return the pockets of air and of liquid of a part turned by a rotation (3, 3), largest first.

    Litres, in the part's frame in mm; exact for the mesh, holes under 3 mm shut. None of either: empty.
    Raises nothing of its own.
    """
    return held_in(vessel_of(part), part, rotation)


def held_in(vessel: Vessel, part: Part, rotation: Floats) -> Held:
    """Return the same where the part's vessel is at hand."""
    found = _pockets(vessel, part, rotation, "air") + _pockets(vessel, part, rotation, "liquid")
    found += _shut(vessel, part, rotation)
    return Held(tuple(sorted(found, key=lambda pocket: -pocket.volume_l)))


def _pockets(vessel: Vessel, part: Part, rotation: Floats, kind: Kind) -> list[Pocket]:
    turned = rotation if kind == "air" else UPSIDE_DOWN @ rotation
    pools = vessel.pools(turned)
    rounding = ROUNDING * float(np.prod(np.ptp(vessel.vertices_mm, axis=0)))
    # Flats are off by the chord all over the metal touched, and the mouth is no more off in height.
    error = part.chord_mm * (pools.touched_mm2 + pools.level_mm2) + rounding
    sign = 1.0 if kind == "air" else -1.0
    small = pools.volume_mm3 < LISTED_L * MM3_PER_LITRE
    groups = [np.array([k]) for k in np.flatnonzero(~small)]
    if pools.volume_mm3[small].sum() > 0.0:
        groups.append(np.flatnonzero(small)[np.argsort(-pools.volume_mm3[small], kind="stable")])
    return [
        Pocket(
            kind,
            volume_l=float(pools.volume_mm3[group].sum()) / MM3_PER_LITRE,
            error_l=float(error[group].sum()) / MM3_PER_LITRE,
            touched_m2=float(pools.touched_mm2[group].sum()) / MM2_PER_M2,
            top_mm=_place(vessel.vertices_mm[pools.top[group[0]]]),
            spill_mm=sign * float(pools.spill_mm[group[0]]),
        )
        for group in groups
    ]


def _shut(vessel: Vessel, part: Part, rotation: Floats) -> list[Pocket]:
    """Return the space whose only holes are too narrow to let water by, as a pocket of air."""
    if vessel.shut_mm3 <= 0.0:
        return []
    heights = vessel.shut_points_mm @ rotation[2]
    return [
        Pocket(
            "air",
            volume_l=vessel.shut_mm3 / MM3_PER_LITRE,
            error_l=part.chord_mm * vessel.shut_mm2 / MM3_PER_LITRE,
            touched_m2=vessel.shut_mm2 / MM2_PER_M2,
            top_mm=_place(vessel.shut_points_mm[heights.argmax()]),
            spill_mm=float(heights.min()),
        )
    ]


def _place(point: Floats) -> tuple[float, float, float]:
    x, y, z = point.tolist()
    return x, y, z


def _holes(vessel: Vessel, rotation: Floats) -> tuple[Hole, ...]:
    """Return for each kind the hole that leaves least, then the one that helps it most, and so on."""
    kinds: tuple[tuple[Kind, Floats], ...] = (("air", rotation), ("liquid", UPSIDE_DOWN @ rotation))
    return tuple(hole for kind, turned in kinds for hole in _one_by_one(vessel, turned, kind))


def _one_by_one(vessel: Vessel, turned: Floats, kind: Kind) -> list[Hole]:
    worth = LISTED_L * MM3_PER_LITRE
    shut = vessel.shut_mm3 if kind == "air" else 0.0
    holes: list[Hole] = []
    ways = np.zeros((0, 2), dtype=np.int64), np.zeros(0)
    pools = vessel.pools(turned)
    while len(holes) < HOLES:
        largest = np.argsort(-pools.volume_mm3, kind="stable")[:HOLED]
        tried = []
        for k in largest[pools.volume_mm3[largest] >= worth]:
            for bore in bores(vessel, turned, pools, int(k)):
                more = np.vstack([ways[0], bore.ends]), np.append(ways[1], bore.height_mm)
                tried.append((float(vessel.pools(turned, more).volume_mm3.sum()), bore, more))
        if not tried:
            break
        left, bore, more = min(tried, key=lambda row: row[0])
        if left > pools.volume_mm3.sum() - worth:
            break
        holes.append(Hole(kind, _place(bore.at_mm), bore.through_mm, (left + shut) / MM3_PER_LITRE))
        ways, pools = more, vessel.pools(turned, more)
    return holes


def _notes(part: Part, vessel: Vessel) -> tuple[str, ...]:
    if vessel.shut_mm3 > 0.0:
        return (
            f"{part.name} has a space whose only holes are under {NARROW_MM:g} mm: water closes them, so it "
            f"counts as full of air ({vessel.shut_mm3 / MM3_PER_LITRE:.1f} L)",
        )
    return ()
