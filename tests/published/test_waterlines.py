"""How much stands under a level in a drum, a ball, a cup and a cube.

D. Jones, Computing Fluid Tank Volumes, Chemical Processing, November 2002: V = L (r^2 acos((r-h)/r) - (r-h)
sqrt(2rh - h^2)), and the worked example there. NIST Handbook 44, appendix C: the gallon. Archimedes, The Method,
proposition 13: the hoof. J. O. Irwin, P. Hall, Biometrika 19 (1927) 225-245 (from memory): the cube on its corner.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from strategies.solids import ball, box, lathe

from fitcheck.geometry.liquid.pockets import Vessel
from fitcheck.geometry.liquid.waterline import Waterline
from fitcheck.shapes.catalogue import build
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.solid import Floats, Solid
from fitcheck.words.units import LITRES_PER_GALLON, MM3_PER_LITRE, MM_PER_INCH, RAD_PER_DEGREE


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


def lying(sides: int, radius: float, length: float) -> Solid:
    """Return a polygonal cylinder that lies on its side, from z = 0 to 2 radius."""
    upright = lathe([(radius, 0.0), (radius, length)], sides)
    return Solid(upright.vertices_mm[:, [2, 0, 1]] + [0.0, 0.0, radius], upright.triangles, "lying")


# A regular polygon of n sides in a circle lacks (2 pi / n)^2 / 6 of its area; with 4096 sides 4e-7.
SIDES = 4096


POLYGON = 1e-6


# Fraction full f(h/D) of a horizontal cylinder: evaluated from the formula of D. Jones, Computing Fluid Tank
# Volumes, Chemical Processing, November 2002: V = L (r^2 acos((r-h)/r) - (r-h) sqrt(2rh - h^2)).
CYLINDER = (
    (0.05, 0.0186930367),
    (0.10, 0.0520440193),
    (0.15, 0.0940602022),
    (0.20, 0.1423784899),
    (0.25, 0.1955011095),
    (0.30, 0.2523157877),
    (0.35, 0.3119188324),
    (0.40, 0.3735300391),
    (0.45, 0.4364442858),
    (0.50, 0.5),
)


def test_horizontal_cylinder_table() -> None:
    line = waterline(lying(SIDES, 0.5, 3.0))
    shares = line.volume_below_mm3([h for h, _ in CYLINDER]) / line.volume_mm3
    assert shares == pytest.approx([f for _, f in CYLINDER], abs=POLYGON)
    other_half = line.volume_below_mm3([1.0 - h for h, _ in CYLINDER]) / line.volume_mm3
    assert other_half == pytest.approx([1.0 - f for _, f in CYLINDER], abs=POLYGON)


def test_horizontal_cylinder_in_gallons_and_backwards() -> None:
    # The same formula: D = 48 in, L = 96 in, 12 in deep is 147.021495 gal of 752.023841 (231 in3 a gallon,
    # NIST Handbook 44, appendix C). A quarter full stands at 0.29801362335 D, a third at 0.36753395770 D.
    line = waterline(lying(SIDES, 24.0 * MM_PER_INCH, 96.0 * MM_PER_INCH))
    gallon = LITRES_PER_GALLON * MM3_PER_LITRE
    assert float(line.volume_below_mm3(12.0 * MM_PER_INCH)) / gallon == pytest.approx(147.021495, rel=POLYGON)
    assert line.volume_mm3 / gallon == pytest.approx(752.023841, rel=POLYGON)
    diameter = 48.0 * MM_PER_INCH
    assert line.level_mm(line.volume_mm3 / 4.0) / diameter == pytest.approx(0.29801362335, abs=POLYGON)
    assert line.level_mm(line.volume_mm3 / 3.0) / diameter == pytest.approx(0.36753395770, abs=POLYGON)
    # Worked example there: r = 1 m, L = 5 m, h = 1 m holds 7.854 of 15.708 m3.
    assert below(lying(SIDES, 1.0, 5.0), 1.0) == pytest.approx(7.854, abs=5e-4)


def test_spherical_cap() -> None:
    # V = pi h^2 (3r - h) / 3, r = 10, h = 4: 435.634181 (any table of solids). A ball of 300 rings lacks
    # about (pi / 300)^2 of its size.
    assert below(ball(10.0, 300), -6.0) == pytest.approx(435.634181, rel=2e-4)


def test_frustum_is_exact() -> None:
    # V = pi h (R^2 + R r + r^2) / 3, (6, 4, 9): 716.283125 (any table of solids). With n-gons for circles,
    # every section is smaller by n sin(2 pi / n) / (2 pi), and so is the volume: this is exact.
    sides = 12
    share = sides * math.sin(2.0 * math.pi / sides) / (2.0 * math.pi)
    line = waterline(lathe([(6.0, 0.0), (4.0, 9.0)], sides))
    assert line.volume_mm3 / share == pytest.approx(716.283125, rel=1e-9)
    for h in (1e-3, 2.0, 5.5, 8.999):
        r = 6.0 - 2.0 * h / 9.0
        assert float(line.volume_below_mm3(h)) == pytest.approx(
            share * math.pi * h * (36.0 + 6.0 * r + r * r) / 3.0, rel=1e-12
        )
        assert float(line.plane_area_mm2(h)) == pytest.approx(share * math.pi * r * r, rel=1e-12)


@pytest.mark.parametrize(
    ("lean", "kept"),
    [
        # Cup of r = 3, H = 10 leaned from upright, full to the lip: the closed form of the cylinder hoof,
        # evaluated. The fourth leaves it just half full; the last is Archimedes'
        # hoof, (2/3) r^2 H (The Method, proposition 13), below the plane through the middle of the bottom.
        (10.0, 267.786755),
        (30.0, 233.770756),
        (45.0, 197.920337),
        (math.degrees(math.atan2(10.0, 6.0)), 141.371669),
        (60.0, 135.880386),
        (75.0, 51.415742),
        (80.0, 28.574769),
        (math.degrees(math.atan2(10.0, 3.0)), 60.0),
    ],
)
def test_leaning_cup(lean: float, kept: float) -> None:
    turned = leaning(lean)
    lip = float((turned @ [3.0, 0.0, 10.0])[2])
    assert below(lathe([(3.0, 0.0), (3.0, 10.0)], SIDES), lip, turned) == pytest.approx(kept, rel=1e-5)


def test_cube_on_its_corner() -> None:
    # The share of the unit cube where x + y + z <= s is the distribution of the sum of three uniform
    # numbers: J. O. Irwin, P. Hall, Biometrika 19 (1927) 225-245 (cited from memory).
    up = np.ones(3) / math.sqrt(3.0)
    across = np.array([1.0, -1.0, 0.0]) / math.sqrt(2.0)
    turned = np.array([across, np.cross(up, across), up])
    line = waterline(box((1, 1, 1)), turned)
    for s in np.linspace(0.0, 3.0, 31):
        want = (s**3 - 3.0 * max(s - 1.0, 0.0) ** 3 + 3.0 * max(s - 2.0, 0.0) ** 3) / 6.0
        assert float(line.volume_below_mm3(s / math.sqrt(3.0))) == pytest.approx(want, abs=1e-14)
    # The plane through the middle cuts a regular hexagon of side sqrt(1/2).
    assert float(line.plane_area_mm2(math.sqrt(3.0) / 2.0)) == pytest.approx(0.75 * math.sqrt(3.0), rel=1e-13)


def test_archimedes_hoof_as_air_caught() -> None:
    """Leaning so that the surface passes the middle of the bottom: 2/3 r^2 H = 60 for r 3, H 10."""
    lean = math.atan2(100.0, 30.0) / RAD_PER_DEGREE
    # Radius 30 mm and depth 100 mm inside, lying along x, its mouth at -x.
    cup = build("pipe", {"diameter": 62.0, "length": 101.0, "wall": 1.0, "ends": "one"}).solid
    leant = rotation_from(Angles(math.radians(90.0 - lean)))
    caught = float(Vessel(cup).air_mm3(leant[None])[0])
    assert caught / 1e3 == pytest.approx(60.0, rel=2e-3)
