"""Hook height that lifts a part clear of the rim, on its own picks, as it hangs.

It is slung as `hang` slings it (`sling_problem.py`), with the flattest legs that are allowed: steeper ones
need a higher hook. Where a part has no picks, or rim_height or hook_height is not given, no height is held
to.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from fitcheck.geometry.statics.lifting_points import chosen
from fitcheck.geometry.statics.sag import sag_of
from fitcheck.geometry.statics.sling_problem import ROUNDING_MM, SlingProblem, angles_of, sling_problem
from fitcheck.geometry.statics.sling_statics import held_up
from fitcheck.things.hook import Hook
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.solid import Floats, Mask
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import RAD_PER_DEGREE, STANDARD_GRAVITY_M_S2

# Ways up that the picks hold are searched in whole degrees, as a spirit level sets them.
_TILTS_DEG, _ROLLS_DEG = range(-90, 91), range(-180, 181)


def own_picks(part: Part) -> Floats | None:
    """Return the picks (k, 3) by which the shop slings the part; None where it has given none.

    Raises `Refused`, with what is wrong, where they are more than three or one is off the part.
    """
    return chosen(part, None, None)


class Lifting:
    """Whether one part can be lifted out by its own picks, each way up asked for once."""

    def __init__(self, part: Part) -> None:
        self.part = part
        self._known: dict[tuple[str, float, float], SlingProblem | None] = {}
        try:
            self.picks_mm = own_picks(part)
        except Refused:
            # Told with the answer, and the part goes on as one whose picks are not known.
            self.picks_mm = None

    def passes(self, tank: Tank, angles: Floats) -> Mask:
        """Return at which angles (k, 3), swing, tilt, roll, it can be lifted out, sag left out."""
        if self.picks_mm is None:
            return np.ones(len(angles), dtype=np.bool_)
        slings = [self._slung(tank, tilt, roll) for _, tilt, roll in angles.tolist()]
        return np.array([it is not None and _is_clear(it) for it in slings], dtype=np.bool_)

    def lifts(self, tank: Tank, angles: Angles, wet_kg: float) -> bool:
        """Tell the same of one way, sag and all; wet_kg: what hangs at lift-out."""
        if self.picks_mm is None:
            return True
        it = self._slung(tank, angles.tilt_rad, angles.roll_rad)
        return it is not None and _is_clear(_sagging(it, wet_kg))

    def hook_mm(self, tank: Tank, angles: Angles, wet_kg: float) -> float | None:
        """Return how high the hook must go at least, over the shop floor, tape left out.

        None where that is not known, or its picks do not hold it so.
        """
        if self.picks_mm is None:
            return None
        it = self._slung(tank, angles.tilt_rad, angles.roll_rad)
        return None if it is None else _needed_mm(_sagging(it, wet_kg))

    def best_hook(self, tank: Tank, angles: Floats) -> Hook | None:
        """Return the hook budget of that of the angles (k, 3) that leaves most; None where none holds it."""
        slings = [self._slung(tank, tilt, roll) for _, tilt, roll in angles.tolist()]
        hooks = [it.hook(it.least_z_mm) for it in slings if it is not None]
        return max(hooks, key=lambda hook: hook.spare_mm or 0.0, default=None)

    def ways(self) -> Iterator[Angles]:
        """Give the tilts and rolls at which its picks hold it, where only few do: one or two picks."""
        if self.picks_mm is None or len(self.picks_mm) > 2:
            return
        wanted = [Angles(tilt * RAD_PER_DEGREE) for tilt in _TILTS_DEG]
        wanted += [Angles(0.0, roll * RAD_PER_DEGREE) for roll in _ROLLS_DEG]
        for way in wanted:
            up = held_up(self.picks_mm, self.part.centre_mm, rotation_from(way)[2])
            yield angles_of(up, way.roll_rad)

    def _slung(self, tank: Tank, tilt_rad: float, roll_rad: float) -> SlingProblem | None:
        """Return the part slung so; None where its picks do not hold it so."""
        key = tank.name, tilt_rad, roll_rad
        if key not in self._known and self.picks_mm is not None:
            try:
                it = sling_problem(self.part, tank, Angles(tilt_rad, roll_rad), self.picks_mm)
            except Refused:
                self._known[key] = None
            else:
                self._known[key] = it if it.is_as_asked and it.is_held else None
        return self._known[key]


def _sagging(it: SlingProblem, wet_kg: float) -> SlingProblem:
    return replace(it, sag_mm=sag_of(it.part, it.up, it.picks_mm, wet_kg * STANDARD_GRAVITY_M_S2))


def _needed_mm(it: SlingProblem) -> float | None:
    return it.needed_mm(it.least_z_mm)


def _is_clear(it: SlingProblem) -> bool:
    """Tell whether the hook goes high enough, the tape counted against it; so too where that is not known."""
    spare = it.hook(it.least_z_mm).spare_mm
    return spare is None or spare >= it.tape_mm - ROUNDING_MM
