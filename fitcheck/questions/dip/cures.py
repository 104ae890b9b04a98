"""Which single change would make it fit? Each found by the same search that said no."""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.envelope import Envelope, envelope_of
from fitcheck.geometry.rotations.rotation_cells import Allowed
from fitcheck.geometry.rotations.rotation_search import Budget, Search
from fitcheck.questions.dip.answer import Cure
from fitcheck.things.part import Part
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank

# A change is made to 1/16 in at best; a fifth of a mm is finer than that.
CURE_BUDGET = Budget(gap_mm=0.2, gap_share=1e-3, most_cells=60_000)
# No shop makes a tank larger by more than this many times the part.
MOST_TIMES = 2.0

What = Literal["length", "width", "depth", "freeboard", "cover", "side_clearance"]


def cures(part: Part, tank: Tank, turns: Allowed, tape_mm: float) -> tuple[Cure, ...]:
    """Return the least single change of each kind that would make the part fit, tapes included.

    Lengthening a tank moves apart its two halves: each plane gives way by the share of its outward direction
    that looks that way. A kind for which no change of its own would do is left out.
    """
    points = ActivePoints(part.solid.vertices_mm)
    envelope = envelope_of(tank)
    tight = envelope.with_offsets(envelope.offsets_mm - tape_mm)
    most = MOST_TIMES * float(np.ptp(part.solid.vertices_mm, axis=0).max())
    walls = np.where(envelope.is_floor | envelope.is_rim, 0.0, 1.0)
    rim = np.where(envelope.is_rim, 1.0, 0.0)
    found: list[Cure] = []
    lifted = math.inf
    for what, yields, limit in (
        ("length", np.maximum(envelope.normals[:, 0], 0.0), most),
        ("width", np.maximum(envelope.normals[:, 1], 0.0), most),
        ("depth", np.maximum(envelope.normals[:, 2], 0.0), most),
        ("side_clearance", walls, tank.rules.side_clearance_mm),
    ):
        by = _least_change(points, tight, yields, turns, limit)
        if what == "depth":
            lifted = by
        if math.isfinite(by):
            found.append(Cure(what, by))  # type: ignore[arg-type]
    if not np.array_equal(rim, np.maximum(envelope.normals[:, 2], 0.0)):
        lifted = _least_change(points, tight, rim, turns, most)
    for what, limit in (("freeboard", tank.rules.freeboard_mm), ("cover", tank.rules.cover_mm)):
        if lifted <= limit:
            found.append(Cure(what, lifted))  # type: ignore[arg-type]
    return tuple(found)


def _least_change(
    points: ActivePoints, tight: Envelope, yields: Floats, turns: Allowed, most_mm: float
) -> float:
    """Return the least change, in mm, or infinity where none up to most_mm was found."""
    if not yields.any() or most_mm <= 0.0:
        return math.inf
    tau = Search(points, tight, yields).least(turns, CURE_BUDGET, most_mm).tau_mm
    return tau if tau <= most_mm else math.inf
