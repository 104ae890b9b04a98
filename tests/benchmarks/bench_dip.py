"""Search and proof for 20,000 triangles in a box tank, against scipy's differential_evolution over three angles.

Both are asked for the largest spare over all rotations; the other search proves nothing. CPU seconds after reading.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np
import trimesh
from scipy.optimize import differential_evolution

sys.path.insert(0, str(Path(__file__).parents[1]))

from fitcheck.geometry.cells import rotations
from fitcheck.geometry.envelope import envelope_of
from fitcheck.geometry.points import Points
from fitcheck.geometry.search import Budget, Search
from fitcheck.geometry.turns import allowed
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Attitude
from fitcheck.things.solid import Solid
from fitcheck.things.tank import Tank

INSIDE = (1778.8, 712.0, 1019.2)
GAP_MM = 0.02
REPEATS = 5
RUNS = ((15, 0.01), (15, 1e-6), (40, 1e-6))


def bumpy() -> np.ndarray:
    """Return the points of a bumpy ellipsoid of 20,480 triangles."""
    ball = trimesh.creation.icosphere(subdivisions=5).vertices
    bumps = 1.0 + 0.03 * np.sin(9.0 * ball[:, :1]) * np.cos(7.0 * ball[:, 1:2])
    return np.asarray(ball * bumps * np.array([900.0, 320.0, 200.0]))


def bent() -> np.ndarray:
    """Return the points of a plate of 20,000 triangles, bent and dented."""
    u, v = (axis.ravel() for axis in np.meshgrid(np.linspace(-1, 1, 101), np.linspace(-1, 1, 51)))
    plates = []
    for side in (-1.0, 1.0):
        z = 120.0 * u**2 + 15.0 * np.sin(7.0 * u) * np.sin(5.0 * v) + 4.0 * side
        plates.append(np.stack([850.0 * u, 420.0 * v, z], axis=1))
    return np.vstack(plates)


def box_tank() -> Tank:
    """Return the tank."""
    box = trimesh.creation.box(INSIDE)
    solid = Solid(box.vertices + np.array(INSIDE) / 2.0, box.faces)
    return Tank("tank", solid, INSIDE, Liquid("water"))


def ours(vertices: np.ndarray, tank: Tank) -> tuple[float, float, float]:
    """Return the spare found, the spare proven to be the most, and the least seconds of some runs."""
    best = np.inf
    for _ in range(REPEATS):
        start = time.process_time()
        points, envelope = Points(vertices), envelope_of(tank)
        search = Search(points, envelope, np.ones(len(envelope.normals)))
        found = search.least(allowed(Attitude(), points, envelope), Budget(gap_mm=GAP_MM))
        best = min(best, time.process_time() - start)
    return -found.tau_mm, -found.at_least_mm, best


def theirs(vertices: np.ndarray, popsize: int, tol: float, vectorized: bool) -> tuple[float, float]:
    """Return the spare found by differential_evolution, and its seconds; all rotations of one trial at once."""

    def lack(angles: np.ndarray) -> np.ndarray:
        turned = rotations(angles.reshape(3, -1).T)
        along = turned.reshape(-1, 3) @ vertices.T
        spread = (along.max(axis=1) - along.min(axis=1)).reshape(-1, 3)
        worst = ((spread - np.array(INSIDE)) / 2.0).max(axis=1)
        return worst if angles.ndim > 1 else worst[0]

    sides = [(-np.pi / 2, np.pi / 2), (0.0, np.pi / 2), (-np.pi, np.pi)]
    start = time.process_time()
    found = differential_evolution(
        lack,
        sides,
        popsize=popsize,
        tol=tol,
        atol=0.0,
        rng=0,
        vectorized=vectorized,
        updating="deferred" if vectorized else "immediate",
    )
    return -float(found.fun), time.process_time() - start


def main() -> None:
    """Print the table."""
    tank = box_tank()
    for name, vertices in (("bumpy ellipsoid", bumpy()), ("bent plate", bent())):
        spare, most, seconds = ours(vertices, tank)
        print(
            f"{name}: {len(vertices)} points; spare {spare:.3f} mm, proven at most {most:.3f} mm, {seconds:.4f} s"
        )
        for vectorized in (False, True):
            for popsize, tol in RUNS:
                other, other_seconds = theirs(vertices, popsize, tol, vectorized)
                way = "whole population at once" if vectorized else "one trial at a time"
                print(
                    f"  differential_evolution, {way}, popsize {popsize}, tol {tol:g}: {other:.3f} mm "
                    f"({spare - other:+.3f} short), {other_seconds:.3f} s: {other_seconds / seconds:.0f} times"
                )


if __name__ == "__main__":
    main()
