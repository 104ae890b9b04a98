"""What a part of 20,000 triangles catches: milliseconds an attitude, and seconds for the whole map.

The map is asked with one core and with two; its answers must not differ by a digit.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np
import trimesh

sys.path.insert(0, str(Path(__file__).parents[1]))

from fitcheck.geometry.liquid import attitude_map as ways_up
from fitcheck.geometry.liquid.attitude_map import caught_l, every_way_rad, steps_rad
from fitcheck.geometry.liquid.pockets import Vessel
from fitcheck.geometry.rotations.rotation_cells import rotations
from fitcheck.things.part import Attitude
from fitcheck.things.solid import Solid

ALONG, ACROSS = 101, 51


def bumpy() -> Solid:
    """Return a bumpy ellipsoid of 20,480 triangles."""
    ball = trimesh.creation.icosphere(subdivisions=5)
    bumps = 1.0 + 0.03 * np.sin(9.0 * ball.vertices[:, :1]) * np.cos(7.0 * ball.vertices[:, 1:2])
    return Solid(ball.vertices * bumps * np.array([900.0, 320.0, 200.0]), ball.faces)


def dished() -> Solid:
    """Return a dished and dented plate of 20,600 triangles, 8 mm thick."""
    u, v = (axis.ravel() for axis in np.meshgrid(np.linspace(-1, 1, ALONG), np.linspace(-1, 1, ACROSS)))
    faces = []
    for side in (4.0, -4.0):
        z = 120.0 * (u**2 + v**2) + 15.0 * np.sin(7.0 * u) * np.sin(5.0 * v) + side
        faces.append(np.stack([850.0 * u, 420.0 * v, z], axis=1))
    place = np.arange(ALONG * ACROSS).reshape(ACROSS, ALONG)
    a, b, c, d = (
        corner.ravel() for corner in (place[:-1, :-1], place[:-1, 1:], place[1:, 1:], place[1:, :-1])
    )
    top = np.vstack([np.stack([a, b, c], axis=1), np.stack([a, c, d], axis=1)])
    under = top[:, ::-1] + place.size
    ring = np.concatenate([place[0, :-1], place[:-1, -1], place[-1, :0:-1], place[:0:-1, 0]])
    on = np.roll(ring, -1)
    edge = np.vstack(
        [
            np.stack([ring, ring + place.size, on], axis=1),
            np.stack([on, ring + place.size, on + place.size], axis=1),
        ]
    )
    return Solid(np.vstack(faces), np.vstack([top, under, edge]))


def main() -> None:
    """Print the table."""
    for name, solid in (("bumpy ellipsoid", bumpy()), ("dished plate", dished())):
        start = time.perf_counter()
        vessel = Vessel(solid)
        made = time.perf_counter() - start
        turns = rotations(np.random.default_rng(0).uniform(-1.5, 1.5, (40, 3)))
        vessel.air_mm3(turns[:1])
        start = time.perf_counter()
        vessel.air_mm3(turns)
        each = (time.perf_counter() - start) / len(turns)
        triangles = len(solid.triangles)
        print(
            f"{name}: {triangles} triangles; made ready in {made * 1e3:.0f} ms; {each * 1e3:.1f} ms an attitude on one "
            f"core, {each / triangles * 1e9:.0f} ns a triangle"
        )
        ways = every_way_rad(*steps_rad(Attitude(), vessel))
        answers = []
        for cores in (1, 2):
            ways_up.CORES = cores
            start = time.perf_counter()
            answers.append(caught_l(vessel, ways))
            seconds = time.perf_counter() - start
            print(
                f"  map of {ways.shape[0] * ways.shape[1]} attitudes, air and liquid, {cores} core(s): {seconds:.1f} s; "
                f"most air {answers[-1][..., 0].max():.3f} L"
            )
        print(f"  the same to the last digit: {bool((answers[0] == answers[1]).all())}")


if __name__ == "__main__":
    main()
