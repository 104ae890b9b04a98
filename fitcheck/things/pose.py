"""Pose: a rigid move between two named frames, and the shop's three angles for it.

`tank_from_part` turns are Rz(swing) . Ry(-tilt) . Rx(roll): roll about the part's own length first, then
tilt raises its +x end, then swing turns it in plan. The tank's up direction, seen from the part, is
(sin tilt, cos tilt . sin roll, cos tilt . cos roll).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fitcheck.things.gist import Noun
from fitcheck.things.solid import Floats
from fitcheck.words.errors import Refused
from fitcheck.words.units import RAD_PER_DEGREE


class Angles(NamedTuple):
    """The three angles of a part in its tank, in radians: Rz(swing) . Ry(-tilt) . Rx(roll).

    Parameters
    ----------
    tilt_rad : float
        How far its +x end is raised.
    roll_rad : float
        How far it is rolled about its own length, first of the three.
    swing_rad : float
        How far it is swung in plan, last of the three.

    Examples
    --------
    >>> import math
    >>> import fitcheck as fc
    >>> fc.Angles(tilt_rad=math.radians(30.0)).swing_rad
    0.0
    """

    tilt_rad: float = 0.0
    roll_rad: float = 0.0
    swing_rad: float = 0.0


def rotation_from(angles: Angles) -> Floats:
    """Return the (3, 3) rotation Rz(swing) . Ry(-tilt) . Rx(roll)."""
    ct, st = math.cos(angles.tilt_rad), math.sin(angles.tilt_rad)
    cr, sr = math.cos(angles.roll_rad), math.sin(angles.roll_rad)
    cs, ss = math.cos(angles.swing_rad), math.sin(angles.swing_rad)
    swing = np.array([[cs, -ss, 0.0], [ss, cs, 0.0], [0.0, 0.0, 1.0]])
    tilt = np.array([[ct, 0.0, -st], [0.0, 1.0, 0.0], [st, 0.0, ct]])
    roll = np.array([[1.0, 0.0, 0.0], [0.0, cr, -sr], [0.0, sr, cr]])
    turned: Floats = swing @ tilt @ roll
    return turned


def angles_from(rotation: Floats) -> Angles:
    """Return the angles of a rotation; straight up or down (tilt +-90 deg) swing is given as 0."""
    sine = float(np.clip(rotation[2, 0], -1.0, 1.0))
    level = math.hypot(float(rotation[0, 0]), float(rotation[1, 0]))
    tilt = math.atan2(sine, level)
    # Nearer than this to upright the swing is only rounding: roll takes all of the turn.
    if level < 1e-12:
        roll = math.atan2(math.copysign(1.0, sine) * -float(rotation[0, 1]), float(rotation[1, 1]))
        return Angles(tilt, roll, 0.0)
    roll = math.atan2(float(rotation[2, 1]), float(rotation[2, 2]))
    swing = math.atan2(float(rotation[1, 0]), float(rotation[0, 0]))
    return Angles(tilt, roll, swing)


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Pose(Noun):
    """A rigid move: point_in_to_frame = rotation @ point_in_from_frame + shift_mm.

    Two poses are joined with `@` and only where their frames meet: tank_from_part = tank_from_rack @
    rack_from_part.

    Parameters
    ----------
    to_frame, from_frame : str
        The names of the frames.
    rotation : array_like, shape (3, 3)
        A proper rotation.
    shift_mm : array_like, shape (3,)
        Where it takes the origin.

    Raises
    ------
    Refused
        For a mirror or a scaling, and where joined frames do not meet.

    Examples
    --------
    >>> import fitcheck as fc
    >>> pose = fc.Pose("tank", "part", [(0, -1, 0), (1, 0, 0), (0, 0, 1)], (100, 0, 50))
    >>> pose
    <Pose tank from part: tilt 0, roll 0, swing 90 deg, shift (100, 0, 50) mm>
    >>> pose.apply([(10.0, 0.0, 0.0)])
    array([[100.,  10.,  50.]])
    """

    to_frame: str
    from_frame: str
    rotation: Floats
    shift_mm: Floats

    def __post_init__(self) -> None:
        rotation = np.array(self.rotation, dtype=np.float64).reshape(3, 3)
        shift = np.array(self.shift_mm, dtype=np.float64).reshape(3)
        # A product of a few exact rotations stays orthogonal to about 1e-15; 1e-9 admits printed matrices.
        straight = np.abs(rotation @ rotation.T - np.eye(3)).max() < 1e-9
        if not (straight and np.linalg.det(rotation) > 0.0 and np.isfinite(shift).all()):
            raise Refused("a pose must turn and shift, not mirror or stretch", "give a proper rotation")
        rotation.setflags(write=False)
        shift.setflags(write=False)
        object.__setattr__(self, "rotation", rotation)
        object.__setattr__(self, "shift_mm", shift)

    @property
    def angles(self) -> Angles:
        """The tilt, roll and swing of this pose."""
        return angles_from(self.rotation)

    @property
    def matrix(self) -> Floats:
        """The (4, 4) matrix, in mm."""
        matrix = np.eye(4)
        matrix[:3, :3] = self.rotation
        matrix[:3, 3] = self.shift_mm
        return matrix

    @property
    def inverse(self) -> Pose:
        """The move back."""
        return Pose(self.from_frame, self.to_frame, self.rotation.T, -self.rotation.T @ self.shift_mm)

    def apply(self, points_mm: ArrayLike) -> Floats:
        """Return points (n, 3) of `from_frame` as points of `to_frame`."""
        moved: Floats = np.asarray(points_mm, dtype=np.float64) @ self.rotation.T + self.shift_mm
        return moved

    def __matmul__(self, other: Pose) -> Pose:
        if self.from_frame != other.to_frame:
            raise Refused(
                f"a pose from {self.from_frame!r} cannot follow one to {other.to_frame!r}",
                "join poses whose frames meet",
            )
        return Pose(
            self.to_frame,
            other.from_frame,
            self.rotation @ other.rotation,
            self.rotation @ other.shift_mm + self.shift_mm,
        )

    def _gist(self) -> str:
        tilt, roll, swing = (f"{round(angle / RAD_PER_DEGREE, 3) + 0.0:g}" for angle in self.angles)
        shift = ", ".join(f"{round(mm, 3) + 0.0:g}" for mm in self.shift_mm.tolist())
        turned = f"tilt {tilt}, roll {roll}, swing {swing} deg"
        return f"{self.to_frame} from {self.from_frame}: {turned}, shift ({shift}) mm"
