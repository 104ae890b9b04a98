"""A way in, in words: which end or edge goes first, and what to do move by move."""

from __future__ import annotations

import itertools
import math

import numpy as np

from fitcheck.say.attitude_words import SHOWN_RAD, hanging
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.solid import Floats
from fitcheck.things.way_in import WayIn
from fitcheck.words.rounding import at_least, is_under_a_mark
from fitcheck.words.units import Show, show_angle, show_length


def how_in(way: WayIn, show: Show) -> str:
    """Return the whole way in one line: how, in how many moves, and how near it comes to anything."""
    nearest = f"; it comes no nearer than {at_least(way.gap_mm, show)}" if math.isfinite(way.gap_mm) else ""
    if way.kind == "straight down":
        return f"straight down, hung as it is to hang{nearest}"
    return f"{_first(way.poses)}, in {len(way.poses) - 1} moves{nearest}"


def moves_in(way: WayIn, part: Part, show: Show) -> list[str]:
    """Return where it starts, over the tank, and then what is done with it, a line for each pose."""
    vertices = part.solid.vertices_mm
    middle = (vertices.min(axis=0) + vertices.max(axis=0)) / 2.0
    places = [pose.apply(middle[None])[0] for pose in way.poses]
    along, across = (show_length(float(mm), show) for mm in places[0][:2])
    start = f"its middle {along} from the tank's -x end and {across} from its -y side"
    lines = [f"{hanging(way.poses[0], part, show)}; {start}; {_low(way.poses[0], part, show)}"]
    for (one, other), (here, there) in zip(
        itertools.pairwise(way.poses), itertools.pairwise(places), strict=True
    ):
        turned = np.abs(one.rotation - other.rotation).max() > SHOWN_RAD
        then = f"turned until it is {hanging(other, part, show)}" if turned else "hung as it is"
        lines.append(f"{_shifted(there - here, show)}, {then}; {_low(other, part, show)}")
    return lines


def _first(poses: tuple[Pose, ...]) -> str:
    """Return which end or edge goes first, and how far it is turned from how it is to hang."""
    angles = np.array([[*pose.angles] for pose in poses])
    tilt, roll, swing = np.ptp(np.unwrap(angles, axis=0), axis=0) >= SHOWN_RAD
    if not (tilt or roll or swing):
        return "slid in, hung as it is to hang"
    if swing or (tilt and roll):
        return "tilted and turned in"
    # Which end or side is up more than where it hangs.
    column = 0 if tilt else 1
    raised = np.sin(angles[:, column]) - math.sin(angles[-1, column])
    off = np.abs(np.unwrap(angles[::-1, column]) - angles[-1, column]).max()
    up = raised[np.abs(raised).argmax()] > 0.0
    if tilt:
        return f"one end first, its {'-x' if up else '+x'} end, tilted by up to {show_angle(off)}"
    return f"one edge first, its {'-y' if up else '+y'} edge, rolled by up to {show_angle(off)}"


def _shifted(by_mm: Floats, show: Show) -> str:
    """Return "let down by 3 in and slid by 8 in towards the tank's +x end", of the part's middle."""
    sizes = [float(abs(mm)) for mm in by_mm]
    told = [not is_under_a_mark(size, show) for size in sizes]
    slid = [
        f"{show_length(size, show)} towards the tank's {'+' if mm > 0.0 else '-'}{where}"
        for size, mm, is_told, where in zip(sizes[:2], by_mm[:2], told[:2], ("x end", "y side"), strict=True)
        if is_told
    ]
    words = [f"slid by {' and '.join(slid)}"] if slid else []
    if told[2]:
        how = ("let", "down") if by_mm[2] < 0.0 else ("lifted", "up")
        words.insert(0, f"{(' ' if slid else ' straight ').join(how)} by {show_length(sizes[2], show)}")
    return " and ".join(words) or "held in its place"


def _low(pose: Pose, part: Part, show: Show) -> str:
    low = float(pose.apply(part.solid.vertices_mm)[:, 2].min())
    return f"its lowest point {show_length(low, show)} over the tank floor"
