"""Whether a part can be carried through, level or tipped up, with the path or a proof that there is none.

What counts is the outline of the part in plan, hollows and all. Tipped up, the way is searched at the
tilts that make it shortest under each headroom, and it is tipped on the way, where there is room. Refused
is only what cannot pass even with what is covered at every tilt that is allowed. The part is carried as
drawn, not rolled.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import shapely

from fitcheck.geometry.carry.check import Body, is_clear, least_gap_mm, stands_clear, walls_of
from fitcheck.geometry.carry.ends import refuse_overlaps, too_low
from fitcheck.geometry.carry.outlines import far_mm
from fitcheck.geometry.carry.path import fewer
from fitcheck.geometry.carry.search import EVERY_SWING, Asked, Found, at_best, runs, surely, tipping_room
from fitcheck.geometry.carry.slices import WHOLE
from fitcheck.geometry.carry.tilts import Tilts
from fitcheck.geometry.carry.ways import ROUNDING_MM, Ways, along_walls, floor_of, most_headroom_mm, ways
from fitcheck.questions.carry.answer import CarryAnswer, KeyPose, Shown
from fitcheck.questions.carry.cautions import cautions_of
from fitcheck.things.part import Part
from fitcheck.things.room import Point
from fitcheck.things.route import Route
from fitcheck.things.shop import Shop
from fitcheck.things.solid import Floats

# Slices of a half turn tried in turn until both answers agree. The last only if sharp.
EFFORT = (100, 400, 1600, 6400)
# What is to spare is found to so much, or to a share of it.
SPARE_HALVINGS = 10
SPARE_TO_MM, SPARE_SHARE = 0.2, 0.02
SPARE_SLICES = 400
LEVEL = "proven: no way through, with the outline that it has as drawn"
TIPPED = "proven: no way through, with the outline that it has at every tilt allowed"


def carry(part: Part, route: Route, *, sharp: bool = False) -> CarryAnswer:
    """Tell whether a part can be carried along a route, level or tipped up, and by which way.

    Parameters
    ----------
    part : Part
        The part, or an assembly of parts; it is carried as drawn, not rolled.
    route : Route
        The floor, x east and y north in mm, with the headroom, the clearance, and the tilt allowed in rad.
    sharp : bool
        Search four times finer before giving up.

    Returns
    -------
    CarryAnswer
        "fits": with a path of key poses, in mm and rad, checked by moving the outline along it. "does not
        fit": proven for the part as drawn. "measure again": between the two within the effort, which `sharp`
        makes greater. "not found": it is tipped up and its outline is hollow, or it would have to reach under
        something low. Each with what goes wrong when people carry (`cautions`).

    Raises
    ------
    Refused
        Where the part overlaps a wall or a post where it starts or ends.

    Notes
    -----
    What is covered in plan decides, hollows and all; the way is searched in slices of a half turn of the
    swing, with outlines that are larger than the part for a way and smaller for a proof.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> answer = fc.carry(shop.parts["P17"], shop.routes["corridor_as_it_is"])
    >>> answer.verdict, answer.path
    ('does not fit', ())
    >>> answer.reason
    'proven: no way through, with the outline that it has at every tilt allowed'
    """
    answer = _carried(part, route, sharp=sharp)
    return replace(answer, cautions=cautions_of(answer), asked=Shop.of(part, route))


def _carried(part: Part, route: Route, *, sharp: bool) -> CarryAnswer:
    tilts = Tilts.of(part, route.tilt_rad)
    empty = CarryAnswer(part.name, route.name, "does not fit", "")
    most = most_headroom_mm(route)
    if float(tilts.tall_mm.min()) - 2.0 * tilts.moves_mm > most + ROUNDING_MM:
        return replace(empty, reason="proven: it is too tall for the headroom at every tilt that is allowed")
    convex = tilts.is_convex()
    found = ways(route, tilts, convex)
    if found is None:
        reason = "it is within a hair of the headroom: measure both again"
        return replace(empty, verdict="measure again", reason=reason)
    floor = floor_of(route)
    answer = replace(empty, outlines=(_shown(found, 0),))
    refuse_overlaps(part, route, floor, found)
    low = too_low(route, floor, tilts)
    if low:
        return replace(answer, reason=f"proven: it is too tall for {low}")
    swings = [stand.swing_rad for stand in (route.start, route.goal) if stand.swing_rad is not None]
    exact = np.unique(np.mod([*along_walls(floor), *swings], WHOLE))
    asked = Asked(route, floor, found, exact)
    through = None if convex else _as_hull(answer, asked, tilts)
    return _searched(answer, asked, sharp) if through is None else through


def _as_hull(answer: CarryAnswer, asked: Asked, tilts: Tilts) -> CarryAnswer | None:
    """Return a way on which even the hull of a hollow part goes, if one is soon found; None otherwise."""
    hull = ways(asked.route, tilts, True)
    if hull is None:
        return None
    asked, answer = replace(asked, ways=hull), replace(answer, outlines=(_shown(hull, 0),))
    best, reach = at_best(asked, hull, EFFORT[0], EVERY_SWING)
    found = None if best is None else surely(asked, hull, EFFORT[0], reach)
    if found is None:
        return None
    through = _through(answer, asked, found, EFFORT[0])
    # How much more a hollow part could have is not known from its hull.
    return replace(through, width_spare_at_most_mm=None) if through.verdict == "fits" else None


def _searched(answer: CarryAnswer, asked: Asked, sharp: bool) -> CarryAnswer:
    """Return the answer with ever more slices."""
    tipped = asked.route.tilt_rad > 0.0
    reach = EVERY_SWING
    for count in EFFORT if sharp else EFFORT[:-1]:
        best, reach = at_best(asked, asked.ways, count, reach)
        if best is None and not asked.provable:
            reason = "no way for what is solid of it at every tilt; its hollows are only made use of level"
            return replace(answer, verdict="not found", reason=reason, slices=count)
        if best is None:
            return replace(answer, reason=TIPPED if tipped else LEVEL, slices=count)
        for around in (best, reach):
            found = surely(asked, asked.ways, count, around)
            if found is not None:
                return _through(answer, asked, found, count)
    if _ends_differ(asked):
        reason = "no way on which all of it is under one headroom; reaching under is not looked for"
        return replace(answer, verdict="not found", reason=reason, slices=count)
    width = far_mm(asked.ways.layers[0].pieces) * math.pi / count / 2.0
    reason = (
        f"it is a matter of {max(width, 0.1):.1f} mm at the pinch: measure the way and the part again there"
    )
    return replace(answer, verdict="measure again", reason=reason, slices=count)


def _through(answer: CarryAnswer, asked: Asked, found: Found, count: int) -> CarryAnswer:
    """Return the answer with the widest path that was found, checked again, and what is to spare."""
    wider, most = _widest(asked, found, count)
    for each in (wider, found):
        path = _path(asked, each)
        if path is None:
            continue
        steps, gap, pinch = path
        used = sorted({step.tilt_rad for step in steps})
        return replace(
            answer,
            verdict="fits",
            reason=f"it can be carried through, {_tipped(used)}",
            path=steps,
            width_spare_mm=max(gap - asked.route.clearance_mm, 0.0),
            width_spare_at_most_mm=max(most, gap - asked.route.clearance_mm) if most < math.inf else None,
            pinch_mm=pinch,
            outlines=tuple(_shown(asked.ways, asked.ways.tilts_rad.index(tilt)) for tilt in used),
            slices=count,
        )
    reason = "the path that was found does not bear a second look"
    return replace(answer, verdict="not found", reason=reason, slices=count)


def _tipped(tilts: list[float]) -> str:
    return f"tipped up {math.degrees(tilts[-1]):.0f} deg" if tilts[-1] > 0.0 else "level"


def _widest(asked: Asked, found: Found, count: int) -> tuple[Found, float]:
    """Return the way with the most to spare that was found, and what no way has more of."""
    low, high = 0.0, _most_to_spare(asked, count)
    most, best = high if asked.provable else math.inf, found
    for _ in range(SPARE_HALVINGS):
        if high - low <= max(SPARE_TO_MM, SPARE_SHARE * high):
            break
        middle = (low + high) / 2.0
        other = surely(asked, asked.ways.wider(middle), max(count, SPARE_SLICES), found.around)
        low, high = (low, middle) if other is None else (middle, high)
        best = best if other is None else other
    return best, most


def _most_to_spare(asked: Asked, count: int) -> float:
    """Return what can be kept clear more at most: with it there is no way at best."""
    edge = shapely.boundary(asked.floor)
    stands = (asked.route.start.at_mm, asked.route.goal.at_mm)
    low, high = 0.0, min(float(shapely.distance(edge, shapely.Point(at))) for at in stands)
    if not asked.ways.convex:
        # The middle of a hollow part may lie outside it; some disc that wide is on the floor all the same.
        west, south, east, north = shapely.bounds(asked.floor)
        high = float(min(east - west, north - south)) / 2.0
    within = EVERY_SWING
    for _ in range(SPARE_HALVINGS):
        if high - low <= max(SPARE_TO_MM, SPARE_SHARE * high):
            break
        middle = (low + high) / 2.0
        best, reach = at_best(asked, asked.ways.wider(middle), min(count, SPARE_SLICES), within)
        low, high, within = (low, middle, within) if best is None else (middle, high, reach)
    return high


def _path(asked: Asked, found: Found) -> tuple[tuple[KeyPose, ...], float, Point] | None:
    """Return key poses, the least gap all along and where; None where the way is not clear after all."""
    clearance = asked.route.clearance_mm
    tipping = tipping_room(asked.ways, found)
    if tipping is None:
        return None
    steps: list[KeyPose] = []
    least, pinch = clearance + max(tipping[0], 0.0), tipping[1]
    for low, high in runs(found.tilt_of):
        number = int(found.tilt_of[low])
        layer = asked.ways.layers[number]
        walls, body = walls_of(layer.ground.floor), Body.of(layer.pieces)
        some = found.places[low:high]
        if not stands_clear(layer.ground.floor, body, some[0]) or not is_clear(walls, body, some, clearance):
            return None
        wide, _ = least_gap_mm(walls, body, some)
        give = max(SPARE_TO_MM, SPARE_SHARE * (wide - clearance))
        some = fewer(walls, body, some, max(clearance, wide - give))
        gap, where = least_gap_mm(walls, body, some)
        least, pinch = (gap, where) if gap < least else (least, pinch)
        steps += [_step(place, asked.ways.tilts_rad[number]) for place in some]
    return tuple(steps), least, (float(pinch[0]), float(pinch[1]))


def _step(place: Floats, tilt_rad: float) -> KeyPose:
    return KeyPose((float(place[0]), float(place[1])), math.remainder(float(place[2]), WHOLE), tilt_rad)


def _shown(way: Ways, number: int) -> Shown:
    pieces = way.layers[number].pieces
    rings = tuple(tuple((float(x), float(y)) for x, y in piece) for piece in pieces)
    return Shown(way.tilts_rad[number], rings)


def _ends_differ(asked: Asked) -> bool:
    """Tell whether some floor is too low for the part at a tilt at which it is carried."""
    return any(layer.ground.floor.area < asked.floor.area - 1.0 for layer in asked.ways.layers)
