"""Parts among things that stand in a tank, timed: `python tests/benchmarks/bench_things.py [cases]`.

Bars, CPU time on one core: a part of some thousand triangles with six fittings put round it is placed in under
10 s in nine of ten random cases, in all within 60 s; a frame whose window is too small for the post that it
must go round, and boxes beside a block of full height with a little too little room, are proven not to go in
all; an L-shaped part too tall by 0.3 in for the place over a block in under 5 s.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from strategies.solids import box, bumpy, part_of, tank_of

from fitcheck.files.shop_file import read_shop
from fitcheck.geometry.convex.offset_bodies import swept_down
from fitcheck.geometry.mesh.distance import Surface, gap_mm
from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.envelope import envelope_of
from fitcheck.geometry.rotations.rotation_cells import Allowed
from fitcheck.geometry.rotations.rotation_search import Budget, Search
from fitcheck.questions.dip.ask import dip
from fitcheck.shapes.manifold import manifold_of, solid_of
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.solid import Floats, Solid
from fitcheck.things.tank import Rules, Tank
from fitcheck.words.units import MM_PER_INCH

TRIANGLES = 5_000
NEAR_S, FAR_S, TALL_S = 10.0, 60.0, 5.0


def union(*solids: Solid) -> Solid:
    """Return solids joined."""
    whole = manifold_of(solids[0])
    for solid in solids[1:]:
        whole += manifold_of(solid)
    return solid_of(whole, "union")


def fine(solid: Solid) -> Solid:
    """Return a solid with its triangles cut in four until there are about TRIANGLES."""
    manifold = manifold_of(solid)
    while manifold.num_tri() * 2 < TRIANGLES:
        manifold = manifold.refine(2)
    return solid_of(manifold, "fine")


def shape(kind: str, random: np.random.Generator) -> Solid:
    """Return a part that is not convex."""
    if kind == "bumpy":
        return bumpy(35)
    x, y, z = random.uniform((600.0, 250.0, 150.0), (1500.0, 500.0, 400.0))
    wall = random.uniform(30.0, 80.0)
    ends = box((wall, y, z)), box((wall, y, z), (x - wall, 0, 0))
    sides = box((x, wall, z)), box((x, wall, z), (0, y - wall, 0))
    floor = box((x, y, wall))
    return fine(
        union(
            *{"frame": (*ends, *sides), "ell": (floor, ends[1]), "yoke": (floor, *ends)}.get(
                kind, (floor, *sides)
            )
        )
    )


def turn(random: np.random.Generator) -> Floats:
    """Return any rotation, or one near to none."""
    q, r = np.linalg.qr(random.normal(size=(3, 3)) * random.choice([0.15, 1.0]) + 1.5 * np.eye(3))
    q = q * np.sign(np.diag(r))
    return np.asarray(q * np.linalg.det(q))


def placed(seed: int, tight_mm: float = 10.0) -> tuple[Part, Tank]:
    """Return a part and a tank with six fittings put round a place for it, clear of it and over it."""
    random = np.random.default_rng(seed)
    solid = shape(("bumpy", "frame", "ell", "trough", "yoke")[seed % 5], random)
    clear = random.uniform(0.0, 15.0)
    there = solid.vertices_mm @ turn(random).T
    size = np.ptp(there, axis=0) * random.uniform(1.05, 1.4, 3) + 2.0 * clear + 40.0
    low = np.full(3, clear + 1.0)
    high = size - np.ptp(there, axis=0) - [clear + 1.0, clear + 1.0, 31.0]
    there = there - there.min(axis=0) + random.uniform(low, high)
    surface, still = Surface.of(there, solid.triangles), Pose("tank", "part", np.eye(3), np.zeros(3))
    things: dict[str, Solid] = {}
    for attempt in range(2_000):
        if len(things) == 6:
            break
        extent = size * random.uniform(0.05, 0.6 if attempt < 600 else 0.2, 3)
        thing = box(extent, random.uniform(0.0, size - extent))
        apart = all(
            (thing.vertices_mm.min(axis=0) >= other.vertices_mm.max(axis=0)).any()
            or (thing.vertices_mm.max(axis=0) <= other.vertices_mm.min(axis=0)).any()
            for other in things.values()
        )
        # Clear of the part on its way up, too.
        above = swept_down(thing, 2.0 * float(size[2]))
        gap = gap_mm(surface, Surface.of(above.vertices_mm, above.triangles), still) if apart else 0.0
        if gap > clear + random.uniform(0.5, tight_mm):
            things[f"fitting {len(things) + 1}"] = thing
    return part_of(solid), tank_of(box(size), Rules(clear, clear, 10.0, 20.0), **things)


def round_a_post(seed: int) -> tuple[Part, Tank]:
    """Return a frame that nearly fills its tank, and a post too large for its window."""
    random = np.random.default_rng(seed)
    x, y, z = random.uniform((800.0, 600.0, 300.0), (2000.0, 1500.0, 800.0))
    wall, slack, over = random.uniform(0.1, 0.25) * y, random.uniform(0.01, 0.06), random.uniform(1.02, 1.15)
    length, width, height = x * (1.0 - slack), y * (1.0 - slack), z * random.uniform(0.3, 0.9)
    hole = box((length - 2 * wall, width - 2 * wall, height + 2.0), (wall, wall, -1.0))
    frame = solid_of(manifold_of(box((length, width, height))) - manifold_of(hole), "frame")
    long, wide = (length - 2 * wall) * over, (width - 2 * wall) * random.uniform(0.3, 0.9)
    post = box((long, wide, z), ((x - long) / 2.0, (y - wide) / 2.0, 0.0))
    return part_of(frame), tank_of(box((x, y, z)), None, post=post)


def beside_a_block(seed: int) -> tuple[Part, Tank]:
    """Return a box that lacks 1 % for the box that a block of full height leaves of its tank."""
    random = np.random.default_rng(seed)
    x, y, z = random.uniform(400.0, 1500.0, 3)
    sides = random.uniform(200.0, 1000.0, 3)
    rest, free = envelope_of(tank_of(box((x, y, z)))), np.pi / 2.0
    turns = Allowed(np.array([-free, 0.0, -2 * free]), np.array([free, free, 2 * free]))
    low, high = 0.1, 8.0
    for _ in range(16):
        middle = (low + high) / 2.0
        points = ActivePoints(box(sides * middle).vertices_mm)
        tau = Search(points, rest, np.ones(6)).least(turns, Budget(gap_mm=0.2, most_cells=20_000)).tau_mm
        low, high = (middle, high) if tau <= 0.0 else (low, middle)
    block = box((300.0, y, z), (x, 0.0, 0.0))
    return part_of(box(sides * high * 1.01)), tank_of(box((x + 300.0, y, z)), None, block=block)


def tall_ell() -> tuple[Part, Tank]:
    """Return an L-shaped part too tall by 0.3 in, of 50 in length, for the place over a block."""
    inch = MM_PER_INCH
    foot = box((8 * inch, 14 * inch, 20.3 * inch), (42 * inch, 0, -8 * inch))
    part = union(box((50 * inch, 14 * inch, 12.3 * inch)), foot)
    block = box((30 * inch, 20 * inch, 12 * inch))
    return part_of(part), tank_of(box((60 * inch, 20 * inch, 24 * inch)), None, block=block)


def timed(part: Part, tank: Tank) -> tuple[str, float, str]:
    """Return the verdict, the seconds, and how it gets in."""
    start = time.process_time()
    answer = dip(part, tank, with_cures=False)
    seconds = time.process_time() - start
    way = getattr(answer, "way_in", None)
    return answer.verdict, seconds, answer.reason if way is None else way.kind


def main() -> None:
    """Print every case, and the bars."""
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 10
    timed(*tall_ell())  # compiled once, untimed
    took = []
    for seed in range(cases):
        part, tank = placed(seed)
        verdict, seconds, way = timed(part, tank)
        took.append(seconds if verdict == "fits" else np.inf)
        told = f"{len(part.solid.triangles)} triangles, {len(tank.standing)} fittings"
        print(f"placed {seed}: {told}: {verdict} ({way}), {seconds:.1f} s", flush=True)
    fast = sum(seconds < NEAR_S for seconds in took) / cases
    print(f"under {NEAR_S:g} s: {fast:.0%} (bar 90%); longest {max(took):.1f} s (bar {FAR_S:g} s)")
    for name, made in (("frame round a post", round_a_post), ("box beside a block", beside_a_block)):
        found = [timed(*made(seed)) for seed in range(cases)]
        proven = sum(verdict == "does not fit" for verdict, _, _ in found)
        longest = max(seconds for _, seconds, _ in found)
        print(f"{name}: {proven} of {cases} proven (bar: all), longest {longest:.1f} s", flush=True)
    shop = read_shop(Path(__file__).resolve().parents[1] / "strategies" / "data" / "ways_in.toml")
    for name, part in shop.parts.items():
        verdict, seconds, way = timed(part, shop.tanks[name])
        print(f"way in, {name}: {verdict} ({way}), {seconds:.1f} s", flush=True)
    verdict, seconds, _ = timed(*tall_ell())
    print(f"L-shaped, 0.3 in too tall: {verdict}, {seconds:.1f} s (bar {TALL_S:g} s)")


if __name__ == "__main__":
    main()
