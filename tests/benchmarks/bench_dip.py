"""Search and proof for 20,000 triangles in a box tank, against scipy's differential_evolution over three angles.

Both are asked for the largest spare over all rotations. The other search proves nothing, and from some seeds it
ends in a worse place; so its cost is told as is usual for such searches (T. F. Ronnow and others, Defining and
detecting quantum speedup, Science 345, 2014): the time of as many runs as come within the gap, with chance 99 %,
at least once, from the share of the seeds that do. CPU seconds after reading, medians.
"""

from __future__ import annotations

import math
import sys
import time
from pathlib import Path
from typing import NamedTuple

import numpy as np
import trimesh
from scipy.optimize import differential_evolution

sys.path.insert(0, str(Path(__file__).parents[1]))

from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.envelope import envelope_of
from fitcheck.geometry.rotations.rotation_cells import rotations
from fitcheck.geometry.rotations.rotation_search import Budget, Search
from fitcheck.geometry.rotations.rotation_symmetry import allowed
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Attitude
from fitcheck.things.solid import Solid
from fitcheck.things.tank import Tank

INSIDE = (1778.8, 712.0, 1019.2)
GAP_MM = 0.02
REPEATS = 5
SEEDS = 16
SURE = 0.99
# Population and tolerance: the defaults first.
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
    """Return the spare found, the spare proven to be the most, and the least seconds of some runs in a row."""
    seconds = []
    for _ in range(REPEATS):
        start = time.process_time()
        points, envelope = ActivePoints(vertices), envelope_of(tank)
        search = Search(points, envelope, np.ones(len(envelope.normals)))
        found = search.least(allowed(Attitude(), points, envelope), Budget(gap_mm=GAP_MM))
        seconds.append(time.process_time() - start)
    return -found.tau_mm, -found.at_least_mm, min(seconds)


def theirs(
    vertices: np.ndarray, popsize: int, tol: float, vectorized: bool, seed: int
) -> tuple[float, float]:
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
        rng=seed,
        vectorized=vectorized,
        updating="deferred" if vectorized else "immediate",
    )
    return -float(found.fun), time.process_time() - start


def runs_to_be_sure(share: float) -> float:
    """Return how many runs find it at least once with chance SURE, where one does with chance `share`."""
    if share in (0.0, 1.0):
        return 1.0 if share else math.inf
    return max(math.log(1.0 - SURE) / math.log(1.0 - share), 1.0)


class Beside(NamedTuple):
    """Of SEEDS runs of the other search how many come within the gap; seconds of ours, and of one of theirs."""

    within: int
    ours_s: float
    theirs_s: float

    @property
    def sure_s(self) -> float:
        """The seconds after which theirs has come within the gap at least once, with chance SURE."""
        return self.theirs_s * runs_to_be_sure(self.within / SEEDS)


def beside(vertices: np.ndarray, tank: Tank, popsize: int, tol: float, vectorized: bool) -> Beside:
    """Time both searches in turn, so that whatever else the machine does weighs on both: medians."""
    within, own, other = 0, [], []
    for seed in range(SEEDS):
        spare, _, seconds = ours(vertices, tank)
        found, took = theirs(vertices, popsize, tol, vectorized, seed)
        within += found > spare - GAP_MM
        own.append(seconds)
        other.append(took)
    return Beside(within, float(np.median(own)), float(np.median(other)))


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
                found = beside(vertices, tank, popsize, tol, vectorized)
                way = "whole population at once" if vectorized else "one trial at a time"
                print(
                    f"  differential_evolution, {way}, popsize {popsize}, tol {tol:g}: {found.within} of {SEEDS} "
                    f"within the gap; one run {found.theirs_s:.3f} s, {found.theirs_s / found.ours_s:.0f} times "
                    f"ours; to be {SURE:.0%} sure {found.sure_s:.2f} s, {found.sure_s / found.ours_s:.0f} times",
                    flush=True,
                )


if __name__ == "__main__":
    main()
