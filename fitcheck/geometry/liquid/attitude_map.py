"""Air and liquid held over all attitudes of a part; swing does not matter."""

from __future__ import annotations

import math
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from fitcheck.geometry.liquid.pockets import UPSIDE_DOWN, Vessel
from fitcheck.geometry.mesh.hole_caps import NARROW_MM, holes_capped
from fitcheck.geometry.rotations.rotation_cells import rotations
from fitcheck.geometry.rotations.rotation_search import how_turned
from fitcheck.things.part import Attitude, Part
from fitcheck.things.pockets import WayUp
from fitcheck.things.pose import Angles
from fitcheck.things.solid import Floats, Indices, Mask
from fitcheck.words.progress import Progress, silent
from fitcheck.words.units import MM3_PER_LITRE, RAD_PER_DEGREE

# Steps of tilt and roll; the finer ones for a mesh of no more than FINE_TRIANGLES.
STEP_DEG, FINE_STEP_DEG, FINE_TRIANGLES = 10.0, 5.0, 4000
# Litres that make no difference to a shop.
SPOONFUL_L = 0.05
# A part hung by eye may be so far off.
OFF_DEG = 1.0
# Attitudes given to a core at a time, and the cores; neither changes a digit of the answer.
PORTION, CORES = 16, 2
# Directions nearer than this are one: far above rounding, far under a degree.
SAME_WAY = 1e-9


def vessel_of(part: Part) -> Vessel:
    """Return the part's skin, its narrow holes shut, ready to be asked what it holds."""
    return Vessel(holes_capped(part.skin, NARROW_MM))


def steps_rad(attitude: Attitude, vessel: Vessel) -> tuple[Floats, Floats]:
    """Return the tilts and the rolls of the map: even steps over all that the attitude allows."""
    step = (FINE_STEP_DEG if len(vessel.triangles) <= FINE_TRIANGLES else STEP_DEG) * RAD_PER_DEGREE

    def spread(most_rad: float) -> Floats:
        return np.linspace(-most_rad, most_rad, 2 * math.ceil(most_rad / step - SAME_WAY) + 1)

    return spread(min(attitude.tilt_rad, math.pi / 2.0)), spread(min(attitude.roll_rad, math.pi))


def every_way_rad(tilts_rad: Floats, rolls_rad: Floats) -> Floats:
    """Return all pairs of a tilt and a roll, (t, r, 2)."""
    return np.stack(np.meshgrid(tilts_rad, rolls_rad, indexing="ij"), axis=-1)


def portions(ways_rad: Floats) -> int:
    """Return how often `caught_l` calls its progress for these ways (..., 2)."""
    return math.ceil(len(_directions(_turned(ways_rad.reshape(-1, 2)))[0]) / PORTION)


def caught_l(vessel: Vessel, ways_rad: Floats, progress: Progress = silent) -> Floats:
    """Return the litres of air and of liquid (..., 2) caught at tilts and rolls (..., 2)."""
    caught = _air_l(vessel, _turned(ways_rad.reshape(-1, 2)), progress)
    return caught.reshape(2, -1).T.reshape(ways_rad.shape)


def air_l(vessel: Vessel, ways_rad: Floats) -> Floats:
    """Return the litres of air alone (k,) caught at tilts and rolls (k, 2)."""
    return _air_l(vessel, rotations(_angles(ways_rad)), silent)


def _air_l(vessel: Vessel, turned: Floats, progress: Progress) -> Floats:
    """Return the litres of air (b,) caught at rotations (b, 3, 3), each way up asked once."""
    first, again = _directions(turned)
    rows = [turned[first[k : k + PORTION]] for k in range(0, len(first), PORTION)]
    found = []
    with ThreadPoolExecutor(CORES) as pool:
        for volumes in pool.map(vessel.air_mm3, rows):
            found.append(volumes)
            progress()
    return np.asarray((np.concatenate(found) / MM3_PER_LITRE)[again])


def best_way(vessel: Vessel, ways_rad: Floats, caught: Floats, usable: Mask) -> WayUp | None:
    """Return the way that holds least, air and liquid together, also when it hangs a degree off.

    ways_rad (t, r, 2): a grid of tilts and rolls, with their litres `caught` (t, r, 2); usable (t, r): which
    may be chosen. Ways that differ by less than a spoonful are as good; of those the least turned. Evaluated
    a degree off are the best roll of each tilt and the best tilt of each roll. None where none is usable.
    """
    turned = how_turned(_angles(ways_rad.reshape(-1, 2))).reshape(usable.shape)
    order = np.lexsort((turned.ravel(), _spoons(caught.sum(axis=2)).ravel(), ~usable.ravel()))
    place = np.argsort(order).reshape(usable.shape)
    few = np.zeros_like(usable)
    few[np.arange(len(few)), place.argmin(axis=1)] = True
    few[place.argmin(axis=0), np.arange(few.shape[1])] = True
    few &= usable
    if not few.any():
        return None
    off = off_l(vessel, ways_rad[few])
    best = int(np.lexsort((turned[few], _spoons(off)))[0])
    tilt, roll = (float(angle) for angle in ways_rad[few][best])
    air, liquid = (float(litres) for litres in caught[few][best])
    return WayUp(Angles(tilt, roll), air, liquid, float(off[best]))


def _spoons(litres: Floats) -> Floats:
    """Return litres in whole spoonfuls: what does not make one more is no difference."""
    return np.asarray(np.ceil(litres / SPOONFUL_L) - 1.0).clip(min=0.0)


def off_l(vessel: Vessel, ways_rad: Floats) -> Floats:
    """Return the most litres of air and liquid together (k,) at each way and a degree off it."""
    degree = OFF_DEG * RAD_PER_DEGREE
    near = degree * np.array([[0, 0], [1, 0], [-1, 0], [0, 1], [0, -1]])
    most: Floats = caught_l(vessel, ways_rad[:, None, :] + near).sum(axis=2).max(axis=1)
    return most


def _angles(ways_rad: Floats) -> Floats:
    """Return swing 0, tilt, roll, as the search has them."""
    return np.column_stack([np.zeros(len(ways_rad)), ways_rad])


def _turned(ways_rad: Floats) -> Floats:
    """Return the rotations of the ways, and then the same turned over, for the liquid."""
    upright = rotations(_angles(ways_rad))
    return np.concatenate([upright, UPSIDE_DOWN @ upright])


def _directions(turned: Floats) -> tuple[Indices, Indices]:
    """Return the first rotation of each way up, and for each rotation which of those it repeats."""
    up = np.round(turned[:, 2, :] / SAME_WAY).astype(np.int64)
    _, first, again = np.unique(up, axis=0, return_index=True, return_inverse=True)
    return first, again.reshape(-1)
