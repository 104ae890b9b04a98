"""All twenty pairs of the five regular solids: the largest of one in another, certified from both sides.

The witness is a rotation at which the inner solid fits; at 1 + 1e-6 times its edge none is left (proven). CPU seconds; bar: 60 for all.
Published: M. Firsching, Exper. Math. 24 (2015) 98-105, Table 1, whose search took a few hours for all.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from strategies.regular import FIRSCHING, SOLIDS

from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.best_shift import best_shift
from fitcheck.geometry.rotations.envelope import Envelope, envelope_of
from fitcheck.geometry.rotations.rotation_search import Budget, Search
from fitcheck.geometry.rotations.rotation_symmetry import allowed, fold
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Attitude
from fitcheck.things.solid import Solid
from fitcheck.things.tank import Tank

EDGE_MM = 1000.0
SHARE = 1e-6
MOST_CELLS = 5_000_000


def tank_of(corners: np.ndarray) -> Tank:
    """Return the hull of some corners as a tank."""
    import trimesh

    hull = trimesh.convex.convex_hull(corners - corners.min(axis=0))
    low, high = hull.bounds
    return Tank("t", Solid(hull.vertices, hull.faces), tuple(high - low), Liquid("water"), is_box=False)


def stood(corners: np.ndarray) -> np.ndarray:
    """Return a solid with an axis of its largest symmetry along x: so much fewer rolls are to be searched."""
    ways = [way / np.linalg.norm(way) for solid in SOLIDS.values() for way in (*solid, *solid[:, [0, 2, 1]])]
    turned = [corners @ _along_x(way).T for way in ways]
    return max(turned, key=lambda points: fold(ActivePoints(points)))


def _along_x(way: np.ndarray) -> np.ndarray:
    """Return the rotation that brings a direction onto x."""
    other = np.cross(way, np.eye(3)[np.argmin(np.abs(way))])
    other /= np.linalg.norm(other)
    return np.stack([way, other, np.cross(way, other)])


def search_for(corners: np.ndarray, envelope: Envelope) -> Search:
    """Return the search for the spare of the hull of some corners."""
    return Search(ActivePoints(corners), envelope, np.ones(len(envelope.normals)))


def certified(inner: np.ndarray, outer: np.ndarray) -> tuple[float, float, int]:
    """Return the largest edge found, a bound that is proven, and the cells looked at, outer edge 1."""
    inner, envelope = stood(inner), envelope_of(tank_of(EDGE_MM * outer))
    # A ball in the one and round the other: it fits whatever the rotation.
    ball = best_shift(envelope, envelope.offsets_mm[None, :], np.ones(len(envelope.normals)))
    scale, cells = float(-ball.tau_mm[0]) / float(np.linalg.norm(inner, axis=1).max()), 0
    turns = allowed(Attitude(), ActivePoints(inner), envelope)
    while True:
        tried = scale * (1.0 + SHARE)
        search = search_for(inner * tried, envelope)
        # Either a rotation with room is found, or none is left: nothing between is of use.
        found = search.least(turns, Budget(gap_mm=1e-4, gap_share=0.5, most_cells=MOST_CELLS), 0.0)
        cells += found.cells
        if found.closed and found.tau_mm > 0.0:
            return scale / EDGE_MM, tried / EDGE_MM, cells
        if found.tau_mm > 0.0:
            return scale / EDGE_MM, np.inf, cells
        low, high = tried, 2.0 * tried
        for _ in range(60):
            middle = 0.5 * (low + high)
            fits = search_for(inner * middle, envelope).tau_at(found.angles_rad[None, :])[0] <= 0.0
            low, high = (middle, high) if fits else (low, middle)
        scale = low


def main() -> None:
    """Print the table."""
    published = {(row[0], row[1]): row[2] for row in FIRSCHING}
    start = time.process_time()
    for inner in SOLIDS:
        for outer in SOLIDS:
            if inner == outer:
                continue
            began = time.process_time()
            value, bound, cells = certified(SOLIDS[inner], SOLIDS[outer])
            known = published.get((inner, outer))
            print(
                f"{inner} in {outer}: {value:.7f}, proven under {bound:.7f}"
                f"{f', published {known:.7f}' if known else ''}; "
                f"{cells} cells, {time.process_time() - began:.1f} s",
                flush=True,
            )
    print(f"all: {time.process_time() - start:.0f} s")


if __name__ == "__main__":
    main()
