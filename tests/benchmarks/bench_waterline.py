"""Volume under 1,000 levels of 20,000 triangles: the waterline against trimming at each level.

Run `python tests/benchmarks/bench_waterline.py`. It prints both CPU times, their ratio, and how far the volumes
differ, as a share of the whole. The waterline's time has its building in it.
"""

from __future__ import annotations

import sys
from time import process_time

import manifold3d
import numpy as np
import trimesh

from fitcheck.geometry.liquid.waterline import Waterline
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.solid import Floats, Indices

LEVELS = 1000


def bumpy_body() -> tuple[Floats, Indices]:
    """Return a tilted, lumpy body of 3 m x 0.6 m x 0.4 m: 20,480 triangles."""
    mesh = trimesh.creation.icosphere(subdivisions=5, radius=1.0)
    vertices = np.array(mesh.vertices)
    swell = 1.0 + 0.05 * np.sin(9.0 * vertices[:, 0]) * np.cos(7.0 * vertices[:, 1])
    vertices *= swell[:, None] * [1500.0, 300.0, 200.0]
    turned = vertices @ rotation_from(Angles(0.3, 0.5, 0.2)).T + [2000.0, 400.0, 600.0]
    return turned, np.array(mesh.faces, dtype=np.int64)


def main() -> None:
    """Time both and print."""
    vertices, triangles = bumpy_body()
    levels = np.linspace(vertices[:, 2].min(), vertices[:, 2].max(), LEVELS)

    start = process_time()
    line = Waterline.of(vertices, triangles)
    volumes = line.volume_below_mm3(levels)
    ours = process_time() - start

    start = process_time()
    body = manifold3d.Manifold(manifold3d.Mesh64(vertices, triangles.astype(np.uint64)))
    trimmed = [body.trim_by_plane((0.0, 0.0, -1.0), -level).volume() for level in levels]
    theirs = process_time() - start

    apart = float(np.abs(volumes - trimmed).max()) / line.volume_mm3
    sys.stdout.write(
        f"{len(triangles)} triangles, {LEVELS} levels\n"
        f"waterline (built and asked)   {1e3 * ours:10.1f} ms\n"
        f"trimming with manifold3d      {1e3 * theirs:10.1f} ms\n"
        f"ratio                         {theirs / ours:10.0f}   (bar: 50)\n"
        f"largest difference of volumes {apart:10.1e}   of the whole (bar: 1e-9)\n"
    )


if __name__ == "__main__":
    main()
