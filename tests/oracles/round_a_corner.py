"""Closed forms of what goes round a right-angle corner."""

from __future__ import annotations

import math

import numpy as np


def longest(a: float, b: float, w: float) -> float:
    """Return the longest rectangle that goes round: C. Moretti, College Math. J. 33 (2002) 196-200."""
    angle = np.linspace(1e-3, math.pi / 2.0 - 1e-3, 400_001)
    return float(((a * np.cos(angle) + b * np.sin(angle) - w) / (np.sin(angle) * np.cos(angle))).min())


def longest_tipped(a: float, b: float, thick: float, headroom: float) -> float:
    """Return the longest square rod that goes round at one tilt: by its plan, and under the headroom."""
    tilt = np.linspace(1e-3, math.radians(80.0), 400_001)
    by_plan = (longest(a, b, thick) - thick * np.sin(tilt)) / np.cos(tilt)
    return float(np.minimum(by_plan, (headroom - thick * np.cos(tilt)) / np.sin(tilt)).max())
