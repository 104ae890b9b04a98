"""What a plane wets of a surface: against closed forms, and against shapely's polygons."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies.solids import box, hulled

from fitcheck.geometry.liquid.halfspace_area import dry_share, wet_areas_mm2
from fitcheck.proving.uncovered_surface import left_dry_mm2, most_under, surface_mm2
from fitcheck.things.solid import Solid

SIZE = (300.0, 200.0, 100.0)
FAR = 10_000.0


def wet_mm2(solid: Solid, up: tuple[float, float, float], line: float) -> float:
    """Return the wet surface, having seen that the four ways to it agree."""
    ups, lines = np.array([up]), np.array([line])
    wet = float(wet_areas_mm2(solid, ups, lines)[0])
    whole = surface_mm2(solid)
    others = (1.0 - dry_share(solid, ups, lines)) * whole, whole - left_dry_mm2(solid, ups, lines)
    assert [*others, float(most_under(solid, ups, lines)[0])] == pytest.approx([wet] * 3, abs=1e-6 * whole)
    return wet


@settings(max_examples=80, deadline=None)
@given(st.floats(0.0, math.pi / 2.0), st.floats(-50.0, 350.0))
def test_a_box_tilted_about_its_width(tilt: float, line: float) -> None:
    """Two sides are wet over the polygon under the line, the others over its edges, as far across as it is."""
    length, width, height = SIZE
    up = np.array([math.sin(tilt), math.cos(tilt)])
    along = np.array([up[1], -up[0]])
    corners = [up * line + s * FAR * along - d * FAR * up for s, d in ((-1, 0), (1, 0), (1, 1), (-1, 1))]
    under = shapely.Polygon(corners)
    side = shapely.box(0.0, 0.0, length, height)
    wet = 2.0 * side.intersection(under).area + width * side.exterior.intersection(under).length
    # A face that lies in the plane itself is wet or dry by rounding.
    if min(abs(line - each) for each in (0.0, height, length)) < 1e-6:
        return
    found = wet_mm2(box(SIZE), (float(up[0]), 0.0, float(up[1])), line)
    assert found == pytest.approx(wet, abs=1e-5 * surface_mm2(box(SIZE)))


def prism(radius: float, length: float, sides: int) -> Solid:
    """Return a cylinder's prism, upright from z 0."""
    angles = 2.0 * math.pi * np.arange(sides) / sides
    ring = radius * np.column_stack([np.cos(angles), np.sin(angles)])
    return hulled(np.vstack([np.column_stack([ring, np.full(sides, z)]) for z in (0.0, length)]))


def test_an_upright_cylinder_cut_aslant() -> None:
    """The wall is wet over 2 pi r h, h on the axis, as an oblique cut takes as much off as it leaves over."""
    radius, sides = 80.0, 48
    perimeter = 2.0 * sides * radius * math.sin(math.pi / sides)
    base = sides / 2.0 * radius**2 * math.sin(2.0 * math.pi / sides)
    for slope in (0.0, 0.3, 0.7):
        up = np.array([slope, 0.0, 1.0]) / math.hypot(slope, 1.0)
        found = wet_mm2(prism(radius, 400.0, sides), tuple(up.tolist()), float(up[2]) * 150.0)
        assert found == pytest.approx(base + perimeter * 150.0, rel=1e-9)


@pytest.mark.parametrize("depth", [20.0, 80.0, 130.0])
def test_a_cylinder_lying(depth: float) -> None:
    """Depth h of radius r: an arc of 2 r acos(1 - h / r), and two segments r^2 a - (r - h) sqrt(2 r h - h^2)."""
    radius, length, sides = 80.0, 400.0, 720
    half = math.acos(1.0 - depth / radius)
    segment = radius**2 * half - (radius - depth) * math.sqrt(2.0 * radius * depth - depth**2)
    found = wet_mm2(prism(radius, length, sides), (1.0, 0.0, 0.0), depth - radius)
    # Of 720 flats, an edge may be out by half of one.
    assert found == pytest.approx(2.0 * radius * half * length + 2.0 * segment, rel=4e-3)
