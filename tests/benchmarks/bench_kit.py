"""The chart of a kit of 300 random mesh parts in 6 tanks, cold and again: `python tests/benchmarks/bench_kit.py`.

Bars on two cores: 60 s from cold, 3 s when nothing changed. `--keep FOLDER` writes the kit there and keeps it.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

PARTS, SEED = 300, 20
COLD_S, AGAIN_S = 60.0, 3.0
TANKS = (
    (7300, 400, 600),
    (1800, 760, 1200),
    (7600, 460, 660),
    (1200, 600, 500),
    (3000, 500, 700),
    (2400, 1200, 900),
)


def lump(random: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """Return vertices and triangles of a bumpy, non-convex closed body of 500 to 5000 triangles."""
    rings = int(random.integers(11, 35))
    a, b = random.uniform(3.0, 10.0, 2)
    swell = random.uniform(0.0, 0.2)
    size = (random.uniform(150.0, 1800.0), random.uniform(60.0, 300.0), random.uniform(30.0, 200.0))
    return ring_lump(rings, a, b, swell, size)


def ring_lump(
    rings: int,
    a: float = 9.0,
    b: float = 7.0,
    swell: float = 0.03,
    size: tuple[float, float, float] = (700.0, 280.0, 180.0),
) -> tuple[np.ndarray, np.ndarray]:
    """Return vertices and triangles of a bumpy closed body of 4 * rings * rings triangles."""
    sides = 2 * rings
    lean = np.pi * (np.arange(rings) + 0.5) / rings
    turn = 2.0 * np.pi * np.arange(sides) / sides
    x = np.sin(lean)[:, None] * np.cos(turn)
    y = np.sin(lean)[:, None] * np.sin(turn)
    z = np.broadcast_to(-np.cos(lean)[:, None], x.shape)
    ball = np.stack([x, y, z], axis=-1).reshape(-1, 3)
    bumps = 1.0 + swell * np.sin(a * ball[:, 0]) * np.cos(b * ball[:, 1])
    middle = np.array([[0.0, 0.0, ball[:, 2].min()], [0.0, 0.0, ball[:, 2].max()]])
    vertices = np.concatenate([ball * bumps[:, None], middle]) * np.array(size)
    i, n = np.arange(sides), rings * sides
    j = (i + 1) % sides
    faces = [
        np.column_stack([np.full(sides, n), j, i]),
        np.column_stack([np.full(sides, n + 1), n - sides + i, n - sides + j]),
    ]
    for k in range(rings - 1):
        low, high = k * sides, (k + 1) * sides
        faces += [
            np.column_stack([low + i, low + j, high + j]),
            np.column_stack([low + i, high + j, high + i]),
        ]
    return vertices, np.concatenate(faces)


def write_stl(path: Path, vertices: np.ndarray, triangles: np.ndarray) -> None:
    """Write a binary STL file."""
    rows = np.zeros(len(triangles), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("more", "<u2")])
    rows["corners"] = vertices[triangles]
    path.write_bytes(bytes(80) + np.uint32(len(rows)).tobytes() + rows.tobytes())


def write_kit(folder: Path, parts: int = PARTS) -> Path:
    """Write the meshes and the shop file; return the latter."""
    random = np.random.default_rng(SEED)
    lines = ["[rules]", 'side_clearance = "25 mm"', 'bottom_clearance = "50 mm"', 'cover = "50 mm"']
    lines += ['freeboard = "100 mm"', 'tape_tank = "3 mm"', "[liquids.water]", "specific_gravity = 1.0"]
    for k, size in enumerate(TANKS):
        lines += [f"[tanks.T{k + 1}]", f"inside = {[f'{side} mm' for side in size]}", 'liquid = "water"']
    for k in range(parts):
        write_stl(folder / f"m{k:03}.stl", *lump(random))
        lines += [f"[parts.M{k:03}]", f'mesh = "m{k:03}.stl"', 'unit = "mm"', 'metal = "aluminium"']
    shop = folder / "kit.toml"
    shop.write_text("\n".join(lines) + "\n")
    return shop


def seconds(shop: Path, cache: Path) -> tuple[float, str]:
    """Return how long the chart takes as a user waits for it, and what it prints."""
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "fitcheck", "chart", str(shop), "--json"],
        capture_output=True,
        text=True,
        check=False,
        env=os.environ | {"XDG_CACHE_HOME": str(cache)},
    )
    if done.returncode:
        raise SystemExit(done.stderr)
    return time.perf_counter() - start, done.stdout


def main() -> None:
    """Time and print."""
    with tempfile.TemporaryDirectory() as folder:
        kept = Path(sys.argv[2]) if sys.argv[1:2] == ["--keep"] else Path(folder)
        kept.mkdir(exist_ok=True)
        shop = write_kit(kept)
        cold, first = seconds(shop, Path(folder) / "cache")
        again, second = seconds(shop, Path(folder) / "cache")
    print(f"{PARTS} parts, {len(TANKS)} tanks")
    print(f"cold   {cold:6.2f} s   (bar: {COLD_S:.0f} s on two cores)")
    print(
        f"again  {again:6.2f} s   (bar: {AGAIN_S:.0f} s)   {'the same rows' if first == second else 'OTHER ROWS'}"
    )


if __name__ == "__main__":
    main()
