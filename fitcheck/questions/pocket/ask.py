"""Where air is caught going in, and liquid carried out; which way up is best; where one hole would help.

What is held at an attitude is exact for the part's mesh (`held_pockets`).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from fitcheck.geometry.liquid.attitude_map import (
    best_way,
    caught_l,
    every_way_rad,
    off_l,
    portions,
    steps_rad,
    vessel_of,
)
from fitcheck.geometry.liquid.drain_holes import bores
from fitcheck.geometry.liquid.held_pockets import LISTED_L, held_in, place_of
from fitcheck.geometry.liquid.pockets import UPSIDE_DOWN, Vessel
from fitcheck.geometry.mesh.hole_caps import NARROW_MM
from fitcheck.geometry.mesh.measure import sealed_mm3
from fitcheck.geometry.poses.dip_problem import dip_problem, fitting
from fitcheck.geometry.poses.dip_with_obstacles import rooms_of
from fitcheck.questions.pocket.answer import Hole, PocketAnswer, PocketMap
from fitcheck.questions.pocket.cautions import cautions_of
from fitcheck.things.part import Part
from fitcheck.things.pockets import PocketKind, WayUp
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.shop import Shop
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank
from fitcheck.words.progress import Progress, silent
from fitcheck.words.units import MM3_PER_LITRE

# Holes told for each kind, and the pockets, largest first, that the next hole is tried for.
HOLES, HOLED = 3, 3
LEVEL = Angles()


def pocket(
    part: Part, angles: Angles | None = None, tank: Tank | None = None, progress: Progress = silent
) -> PocketAnswer:
    """Tell where a part catches air going in and carries liquid out, and where one hole would help.

    Parameters
    ----------
    part : Part
        The part; holes in it under 3 mm count as shut, as water closes them.
    angles : Angles, optional
        The attitude, in radians; looked at also where the part's limits do not allow it. Without it: as
        drawn, and over all tilts and rolls that the part's limits allow as well (`map` and `best`).
    tank : Tank, optional
        Where given, the map tells also where the part goes under in it, and the best way is one of those.
    progress : callable, optional
        Called as the map goes on, as often as `ticks_of` tells.

    Returns
    -------
    PocketAnswer
        Litres, m2 and mm, places in the part's frame. `held` is exact for the part's mesh; each pocket's
        `error_l` is what the flats that stand for round faces can make of it, and rounding. `holes` tells up
        to three of each kind, that which helps most first. `map` has its arrays by tilts and rolls (t, r);
        None where an attitude was asked about. `best` is None there too, and where no way up on the map goes
        under in the tank. Always answers; it has no verdict.

    Raises
    ------
    Refused
        Nothing of its own.

    Notes
    -----
    Air is caught under every place of the mesh that is higher than all around it, up to where it spills;
    liquid the same, upside down. Swing makes no difference to either.

    Examples
    --------
    The hatch pan of the demo yard, upside down and an edge up, keeps air until a hole is drilled:

    >>> import fitcheck as fc
    >>> from math import radians
    >>> shop = fc.demo_shop()
    >>> answer = fc.pocket(shop.parts["P10"], fc.Angles(radians(30), radians(180)))
    >>> round(answer.held.air_l, 1), round(answer.held.carry_out_l, 1)
    (1.8, 0)
    >>> answer.holes[0].kind, answer.holes[0].left_l < 0.1
    ('air', True)
    """
    vessel = vessel_of(part)
    here = angles or LEVEL
    rotation = rotation_from(here)
    chart, best = (None, None) if angles is not None else _every_way(part, vessel, tank, progress)
    answer = PocketAnswer(
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
        asked=Shop.of(part) if tank is None else Shop.of(part, tank),
    )
    return replace(answer, cautions=cautions_of(answer))


def _every_way(
    part: Part, vessel: Vessel, tank: Tank | None, progress: Progress
) -> tuple[PocketMap, WayUp | None]:
    """Return what is held over all tilts and rolls, and the best of those that fit the tank."""
    tilts, rolls = steps_rad(part.attitude, vessel)
    ways = every_way_rad(tilts, rolls)
    caught = caught_l(vessel, ways, progress)
    case = None if tank is None else dip_problem(part, tank)
    fits = None if case is None else fitting(case, ways, *rooms_of(case))
    usable = np.ones(caught.shape[:2], dtype=bool) if fits is None else fits
    chart = PocketMap(tilts, rolls, caught[..., 0], caught[..., 1], fits)
    return chart, best_way(vessel, ways, caught, usable)


def ticks_of(part: Part) -> int:
    """Return how often `pocket` calls its progress for its map."""
    vessel = vessel_of(part)
    return portions(every_way_rad(*steps_rad(part.attitude, vessel)))


def _holes(vessel: Vessel, rotation: Floats) -> tuple[Hole, ...]:
    """Return for each kind the hole that leaves least, then the one that helps it most, and so on."""
    kinds: tuple[tuple[PocketKind, Floats], ...] = (("air", rotation), ("liquid", UPSIDE_DOWN @ rotation))
    return tuple(hole for kind, turned in kinds for hole in _one_by_one(vessel, turned, kind))


def _one_by_one(vessel: Vessel, turned: Floats, kind: PocketKind) -> list[Hole]:
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
        holes.append(Hole(kind, place_of(bore.at_mm), bore.through_mm, (left + shut) / MM3_PER_LITRE))
        ways, pools = more, vessel.pools(turned, more)
    return holes


def _notes(part: Part, vessel: Vessel) -> tuple[str, ...]:
    if vessel.shut_mm3 > 0.0:
        return (
            f"{part.name} has a space whose only holes are under {NARROW_MM:g} mm: water closes them, so it "
            f"counts as full of air ({vessel.shut_mm3 / MM3_PER_LITRE:.1f} L)",
        )
    return ()
