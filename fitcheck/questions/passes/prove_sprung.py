"""Is a sheet sprung as the answer says? Its figures put back into the formulas that they must satisfy."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.geometry.mesh.measure import volume_mm3
from fitcheck.proving.same import SAME_SHARE, same
from fitcheck.things.part import Part
from fitcheck.things.proved import Check
from fitcheck.things.springing import Sprung

# A sheet bent in flats has their chords, and the inner face's, for its volume: shares of it.
BENT_SHARE = 1e-3


def sprung_checks(sprung: Sprung, flat: Part, bent: Part) -> list[Check]:
    """Look at how a sheet is sprung: flat and bent are the part before and as it goes in."""
    thick, wide, _ = sorted(flat.size_mm)
    sizes = same(sprung.flat_mm, wide) and same(sprung.thickness_mm, thick)
    half, leg = math.pi / 2.0, 0.0
    if sprung.curve == "arc":
        half = wide / (2.0 * sprung.radius_mm)
    else:
        leg = (wide - math.pi * sprung.radius_mm) / 2.0
    chord = 2.0 * (sprung.radius_mm + thick / 2.0) * math.sin(half)
    rise = sprung.radius_mm * (1.0 - math.cos(half)) + leg + thick / 2.0 * (1.0 + math.cos(half))
    shape = half <= math.pi / 2.0 + SAME_SHARE and leg >= -SAME_SHARE * wide
    shape = shape and same(chord, sprung.chord_mm) and same(rise, sprung.rise_mm)
    strained = same(sprung.strain, thick / (2.0 * sprung.radius_mm))
    yields = flat.spring is not None and same(sprung.yield_strain, flat.spring.yield_strain)
    least = same(sprung.least_radius_mm, thick / (2.0 * sprung.yield_strain))
    size = bent.solid.vertices_mm.max(axis=0) - bent.solid.vertices_mm.min(axis=0)
    drawn = bool(np.allclose(np.sort(size)[:2], sorted((rise, chord)), rtol=BENT_SHARE))
    whole = volume_mm3(bent.solid) / volume_mm3(flat.solid)
    return [
        Check("the sheet's width and thickness are the part's", sizes),
        Check("curve, chord, radius and rise belong together", shape),
        Check("its faces are strained as its radius says", strained),
        Check("it springs back as far as its metal does", yields and least),
        Check("the part as bent is so large, of as much metal", drawn and abs(whole - 1.0) <= BENT_SHARE),
    ]
