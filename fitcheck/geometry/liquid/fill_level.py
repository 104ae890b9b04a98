"""Liquid that a tank needs for a level, parts in; the level that covers a part."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from fitcheck.geometry.liquid.waterline import Waterline, volumes_below_mm3
from fitcheck.things.fill import Fill
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.solid import Solid
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM3_PER_LITRE, both_lengths, show_volume

# Litres turned to mm3 and back, or to gallons and back, may differ by a few roundings.
ROUNDING = 8.0 * float(np.finfo(np.float64).eps)


def fill_at(part: Part, pose: Pose, tank: Tank, level_mm: float, air_l: float = 0.0) -> Fill:
    """Tell what liquid the tank needs for this level with the part in at this pose (tank from part).

    level_mm: surface over the tank floor, part in. The part displaces its skin (metal and sealed space) and
    the air that it catches under that level, air_l. It must be inside the tank and clear of what stands there
    (`recheck` tells). A level over the rim stands as if the walls went straight on up: liquid_l is what that
    needs, overflow_l what of it runs over the rim when the part goes in. Raises `Refused` for a level under
    the floor, and where the part displaces more than there is under the level.
    """
    return fill_with(((part, pose),), tank, level_mm, air_l)


def fill_with(hung: Sequence[tuple[Part, Pose]], tank: Tank, level_mm: float, air_l: float = 0.0) -> Fill:
    """Tell the same as `fill_at` with several parts in at once; air_l: what they catch together."""
    check_over_floor(tank, level_mm)
    room = room_for_liquid(tank)
    rim = tank.depth_mm
    surface = float(room.plane_area_mm2(rim))
    displaced = displaced_to_rim = 0.0
    for part, pose in hung:
        placed, levels = pose.apply(part.skin.vertices_mm), sorted({min(level_mm, rim), level_mm})
        volumes = volumes_below_mm3(placed, part.skin.triangles, levels)
        displaced, displaced_to_rim = displaced + float(volumes[-1]), displaced_to_rim + float(volumes[0])
    air = air_l * MM3_PER_LITRE
    displaced, displaced_to_rim = displaced + air, displaced_to_rim + air
    over_rim = surface * max(level_mm - rim, 0.0)
    liquid = float(room.volume_below_mm3(level_mm)) + over_rim - displaced
    if liquid < -room.volume_mm3 * ROUNDING:
        names = " and ".join(dict.fromkeys(part.name for part, _ in hung))
        raise Refused(
            f"{names} displaces {both_volumes(displaced)} under that level, more than {tank.name} has there",
            "check that the part at that pose is inside the tank",
        )
    before = _level_before(room, rim, max(liquid, 0.0))
    return Fill(
        level_mm=level_mm,
        from_rim_mm=rim - level_mm,
        freeboard_mm=max(rim - level_mm, 0.0),
        liquid_l=max(liquid, 0.0) / MM3_PER_LITRE,
        level_before_mm=before,
        rise_mm=level_mm - before,
        displaced_l=displaced / MM3_PER_LITRE,
        overflow_l=max(over_rim - (displaced - displaced_to_rim), 0.0) / MM3_PER_LITRE,
    )


def covering_level_mm(part: Part, pose: Pose, tank: Tank) -> float:
    """Tell at which level, over the tank floor, the part at this pose is just covered as the rules ask."""
    heights = pose.apply(part.solid.vertices_mm)[:, 2]
    return float(heights[part.solid.triangles].max()) + tank.rules.cover_mm


def room_for_liquid(tank: Tank) -> Waterline:
    """Return the waterline of the tank's inside less its blocks and fittings, clipped to the inside.

    Raises `Refused` where what stands in the tank cannot be cut out of it or leaves no room.
    """
    if not tank.standing:
        return Waterline.of(tank.inside.vertices_mm, tank.inside.triangles)
    import manifold3d

    def exact(solid: Solid) -> manifold3d.Manifold:
        mesh = manifold3d.Mesh64(np.array(solid.vertices_mm, order="C"), solid.triangles.astype(np.uint64))
        return manifold3d.Manifold(mesh)

    room = exact(tank.inside)
    for standing in tank.standing:
        room = room - exact(standing.solid)
        if room.status() != manifold3d.Error.NoError or room.volume() <= 0.0:
            raise Refused(
                f"{tank.name}: {standing.name} cannot be taken off its inside or leaves no room for liquid",
                "check its size and where it stands",
            )
    mesh = room.to_mesh64()
    return Waterline.of(mesh.vert_properties[:, :3], mesh.tri_verts.astype(np.int64))


def check_over_floor(tank: Tank, level_mm: float) -> None:
    """Raise `Refused` for a level that is no height over the floor of a tank."""
    if not (level_mm >= 0.0 and math.isfinite(level_mm)):
        raise Refused(
            f"{tank.name}: a level of {both_lengths(level_mm)}", "levels are heights over the tank floor"
        )


def _level_before(room: Waterline, rim_mm: float, liquid_mm3: float) -> float:
    """Return the level of the liquid without the part; over the rim as if the walls went on up."""
    if liquid_mm3 <= room.volume_mm3:
        return room.level_mm(liquid_mm3)
    return rim_mm + (liquid_mm3 - room.volume_mm3) / float(room.plane_area_mm2(rim_mm))


def both_volumes(volume_mm3: float) -> str:
    """Return a volume in litres and in gallons, for messages."""
    litres = volume_mm3 / MM3_PER_LITRE
    return f"{show_volume(litres, 'mm')} ({show_volume(litres, 'ft-in')})"
