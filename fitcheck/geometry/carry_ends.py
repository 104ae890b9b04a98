"""What a part overlaps where it starts and ends on a route, and what it is too tall for in between."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import shapely

from fitcheck.geometry.carry_outlines import covered_always, grown, turn
from fitcheck.geometry.carry_slices import Layer
from fitcheck.geometry.carry_tilts import Tilts
from fitcheck.geometry.carry_ways import ROUNDING_MM, Ways, floor_under, headroom_under
from fitcheck.things.part import Part
from fitcheck.things.route import Route, Stand
from fitcheck.words.errors import Refused

# Of a whole turn, in which room is looked for where any swing will do.
SLICES = 400


def refuse_overlaps(part: Part, route: Route, floor: Any, way: Ways) -> None:
    """Raise `Refused` where the part overlaps a wall or a post where it starts or ends."""
    for where, stand in (("at its start", route.start), ("at its end", route.goal)):
        if not shapely.dwithin(floor, shapely.Point(stand.at_mm), ROUNDING_MM) and way.convex:
            raise Refused(
                f"{route.name}: the middle of {part.name} is not on the floor {where}",
                "move it onto the floor",
            )
        if stand.swing_rad is None:
            if route.tilt_rad == 0.0 and not _has_room(way.best, floor, stand):
                raise Refused(
                    f"{route.name}: {part.name} overlaps a wall or a post at every swing {where}",
                    "move it to where it has room",
                )
            continue
        body = _placed(way.layers[0], stand)
        hit = _hit(route, body)
        if hit:
            raise Refused(f"{route.name}: {part.name} overlaps {hit} {where}", "move it there, or turn it")


def _has_room(best: Layer, floor: Any, stand: Stand) -> bool:
    """Tell whether what the part covers at every swing of a slice is over the floor, in some slice."""
    half = math.pi / SLICES
    always = [covered_always(piece, half) for piece in best.pieces]
    covered = [grown(piece, best.clearance_mm, outward=False) for piece in always if len(piece)]
    room = shapely.buffer(floor, ROUNDING_MM)
    shapely.prepare(room)
    turns = [turn(2.0 * half * k).T for k in range(SLICES)]
    rings = [[shapely.Polygon(piece @ each + stand.at_mm) for each in turns] for piece in covered]
    return not rings or bool(shapely.covers(room, np.array(rings)).all(axis=0).any())


def _placed(layer: Layer, stand: Stand) -> Any:
    """Return what the part takes up where it starts or ends, with what is to be kept clear."""
    cosine, sine = math.cos(stand.swing_rad or 0.0), math.sin(stand.swing_rad or 0.0)
    turned = np.array([[cosine, sine], [-sine, cosine]])
    pieces = [grown(piece, layer.clearance_mm, outward=True) @ turned + stand.at_mm for piece in layer.pieces]
    return shapely.union_all([shapely.Polygon(piece) for piece in pieces])


def _hit(route: Route, body: Any) -> str:
    """Return what a placed part overlaps; nothing where it stands free."""
    inside = shapely.buffer(body, -ROUNDING_MM)
    for k, post in enumerate(route.posts):
        if shapely.intersects(shapely.Polygon(post), inside):
            return route.post_names[k] if k < len(route.post_names) else f"post {k + 1}"
    out = shapely.difference(inside, shapely.Polygon(route.floor))
    if out.is_empty:
        return ""
    east, north = (
        out.representative_point().x - body.centroid.x,
        out.representative_point().y - body.centroid.y,
    )
    side = (
        ("north" if north > 0 else "south") if abs(north) >= abs(east) else ("east" if east > 0 else "west")
    )
    return f"the wall to its {side}"


def too_low(route: Route, floor: Any, tilts: Tilts, way: Ways) -> str:
    """Return what the part is too tall to be brought under, if start and goal are shut off by it.

    At any tilt some of the part is too high for it, and that can be in one piece only on one side: it is
    convex, or one point of it that is carried level.
    """
    stands = (route.start, route.goal)
    told = all(stand.swing_rad is not None for stand in stands) and len(tilts.tilts_rad) == 1
    if not (way.convex or told):
        return ""
    tall = float(tilts.tall_mm.min()) - 2.0 * tilts.moves_mm
    low = [each for each in route.lows if headroom_under(route, each) + ROUNDING_MM < tall]
    left = floor_under(route, floor, tall)
    at = [
        shapely.Point(stand.at_mm) if way.convex else _placed(way.layers[0], stand).representative_point()
        for stand in stands
    ]
    if not low or any(part.covers(at[0]) and part.covers(at[1]) for part in shapely.get_parts(left)):
        return ""
    return " and ".join(each.name for each in low)
