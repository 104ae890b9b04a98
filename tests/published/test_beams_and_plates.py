"""How far beams, plates and bent sheet go.

AISC, Steel Construction Manual, table 3-23. F. H. Rolt, Gauges and Fine Measurements, 1929. S. P. Timoshenko and
S. Woinowsky-Krieger, Theory of Plates and Shells, table 8. S. P. Timoshenko and J. M. Gere, Theory of Elastic
Stability, 2nd ed., 1961, table 2-4. All from memory.
"""

from __future__ import annotations

import math

import pytest
from scipy.optimize import minimize_scalar

from fitcheck.geometry.statics.beam import Beam, droop_mm
from fitcheck.geometry.statics.elastica import strapped
from fitcheck.geometry.statics.lifting_points import FROM_END
from fitcheck.geometry.statics.plate import plate_bent

BEAM = Beam(length_mm=4000.0, load_n_mm=0.05, stiffness_n_mm2=7e9)


def test_held_at_its_ends_it_sags_by_the_handbook() -> None:
    """5 w L^4 / 384 E I: AISC Steel Construction Manual, table 3-23, case 1, from memory."""
    handbook = 5.0 * 0.05 * 4000.0**4 / (384.0 * 7e9)
    assert droop_mm(BEAM, [0.0, 4000.0]) == pytest.approx(handbook, rel=1e-9)


def test_held_in_the_middle_its_ends_sag_as_cantilevers() -> None:
    """Each half by w a^4 / 8 E I: AISC table 3-23, the cantilever under even load, from memory."""
    handbook = 0.05 * 2000.0**4 / (8.0 * 7e9)
    assert droop_mm(BEAM, [2000.0]) == pytest.approx(handbook, rel=1e-9)
    assert droop_mm(BEAM, [1999.999, 2000.001]) == pytest.approx(handbook, rel=1e-5)


def test_it_sags_least_held_where_picks_are_proposed() -> None:
    """0.2232 of the length from either end (F. H. Rolt, Gauges and Fine Measurements, 1929, from memory).

    The formula has 0.22315, which is that but for the last digit printed.
    """

    def sag(share: float) -> float:
        return droop_mm(BEAM, [share * BEAM.length_mm, (1.0 - share) * BEAM.length_mm])

    best = minimize_scalar(sag, bounds=(0.15, 0.3), method="bounded", options={"xatol": 1e-7}).x
    assert best == pytest.approx(FROM_END, abs=1e-4)
    # Quarter points come near; the ends do not.
    assert sag(0.25) < 5.0 * sag(FROM_END)
    assert sag(0.0) > 40.0 * sag(FROM_END)


@pytest.mark.parametrize(
    ("height_over_width", "sag", "moment"),
    [(1.0, 0.00406, 0.0479), (1.5, 0.00772, 0.0812), (2.0, 0.01013, 0.1017)],
)
def test_a_plate_bends_as_printed(height_over_width: float, sag: float, moment: float) -> None:
    """Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, table 8 (from memory): even load, nu 0.3."""
    bent = plate_bent((1.0, 1.0), (100.0, 100.0 * height_over_width), 1.0, 1.0)
    stiffness = 1.0 / (12.0 * (1.0 - 0.3**2))
    assert bent.sag_mm * stiffness / 100.0**4 == pytest.approx(sag, abs=6e-6)
    assert bent.stress_mpa / 6.0 / 100.0**2 == pytest.approx(moment, abs=6e-5)


# S. P. Timoshenko and J. M. Gere, Theory of Elastic Stability, 2nd ed. (1961), table 2-4 (from memory): load over
# the buckling load, ends' distance and sideways rise over the length, of a column that is held at its foot. A
# column of twice the length on two pins is two of them.
@pytest.mark.parametrize(
    ("load", "apart", "rise"), [(1.015, 0.970, 0.220), (1.152, 0.741, 0.593), (1.518, 0.349, 0.792)]
)
def test_straps_hold_an_elastica(load: float, apart: float, rise: float) -> None:
    held = strapped(2.0, 2.0 * apart)
    assert held.pull / math.pi**2 == pytest.approx(load, abs=2e-3)
    assert held.rise_mm == pytest.approx(rise, abs=2e-3)
    # The middle's curvature follows from the pull at its arm: M = P y = D / r.
    assert held.radius_mm == pytest.approx((2.0 / held.pull) * 2.0 / held.rise_mm)
