"""Conflicts of a part at the start and the goal of a route, and places too low for it in between."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import shapely

from fitcheck.geometry.carry.outlines import covered_always, grown, turn
from fitcheck.geometry.carry.slices import Layer
from fitcheck.geometry.carry.tilts import Tilts
from fitcheck.geometry.carry.ways import ROUNDING_MM, Ways, floor_under, headroom_under
from fitcheck.geometry.mesh.measure import is_convex
from fitcheck.things.part import Part
from fitcheck.things.route import Route, Stand
from fitcheck.things.solid import Floats
from fitcheck.words.errors import Refused

# Of a whole turn, in which room is searched where any swing will do.
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


def too_low(route: Route, floor: Any, tilts: Tilts) -> str:
    """Return what the part is too tall to be brought under, if start and goal are shut off by it.

    What is too high of it never gets under that. Carried level, one point on top of it does not; tipped, at
    any tilt some of it is too high, and of a convex part that is in one piece, so only on one side.
    """
    level = len(tilts.tilts_rad) == 1
    tall = float(tilts.tall_mm.min()) - 2.0 * tilts.moves_mm
    low = [each for each in route.lows if headroom_under(route, each) + ROUNDING_MM < tall]
    if not low or not (level or is_convex(tilts.part.solid)):
        return ""
    left = shapely.get_parts(floor_under(route, floor, tall))
    top = _on_top(tilts)
    far = float(np.linalg.norm(np.abs(tilts.part.solid.vertices_mm - tilts.middle_mm).max(axis=0)))
    sides = [
        set(np.flatnonzero(shapely.dwithin(left, *_where(top, far, stand, level))).tolist())
        for stand in (route.start, route.goal)
    ]
    return "" if sides[0] & sides[1] else " and ".join(each.name for each in low)


def _on_top(tilts: Tilts) -> Floats:
    """Return a point (2,) on top of a part carried level, the nearest to its middle."""
    solid = tilts.part.solid
    corners = solid.vertices_mm - tilts.middle_mm
    high = corners[:, 2] >= corners[:, 2].max() - ROUNDING_MM
    flat = [shapely.Polygon(ring) for ring in corners[solid.triangles[high[solid.triangles].all(axis=1)], :2]]
    top = shapely.union_all([shapely.MultiPoint(corners[high, :2]), *flat])
    line = shapely.shortest_line(top, shapely.Point(0.0, 0.0))
    return np.asarray(shapely.get_coordinates(line)[0])


def _where(top: Floats, far_mm: float, stand: Stand, level: bool) -> tuple[Any, float]:
    """Return a place, and how near to it what is too high is for sure, where a part starts or ends."""
    at = np.array(stand.at_mm)
    if not level:
        return shapely.Point(at), far_mm
    if stand.swing_rad is None:
        return shapely.Point(at), float(np.linalg.norm(top)) + ROUNDING_MM
    return shapely.Point(at + turn(stand.swing_rad) @ top), ROUNDING_MM
