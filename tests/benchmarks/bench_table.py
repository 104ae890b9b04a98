"""The main questions beside scripts that do the same job with general libraries: one table, CPU time in one run.

Run `python tests/benchmarks/bench_table.py`, with the extra `bench` installed. Everything is compiled once before
it is timed, and what is timed comes after reading. CPU time of all threads, so that a busy machine matters less.
"""

from __future__ import annotations

import math
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import fcl
import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

import bench_solids
from bench_dip import INSIDE, RUNS, SEEDS, SURE, bent, beside, box_tank, bumpy
from bench_kit import ring_lump
from bench_pocket import dished
from bench_waterline import LEVELS, bumpy_body
from benchmarks.planned_carry import corner, longest_mm, planned_s
from benchmarks.voxel_flood import air_by_voxels_mm3
from strategies.regular import SOLIDS
from strategies.solids import box, part_of

from fitcheck.geometry.liquid.pockets import Vessel
from fitcheck.geometry.liquid.waterline import Waterline
from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.envelope import envelope_of
from fitcheck.geometry.rotations.rotation_cells import rotations
from fitcheck.geometry.rotations.rotation_search import Search
from fitcheck.questions.carry.ask import carry
from fitcheck.questions.dip.ask import dip
from fitcheck.things.solid import Solid

BARS = {"dip": 100.0, "solids_s": 60.0, "million_s": 5.0, "help_s": 0.3, "import_s": 0.5}
LIMIT_S = 20.0


def cpu(work: Callable[[], object]) -> float:
    """Return the CPU seconds of some work."""
    start = time.process_time()
    work()
    return time.process_time() - start


def row(question: str, library: str, mine_s: float, other_s: float, note: str) -> None:
    """Print a row of the table."""
    ratio = other_s / mine_s
    print(f"| {question} | {library} | {mine_s:.4g} | {other_s:.4g} | {ratio:.3g} | {note} |", flush=True)


def dip_rows() -> None:
    """Print the search and proof beside differential_evolution, from its defaults to what mostly finds the same."""
    tank = box_tank()
    for name, points in (("bumpy ellipsoid", bumpy()), ("bent plate", bent())):
        for popsize, tol in RUNS:
            found = beside(points, tank, popsize, tol, False)
            one = found.theirs_s / found.ours_s
            note = f"one run {one:.0f} times, {found.within} of {SEEDS} within the gap; nothing proven"
            row(
                f"dip, {name}, 20,000 triangles",
                f"differential_evolution, popsize {popsize}, tol {tol:g}, until {SURE:.0%} sure",
                found.ours_s, found.sure_s, note,
            )  # fmt: skip


def level_row() -> None:
    """Print the waterline beside trims."""
    import manifold3d

    vertices, triangles = bumpy_body()
    levels = np.linspace(vertices[:, 2].min(), vertices[:, 2].max(), LEVELS)
    Waterline.of(vertices, triangles).volume_below_mm3(levels)
    mine = cpu(lambda: Waterline.of(vertices, triangles).volume_below_mm3(levels))
    body = manifold3d.Manifold(manifold3d.Mesh64(vertices, triangles.astype(np.uint64)))
    other = cpu(lambda: [body.trim_by_plane((0.0, 0.0, -1.0), -z).volume() for z in levels])
    row("fill, 1,000 levels of 20,000 triangles", "manifold3d, a trim each", mine, other, "both exact")


def pocket_row() -> None:
    """Print pockets off the surface beside a flooded grid, each from the bare mesh."""
    solid, turn, cell = dished(), rotations(np.array([[0.0, 0.1, 3.0]])), 5.0
    exact = float(Vessel(solid).air_mm3(turn)[0])
    mine = cpu(lambda: Vessel(solid).air_mm3(turn))
    kept, flood, voxels = air_by_voxels_mm3(solid, turn[0], cell)
    note = f"theirs {kept / exact - 1.0:+.1%} off at {cell:g} mm a voxel; at 10 mm the 8 mm sheet is gone"
    row("pocket, one attitude, 20,600 triangles", "voxels and scikit-image's reconstruction", mine,
        flood + voxels, note)  # fmt: skip


def carry_rows() -> None:
    """Print a corner that is passed, and one that is not, beside a planner."""
    wide, width = 900.0, 300.0
    longest = longest_mm(wide, width)
    for share, seeds in ((0.97, 5), (1.01, 1)):
        length = share * longest
        route, part = corner(wide, length), part_of(box((length, width, 10.0)))
        carry(part, route)
        start = time.process_time()
        verdict = carry(part, route).verdict
        mine = time.process_time() - start
        took = [planned_s(route, wide, (length, width), LIMIT_S, seed) for seed in range(1, seeds + 1)]
        found = [seconds for seconds in took if seconds is not None]
        note = f"ours: {verdict}; theirs: {len(found)} of {seeds} find a way"
        other = statistics.median(found) if found else LIMIT_S
        row(f"carry, {share:g} of the longest that goes round", "OMPL's RRTConnect, python-fcl", mine, other,
            note + ("" if found else f", stopped after {LIMIT_S:g} s with no answer"))  # fmt: skip


def gap_row() -> None:
    """Print the spare of given rotations by reach beside distances of the mesh to the walls."""
    import trimesh

    vertices, tank = 0.9 * bumpy(), box_tank()  # with room at every one of the rotations
    faces = trimesh.creation.icosphere(subdivisions=5).faces
    envelope, points = envelope_of(tank), ActivePoints(vertices)
    search = Search(points, envelope, np.ones(len(envelope.normals)))
    angles = np.random.default_rng(0).uniform(-0.1, 0.1, (200, 3))
    mine = cpu(lambda: search.tau_at(angles))
    spares = -search.tau_at(angles)
    model = fcl.BVHModel()
    model.beginModel(len(faces), len(vertices))
    model.addSubModel(vertices, faces)
    model.endModel()
    walls = []
    for axis in range(3):
        for sign in (-1.0, 1.0):
            size, at = np.full(3, 3.0 * max(INSIDE)), np.array(INSIDE) / 2.0
            size[axis], at[axis] = 10.0, at[axis] + sign * (INSIDE[axis] / 2.0 + 5.0)
            walls.append(fcl.CollisionObject(fcl.Box(*size), fcl.Transform(np.eye(3), at)))
    gaps = []

    def distances() -> None:
        for turn in rotations(angles):
            reach = vertices @ turn.T
            middle = np.array(INSIDE) / 2.0 - (reach.max(axis=0) + reach.min(axis=0)) / 2.0
            part = fcl.CollisionObject(model, fcl.Transform(turn, middle))
            gaps.append(min(fcl.distance(part, wall) for wall in walls))

    other = cpu(distances)
    apart = float(np.abs(spares - gaps).max())
    row("spare at 200 rotations, 20,000 triangles", "python-fcl, mesh to walls", mine, other,
        f"both exact: {apart:.0e} mm apart at most")  # fmt: skip


def solids_line() -> None:
    """Print how long the twenty pairs take."""
    start, widest, worst = time.process_time(), 0.0, 0.0
    published = {(inner, outer): edge for inner, outer, edge, *_ in bench_solids.FIRSCHING}
    for inner in SOLIDS:
        for outer in SOLIDS:
            if inner != outer:
                value, bound, _ = bench_solids.certified(SOLIDS[inner], SOLIDS[outer])
                widest = max(widest, bound / value - 1.0)
                known = published.get((inner, outer))
                worst = max(worst, abs(value / known - 1.0) if known else 0.0)
    seconds = time.process_time() - start
    print(
        f"twenty pairs of regular solids, both sides within {widest:.1e}, at most {worst:.0e} from what is "
        f"published: {seconds:.0f} s (bar {BARS['solids_s']:g} s)",
        flush=True,
    )


def growth_lines() -> None:
    """Print how dip grows with the triangles."""
    tank, before = box_tank(), None
    dip(part_of(Solid(*ring_lump(16))), tank)
    for rings in (16, 50, 158, 500):
        part = part_of(Solid(*ring_lump(rings)))
        start = time.process_time()
        verdict = dip(part, tank).verdict
        seconds, count = time.process_time() - start, len(part.solid.triangles)
        grown = ""
        if before is not None:
            n_log_n = count * math.log(count) / (before[0] * math.log(before[0]))
            grown = f"; {seconds / before[1]:.1f} times the last, n log n is {n_log_n:.1f}"
        print(f"dip, {count:,} triangles: {verdict}, {seconds:.2f} s{grown}", flush=True)
        before = count, seconds
    print(f"a million: bar {BARS['million_s']:g} s")


def start_lines() -> None:
    """Print what starting costs: user and system time of whole processes, least of five."""
    import resource

    for name, words, bar in (
        ("--help", ("-m", "fitcheck", "--help"), BARS["help_s"]),
        ("import fitcheck", ("-c", "import fitcheck"), BARS["import_s"]),
    ):
        took = []
        for _ in range(5):
            start = resource.getrusage(resource.RUSAGE_CHILDREN)
            subprocess.run([sys.executable, *words], check=True, capture_output=True)
            end = resource.getrusage(resource.RUSAGE_CHILDREN)
            took.append(end.ru_utime + end.ru_stime - start.ru_utime - start.ru_stime)
        print(f"{name}: {min(took):.2f} s (bar {bar:g} s)")


def main() -> None:
    """Print everything."""
    print("| question | general library | ours, s | theirs, s | theirs / ours | |\n|---|---|---|---|---|---|")
    for part_of_table in (dip_rows, level_row, pocket_row, gap_row, carry_rows):
        part_of_table()
    print(f"(bar: dip with its proof {BARS['dip']:g} times)")
    start_lines()
    growth_lines()
    solids_line()


if __name__ == "__main__":
    main()
