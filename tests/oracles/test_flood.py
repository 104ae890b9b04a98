"""The flooded grid itself, against plane trigonometry: sheet of any thinness, and slits."""

from __future__ import annotations

import manifold3d
import numpy as np
import pytest
from oracles.flood import held_on_grid

from fitcheck.shapes.catalogue import build
from fitcheck.shapes.manifold import manifold_of, solid_of
from fitcheck.things.pose import Angles, rotation_from


@pytest.mark.parametrize("wall", [2.0, 0.1, 1e-3])
@pytest.mark.parametrize("swing", [0.0, 0.7])
def test_sheet_of_any_thinness_holds(wall: float, swing: float) -> None:
    """A pan 40 x 40 mm inside and 20 mm deep, leaning edge up by t so that its bottom is bare: W H^2 / (2 tan t)."""
    size = (40.0 + 2.0 * wall, 40.0 + 2.0 * wall, 20.0 + wall)
    pan = build("pan", {"size": size, "wall": wall}).solid
    lean = np.radians(40.0)
    wedge = 40.0 * 20.0**2 / (2.0 * np.tan(lean))
    # No more than half a cell all over what bounds the wedge: level, bottom, one wall and two sides.
    around = 40.0 * 20.0 * (1.0 / np.sin(lean) + 1.0 / np.tan(lean) + 1.0) + 20.0**2 / np.tan(lean)
    held = held_on_grid(pan, rotation_from(Angles(lean, np.pi, swing)), 0.5)
    assert held == pytest.approx(wedge, abs=0.5 * 0.5 * around)


@pytest.mark.parametrize(("cell", "kept"), [(2.0, 40.0 * 40.0 * 20.0), (0.3, 0.0)])
def test_a_slit_narrower_than_the_cells_looks_shut(cell: float, kept: float) -> None:
    """A pan upside down, its bottom slit from end to end by 0.4 mm: cells of 0.3 mm cannot step over that."""
    pan = manifold_of(build("pan", {"size": (46.0, 46.0, 23.0), "wall": 3.0}).solid)
    slit = manifold3d.Manifold.cube([0.4, 40.0, 5.0]).translate([22.0, 3.0, -1.0])
    held = held_on_grid(solid_of(pan - slit, "slit pan"), rotation_from(Angles(0.0, np.pi, 0.0)), cell)
    assert held == pytest.approx(kept, abs=cell * 40.0 * 40.0 if kept else 0.0)
