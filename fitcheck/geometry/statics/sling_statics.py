"""Forces in the legs of a sling, and the attitude in which what hangs in it balances.

Everything is seen from the part: picks (k, 3), the hook (3,) and the point where the load pulls (3,) in mm,
and `up`, a unit vector. A leg is taut and pulls along itself, and all legs meet in the hook. So moments
balance when the load's point is plumb under the hook, and the forces follow from their sum alone: each is
statically determinate for one leg, for two in an upright plane with the load, and for three in space. Two
legs leave the part free to turn about the line through its picks, and one leg any way about its pick, until
the load's point hangs lowest (least potential energy).

Leg tension by "length over height" as rigging handbooks have it, T1 = W D2 S1 / (H (D1 + D2)), is what these
give for two picks at one height.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fitcheck.things.solid import Floats

# Of numbers of a few metres, squared: what differs by less is the same but for rounding.
ROUNDING = 1e-12
# Picks whose plane with the load's point stands across the part's length by more than this let the legs set
# the roll, and leave the tilt to itself.
ACROSS = math.sqrt(0.5)


@dataclass(frozen=True, slots=True, eq=False)
class Hung:
    """How a part hangs: which way is up (3,) and where the hook is (3,), both seen from the part."""

    up: Floats
    hook_mm: Floats


def tensions_n(picks_mm: Floats, hung: Hung, load_n: float) -> Floats:
    """Return the pull (k,) in each leg under a load; below 0 where a leg would have to push.

    Exact where the part hangs in balance (`settled`, or `held_up` with the hook over the load).
    """
    along = hung.hook_mm - picks_mm
    along = along / np.linalg.norm(along, axis=1, keepdims=True)
    pulls: Floats = np.linalg.lstsq(along.T, load_n * hung.up, rcond=None)[0]
    return pulls


def settled(picks_mm: Floats, hook_mm: Floats, at_mm: Floats) -> Hung:
    """Return how a part settles that is slung from its picks to a hook, the legs as long as they are there.

    at_mm: where the load pulls. With three legs the hook stays where it is, seen from the part; with two it
    goes round the line through the picks, with one round the pick.
    """
    if len(picks_mm) == 1:
        up = unit(picks_mm[0] - at_mm)
        hook: Floats = picks_mm[0] + float(np.linalg.norm(hook_mm - picks_mm[0])) * up
    elif len(picks_mm) == 2:
        hook = _swung_over(picks_mm, hook_mm, at_mm)
    else:
        hook = hook_mm
    return Hung(unit(hook - at_mm), hook)


def _swung_over(picks_mm: Floats, hook_mm: Floats, at_mm: Floats) -> Floats:
    """Return the hook turned about the line through two picks until the line passes over the load's point."""
    along = unit(picks_mm[1] - picks_mm[0])
    arm, load = hook_mm - picks_mm[0], at_mm - picks_mm[0]
    foot = picks_mm[0] + (arm @ along) * along
    out = arm - (arm @ along) * along
    under = load - (load @ along) * along
    depth = float(np.linalg.norm(under))
    if depth <= ROUNDING * float(np.linalg.norm(load)):
        return hook_mm
    swung: Floats = foot - float(np.linalg.norm(out)) / depth * under
    return swung


def held_up(picks_mm: Floats, centre_mm: Floats, up: Floats) -> Floats:
    """Return the up nearest to the one wanted at which the picks can hold the part.

    Three legs can hold it any way. Two hold it where the centre of mass lies in the upright plane through
    both picks: the tilt is kept and the roll gives way, unless the picks stand across the part's length. One
    holds it only with the centre of mass plumb under the pick.
    """
    arms = picks_mm - centre_mm
    if len(picks_mm) > 2:
        return up
    if len(picks_mm) == 1:
        return unit(arms[0])
    normal = np.cross(arms[0], arms[1])
    size = float(np.linalg.norm(normal))
    if size <= ROUNDING * float((arms**2).sum()):
        return up
    normal /= size
    if abs(float(up @ normal)) <= ROUNDING:
        return up
    rolled = None if abs(normal[0]) > ACROSS else _rolled_into(normal, up)
    return unit(up - (up @ normal) * normal) if rolled is None else rolled


def _rolled_into(normal: Floats, up: Floats) -> Floats | None:
    """Return `up` rolled the least about the part's length (x) into a plane; None where no roll does."""
    flat = math.hypot(float(up[1]), float(up[2]))
    reach = flat * math.hypot(float(normal[1]), float(normal[2]))
    needed = -float(up[0] * normal[0])
    if abs(needed) > reach or reach == 0.0:
        return None
    # The up of roll r is (.., flat sin r, flat cos r); its product with the normal is a cosine of r.
    middle, half = math.atan2(float(normal[1]), float(normal[2])), math.acos(needed / reach)
    was = math.atan2(float(up[1]), float(up[2]))
    roll = min((middle + half, middle - half), key=lambda r: abs(math.remainder(r - was, 2.0 * math.pi)))
    return np.array([float(up[0]), flat * math.sin(roll), flat * math.cos(roll)])


def below_mm(picks_mm: Floats, centre_mm: Floats, up: Floats) -> float:
    """Return how far plumb under the pick, or the line or plane of the picks, the centre of mass lies.

    Below 0 where it lies over it: then the part rolls over about that line, or would if a leg went slack.
    """
    heights = (picks_mm - centre_mm) @ up
    if len(picks_mm) == 1:
        return float(heights[0])
    out = plan(picks_mm - centre_mm, up)
    # Weights of the picks that add up to 1 and balance in plan, the least-squares ones for two legs.
    rows = np.vstack([out.T, np.full((1, len(out)), float(np.abs(out).max()))])
    want = np.array([0.0, 0.0, float(np.abs(out).max())])
    weights = np.linalg.lstsq(rows, want, rcond=None)[0]
    return float(weights @ heights)


def plan(arms_mm: Floats, up: Floats) -> Floats:
    """Return arms (k, 3) as seen from above, (k, 2), in axes of no account."""
    least = np.eye(3)[int(np.abs(up).argmin())]
    one = unit(np.cross(up, least))
    seen: Floats = arms_mm @ np.column_stack([one, np.cross(up, one)])
    return seen


def spread_mm(picks_mm: Floats, up: Floats) -> float:
    """Return how far apart two picks are in plan; of three, how far the nearest is from the line of two."""
    seen = plan(picks_mm - picks_mm[0], up)
    if len(seen) == 2:
        return float(np.linalg.norm(seen[1]))
    area = abs(float(seen[1, 0] * seen[2, 1] - seen[1, 1] * seen[2, 0]))
    longest = max(float(np.linalg.norm(seen[i] - seen[j])) for i, j in ((0, 1), (1, 2), (2, 0)))
    return area / longest if longest > 0.0 else 0.0


def hook_height_mm(picks_mm: Floats, centre_mm: Floats, up: Floats, least_rad: float) -> float:
    """Return the least height of a hook over the centre of mass with no leg flatter than least_rad."""
    arms = picks_mm - centre_mm
    out = np.linalg.norm(plan(arms, up), axis=1)
    return float((arms @ up + out * math.tan(least_rad)).max())


def unit(vector: Floats) -> Floats:
    """Return the vector at length 1."""
    found: Floats = vector / np.linalg.norm(vector)
    return found
