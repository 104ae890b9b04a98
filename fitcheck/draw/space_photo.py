"""Photographs of the view in space, in a child process, while the flat views are drawn."""

from __future__ import annotations

import math
import subprocess
import sys
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from fitcheck.draw import space
from fitcheck.draw.posed_part import Hung
from fitcheck.draw.scene import Scene, Shell, cut_shell, joined, liquid_shell, part_shells
from fitcheck.draw.space import Camera, SpaceScene
from fitcheck.things.solid import Floats, Solid
from fitcheck.things.tank import Tank

PROGRAM = Path(space.__file__)
HOW_TO_DRAW_IN_SPACE = (
    "the picture has a view from above instead of the view in space: there is no working OpenGL here; on "
    "Debian or Ubuntu "
    "`apt-get install libegl1 libgl1-mesa-dri` brings one"
)
# A photograph takes about a second and a half; a machine that needs this long has no use of one.
LONGEST_S = 30.0
_ELEVATION_RAD = math.radians(24.0)
_AZIMUTHS_RAD = tuple(math.radians(angle) for angle in range(30, 66, 5))
# A tank of which less than this share is needed to show the part is cut short in the view in space.
_CUT_SHORT = 0.6
# Of two faces in one place none is in front: a pocket is drawn this much smaller than the space it fills.
_SHRUNK = 0.995


def space_scene(scene: Scene, aspect: float, *, whole: bool = False) -> SpaceScene:
    """Return the scene in space, seen so that it fills a picture `aspect` times as wide as high.

    Of a tank much longer than what is in it only the stretch around the part is shown, cut at both ends,
    unless `whole`.
    """
    stretch, cut_short = stretch_of(scene.part, scene.tank, 0.0 if whole else _CUT_SHORT)
    kept, past = part_shells(scene)
    standing = [cut_shell(thing.solid, stretch) for thing in scene.tank.standing]
    shells: list[tuple[str, Shell | None]] = [
        ("tank", cut_shell(scene.tank.inside, stretch)),
        ("liquid", liquid_shell(scene, stretch)),
        # A pocket is inside the metal: it shows only through it.
        ("through" if scene.pockets else "part", kept),
        ("air", joined([_shrunk(shape.solid) for shape in scene.pockets])),
        ("past", past),
        ("standing", joined([shell for shell in standing if shell])),
    ]
    meshes = tuple((name, shell.vertices_mm, shell.triangles) for name, shell in shells if shell)
    points = np.vstack([vertices for _, vertices, _ in meshes])
    return SpaceScene(meshes, camera_for(points, aspect), cut_short)


def in_space_side_by_side(parts: Sequence[Hung], aspect: float) -> SpaceScene:
    """Return parts with their pockets in space, from left to right in one picture.

    Each is seen as `space_scene` would show it, without a tank, in a stretch of the picture `aspect` times
    as wide as high. All are the same part, hung the same way.
    """
    camera = camera_for(parts[0].part.vertices_mm, aspect)
    right, _ = view_axes((camera.eye_mm - camera.focus_mm) / np.linalg.norm(camera.eye_mm - camera.focus_mm))
    step = 2.0 * camera.half_height_mm * aspect * right
    shells: dict[str, list[Shell]] = {name: [] for name in ("part", "through", "air", "caught")}
    for k, here in enumerate(parts):
        aside = (k - (len(parts) - 1) / 2.0) * step
        shells["through" if here.pockets else "part"].append(_aside(here.part, aside))
        for shape in here.pockets:
            shells["air" if shape.pocket.kind == "air" else "caught"].append(
                _aside(_shrunk(shape.solid), aside)
            )
    whole = ((name, joined(some)) for name, some in shells.items())
    return SpaceScene(tuple((n, s.vertices_mm, s.triangles) for n, s in whole if s), camera)


def _shrunk(pocket: Solid) -> Shell:
    """Return a pocket a little smaller, so that its faces do not lie in the metal's."""
    points = pocket.vertices_mm
    middle = (points.min(axis=0) + points.max(axis=0)) / 2.0
    return Shell(middle + _SHRUNK * (points - middle), pocket.triangles)


def _aside(shape: Solid | Shell, shift_mm: Floats) -> Shell:
    return Shell(shape.vertices_mm + shift_mm, shape.triangles)


def stretch_of(part: Solid, tank: Tank, cut_under: float = _CUT_SHORT) -> tuple[tuple[float, float], bool]:
    """Return the stretch of the tank's length to show, and whether that is less than all of it."""
    x = part.vertices_mm[:, 0]
    inside = tank.inside.vertices_mm[:, 0]
    spare = 0.35 * max(float(np.ptp(x)), tank.size_mm[1], tank.size_mm[2])
    low, high = float(x.min()) - spare, float(x.max()) + spare
    if high - low > cut_under * float(np.ptp(inside)):
        return (float(inside.min()), float(inside.max())), False
    return (max(low, float(inside.min())), min(high, float(inside.max()))), True


def camera_for(points: Floats, aspect: float) -> Camera:
    """Return the camera, over the low-y side and the high-x end, that shows all points the largest."""
    return min(
        (_camera(points, azimuth, aspect) for azimuth in _AZIMUTHS_RAD), key=lambda c: c.half_height_mm
    )


def _camera(points: Floats, azimuth: float, aspect: float) -> Camera:
    level = math.cos(_ELEVATION_RAD)
    eye = np.array([level * math.cos(azimuth), -level * math.sin(azimuth), math.sin(_ELEVATION_RAD)])
    right, up = view_axes(eye)
    flat = points @ np.column_stack([right, up])
    low, high = flat.min(axis=0), flat.max(axis=0)
    middle = (low + high) / 2.0
    width, height = (float(v) for v in high - low)
    focus = right * middle[0] + up * middle[1] + eye * float((points @ eye).mean())
    reach = float(np.linalg.norm(np.ptp(points, axis=0)))
    return Camera(focus + 4.0 * reach * eye, focus, 0.515 * max(height, width / aspect))


def view_axes(eye: Floats) -> tuple[Floats, Floats]:
    """Return the picture's own right and up, as unit vectors, for a look back from `eye`."""
    x, y, z = (float(v) for v in eye)
    level = math.hypot(x, y)
    # The products of upright with `eye`, and of `eye` with that.
    right = np.array([-y, x, 0.0]) / level
    return right, np.array([-z * x, -z * y, level * level]) / level


class Photographer:
    """A child process that takes one photograph: started early, because it takes long to get ready.

    Use it in a `with` block, at the end of which the child has ended.
    """

    def __init__(self) -> None:
        self._child = subprocess.Popen(  # noqa: S603  (our own file, run by the Python that runs us)
            [sys.executable, "-P", str(PROGRAM), "photograph"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        self._pool = ThreadPoolExecutor(1)

    def __enter__(self) -> Photographer:
        return self

    def __exit__(self, *raised: object) -> None:
        if self._child.poll() is None:
            self._child.kill()
        self._pool.shutdown()
        self._child.communicate()

    def take(self, scene: SpaceScene, size: tuple[int, int]) -> Callable[[], NDArray[np.uint8] | None]:
        """Send the scene; calling what comes back waits for the photograph (height, width, 3), or None."""
        return self._pool.submit(_talk, self._child, scene, size).result


def _talk(
    child: subprocess.Popen[bytes], scene: SpaceScene, size: tuple[int, int]
) -> NDArray[np.uint8] | None:
    """Return the child's photograph, or None where it died, dawdled, or drew nothing."""
    try:
        said, _ = child.communicate(space.packed(scene, size), timeout=LONGEST_S)
    except subprocess.TimeoutExpired:
        return None
    width, height = size
    if child.returncode != 0 or len(said) != height * width * 3:
        return None
    pixels = np.frombuffer(said, dtype=np.uint8).reshape(height, width, 3)
    # A driver that does not work may also give one flat colour instead of ending the process.
    return pixels if pixels.std() > 1.0 else None
