"""The waterline against closed forms, exact fractions, another library, and laws."""

from __future__ import annotations

import itertools
import math
from fractions import Fraction

import manifold3d
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies.solids import box, bumpy, hollow, hulled, turn

from fitcheck.geometry.liquid.waterline import Waterline, volumes_below_mm3
from fitcheck.things.solid import Floats, Solid
from fitcheck.words.errors import Refused


def waterline(
    solid: Solid, rotation: Floats | None = None, shift: tuple[float, ...] = (0, 0, 0)
) -> Waterline:
    vertices = solid.vertices_mm if rotation is None else solid.vertices_mm @ rotation.T
    return Waterline.of(vertices + np.array(shift), solid.triangles)


def below(solid: Solid, level: float, rotation: Floats | None = None) -> float:
    return float(waterline(solid, rotation).volume_below_mm3(level))


def leaning(degrees: float) -> Floats:
    """Turn about y, so that +x goes down."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return np.array([[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]])


@pytest.mark.parametrize(
    ("size", "lean", "kept"),
    [
        # Liquid kept by an open box L x W x H leaned about its W edge: W (L H - L^2 tan / 2) up to
        # tan = H / L, W H^2 / (2 tan) from there on (plane geometry), evaluated.
        ((10.0, 4.0, 6.0), 10.0, 204.734604),
        ((10.0, 4.0, 6.0), 30.0, 124.529946),
        ((10.0, 4.0, 6.0), 45.0, 72.0),
        ((36.0, 24.0, 30.0), 5.0, 24559.3763),
        ((36.0, 24.0, 30.0), 20.0, 20259.5349),
        ((36.0, 24.0, 30.0), 60.0, 6235.38291),
    ],
)
def test_leaning_box(size: tuple[float, float, float], lean: float, kept: float) -> None:
    turned = leaning(lean)
    lip = float((turned @ [size[0], 0.0, size[2]])[2])
    assert below(box(size), lip, turned) == pytest.approx(kept, rel=1e-8)


def exactly_below(vertices: Floats, triangles: Floats, level: float) -> float:
    """Return the volume under a level, in exact fractions: tetrahedra from the level to the cut triangles."""
    corners = [[Fraction(float(x)) for x in vertex] for vertex in vertices]
    height = Fraction(level)
    total = Fraction(0)
    for triangle in triangles:
        polygon = []
        ring = [corners[i] for i in triangle]
        for p, q in zip(ring, ring[1:] + ring[:1], strict=True):
            if p[2] <= height:
                polygon.append(p)
            if (p[2] - height) * (q[2] - height) < 0:
                share = (height - p[2]) / (q[2] - p[2])
                polygon.append([a + share * (b - a) for a, b in zip(p, q, strict=True)])
        lowered = [(x, y, z - height) for x, y, z in polygon]
        for a, b, c in ((lowered[0], b, c) for b, c in itertools.pairwise(lowered[1:])):
            total += a[0] * (b[1] * c[2] - b[2] * c[1])
            total += a[1] * (b[2] * c[0] - b[0] * c[2])
            total += a[2] * (b[0] * c[1] - b[1] * c[0])
    return float(total / 6)


@given(st.integers(0, 10**6), st.floats(-16.0, 0.0), st.floats(0.0, 1.0))
def test_nearly_level_faces_against_exact_fractions(seed: int, power: float, share: float) -> None:
    """A metre-wide block whose corners are off level by anything from a rounding to a metre."""
    noise = np.random.default_rng(seed).normal(size=(8, 3))
    solid = box((1000.0, 400.0, 50.0), (3000.0, -200.0, 700.0))
    vertices = solid.vertices_mm + noise * [0.0, 0.0, 10.0 ** (power + 1.0)]
    line = Waterline.of(vertices, solid.triangles)
    low, high = vertices[:, 2].min(), vertices[:, 2].max()
    level = float(low + share * (high - low))
    want = exactly_below(vertices, solid.triangles, level)
    # Heights near 700 mm are rounded to 1e-13 mm: 1e-12 of a block 50 mm high leaves room for 400 of them.
    assert float(line.volume_below_mm3(level)) == pytest.approx(want, abs=1e-12 * line.volume_mm3)


@pytest.mark.parametrize("lean", [0.0, 1e-14, 1e-10, 1e-6, 1e-3, 1.0, 30.0, 90.0 - 1e-9, 90.0])
@pytest.mark.parametrize("far", [0.0, 1e6])
def test_thin_sheet_at_any_lean(lean: float, far: float) -> None:
    """0.8 mm sheet of 2 m: its two faces all but cancel."""
    sheet = box((2000.0, 700.0, 0.8))
    vertices = sheet.vertices_mm @ leaning(lean).T + [far, -far, far]
    line = Waterline.of(vertices, sheet.triangles)
    levels = np.quantile(vertices[:, 2], [0.0, 0.1, 0.3, 0.5, 0.8, 1.0])
    want = [exactly_below(vertices, sheet.triangles, level) for level in levels]
    # A face of 1.4e6 mm2 whose height is off by a rounding: 1e-16 of 1000 km is 1e-10 mm of 0.8.
    assert line.volume_below_mm3(levels) == pytest.approx(
        want, abs=1e-12 * line.volume_mm3 * max(far / 1e3, 1.0)
    )


@pytest.mark.parametrize("seed", range(4))
def test_same_as_trimming_with_another_library(seed: int) -> None:
    body = bumpy(24)
    body = hollow(body, hulled(np.random.default_rng(seed).uniform(-60.0, 60.0, (12, 3))))
    vertices = body.vertices_mm @ turn(seed).T + [500.0, 300.0, 400.0]
    line = Waterline.of(vertices, body.triangles)
    other = manifold3d.Manifold(manifold3d.Mesh64(vertices, body.triangles.astype(np.uint64)))
    levels = np.linspace(vertices[:, 2].min() - 1.0, vertices[:, 2].max() + 1.0, 41)
    volumes, areas = line.volume_below_mm3(levels), line.plane_area_mm2(levels)
    trimmed = [other.trim_by_plane((0.0, 0.0, -1.0), -level).volume() for level in levels]
    assert volumes == pytest.approx(trimmed, abs=1e-9 * line.volume_mm3)
    cut = [other.slice(level).area() for level in levels]
    # slice() rounds its polygons to about 1e-9 of their width.
    assert areas == pytest.approx(cut, abs=1e-8 * max(cut))


@given(st.integers(0, 10**6), st.floats(-0.2, 1.2), st.floats(-1e5, 1e5))
def test_laws(seed: int, share: float, lift: float) -> None:
    solid = hulled(np.random.default_rng(seed).normal(size=(12, 3)) * [300.0, 200.0, 100.0])
    vertices = solid.vertices_mm @ turn(seed).T
    low, high = vertices[:, 2].min(), vertices[:, 2].max()
    level = float(low + share * (high - low))
    line = Waterline.of(vertices, solid.triangles)
    volume = float(line.volume_below_mm3(level))
    # Summed for the one level alone.
    alone = volumes_below_mm3(vertices, solid.triangles, [level])
    assert alone == pytest.approx(volume, abs=1e-12 * line.volume_mm3)
    # Upside down: what was under the level is over it.
    over = float(Waterline.of(vertices * [1, -1, -1], solid.triangles).volume_below_mm3(-level))
    assert volume + over == pytest.approx(line.volume_mm3, rel=1e-12)
    # Lifted together. Heights of 1e5 mm are rounded to 1.5e-11.
    lifted = Waterline.of(vertices + np.array([0.0, 0.0, lift]), solid.triangles)
    assert float(lifted.volume_below_mm3(level + lift)) == pytest.approx(volume, abs=1e-10 * line.volume_mm3)
    # And back from the volume to the level.
    if 0.0 < volume < line.volume_mm3:
        back = line.level_mm(volume)
        assert float(line.volume_below_mm3(back)) == pytest.approx(volume, abs=1e-13 * line.volume_mm3)


def test_volume_rises_and_its_slope_is_the_plane_area() -> None:
    body = bumpy(16)
    line = waterline(body, turn(7))
    levels = np.linspace(-700.0, 700.0, 20001)
    volumes = line.volume_below_mm3(levels)
    # Between two levels it rises by the area between: by Simpson's rule, exact where no knot lies between.
    assert (np.diff(volumes) >= -1e-12 * line.volume_mm3).all()
    middle = 0.5 * (levels[1:] + levels[:-1])
    slopes = (
        line.plane_area_mm2(levels[1:]) + 4.0 * line.plane_area_mm2(middle) + line.plane_area_mm2(levels[:-1])
    ) / 6.0
    plain = np.histogram(line.knots_mm + line.centre_mm, bins=levels)[0] == 0
    rises = np.diff(volumes) / np.diff(levels)
    # A difference of two volumes over 0.07 mm: 1e-16 of the volume is 1e-6 mm2 of up to 4e5.
    assert rises[plain] == pytest.approx(slopes[plain], abs=1e-4)
    assert plain.sum() > 10000


def test_area_at_flat_faces_is_that_below() -> None:
    line = waterline(box((30.0, 20.0, 10.0), (0.0, 0.0, 5.0)))
    assert line.plane_area_mm2([4.0, 5.0, 5.1, 15.0, 15.1]).tolist() == [0.0, 0.0, 600.0, 600.0, 0.0]
    levels, volumes = [4.0, 5.0, 7.5, 15.0, 16.0], [0.0, 0.0, 1500.0, 6000.0, 6000.0]
    assert line.volume_below_mm3(levels).tolist() == volumes
    flat = box((30.0, 20.0, 10.0), (0.0, 0.0, 5.0))
    assert volumes_below_mm3(flat.vertices_mm, flat.triangles, levels) == pytest.approx(volumes, abs=1e-10)


def test_levels_of_any_shape() -> None:
    line = waterline(box((30.0, 20.0, 10.0)))
    assert line.volume_below_mm3(np.zeros((2, 3, 4))).shape == (2, 3, 4)
    assert line.volume_below_mm3([]).shape == (0,)
    assert line.plane_area_mm2(5.0).shape == ()


def test_sealed_space_is_a_hole() -> None:
    solid = hollow(box((30.0, 20.0, 10.0)), box((10.0, 10.0, 6.0), (5.0, 5.0, 2.0)))
    line = waterline(solid)
    assert line.volume_below_mm3([2.0, 5.0, 10.0]) == pytest.approx([1200.0, 2700.0, 5400.0], rel=1e-14)


def test_lowest_level_where_a_volume_stands_at_several() -> None:
    """Two blocks one above the other: between them the volume stays the same."""
    low, high = box((10.0, 10.0, 10.0)), box((10.0, 10.0, 10.0), (0.0, 0.0, 30.0))
    vertices = np.concatenate((low.vertices_mm, high.vertices_mm))
    line = Waterline.of(vertices, np.concatenate((low.triangles, high.triangles + 8)))
    assert line.level_mm(1000.0) == pytest.approx(10.0, abs=1e-12)
    assert line.level_mm(1500.0) == pytest.approx(35.0, abs=1e-12)
    assert line.level_mm(0.0) == 0.0
    assert line.level_mm(line.volume_mm3) == 40.0


@pytest.mark.parametrize("volume", [-1e-9, 6000.001, math.nan])
def test_volume_that_no_level_has_is_refused(volume: float) -> None:
    with pytest.raises(Refused, match="from 0 to 6000"):
        waterline(box((30.0, 20.0, 10.0))).level_mm(volume)


def test_flat_mesh_is_refused() -> None:
    with pytest.raises(Refused, match="no height"):
        Waterline.of(np.zeros((4, 3)), np.array([[0, 1, 2], [0, 3, 1], [1, 3, 2], [2, 3, 0]]))
