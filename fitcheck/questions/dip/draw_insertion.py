"""The way in as a row of small flat views: where a part that cannot be let straight down is moved in turn."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.draw.captions import attitude_words
from fitcheck.draw.flat import WALL_PT, Frame, bare_view
from fitcheck.draw.ink import Label, Mark, Marks, text_size, wrapped
from fitcheck.draw.outline import END, SIDE, View
from fitcheck.draw.posed_part import hung
from fitcheck.draw.scene import Scene
from fitcheck.things.fill import Fill
from fitcheck.things.part import Part
from fitcheck.things.pockets import Held
from fitcheck.things.pose import Pose
from fitcheck.things.tank import Tank

# More views than this in a row are too small to be told apart.
MOST_DRAWN = 6
_AIR_PT, _NUMBER_PT, _WORDS_PT = 8.0, 12.0, 9.0


@dataclass(frozen=True, slots=True, eq=False)
class WaySketch:
    """A part at each of its key poses, from over the rim to where it hangs, numbered from 1."""

    part: Part
    tank: Tank
    fill: Fill
    poses: tuple[Pose, ...]

    def marks(self, width_pt: float, height_pt: float) -> Marks:
        """Return the views in a box of that size, all to one scale."""
        scenes = [self._scene(pose) for pose in self.poses]
        view = _view(scenes)
        points = np.vstack([self.tank.inside.vertices_mm, *(scene.part.vertices_mm for scene in scenes)])
        seen = view.seen(points)[:, :2]
        (left, low), (right, high) = seen.min(axis=0).tolist(), seen.max(axis=0).tolist()
        step = width_pt / len(scenes)
        wide = step - _AIR_PT
        words = [wrapped(attitude_words(pose.angles), wide, _WORDS_PT) for pose in self.poses]
        under = 1.3 * _NUMBER_PT + max(text_size(each, _WORDS_PT)[1] for each in words)
        room = wide - 2.0 * WALL_PT, height_pt - under - 2.0 * WALL_PT
        scale = min(room[0] / (right - left), room[1] / (high - low))
        floor = under + WALL_PT - scale * low
        marks: list[Mark] = []
        for k, scene in enumerate(scenes):
            middle = step * k + wide / 2.0
            frame = Frame(view, middle - scale * (left + right) / 2.0, floor, scale)
            marks += [*bare_view(scene, frame), *_named(k, words[k], middle, under)]
        return tuple(marks)

    def _scene(self, pose: Pose) -> Scene:
        here = hung(self.part, pose, Held(()))
        return Scene(here.part, here.pose, here.ends_mm, (), self.tank, self.fill)


def _view(scenes: list[Scene]) -> View:
    """Return the view in which more of the moving is seen: that of the tank's length, or of its width."""
    ends = np.array([scene.part.vertices_mm.mean(axis=0) for scene in scenes])
    reach = np.array([np.ptp(scene.part.vertices_mm, axis=0) for scene in scenes])
    moved = np.abs(np.diff(ends, axis=0)).sum(axis=0) + np.abs(np.diff(reach, axis=0)).sum(axis=0)
    return SIDE if moved[0] >= moved[1] else END


def _named(k: int, words: str, middle: float, high: float) -> Marks:
    """Return the number of a view and how the part hangs in it, from `high` down."""
    number = Label(str(k + 1), (middle, high - _NUMBER_PT / 2.0), _NUMBER_PT, bold=True)
    top = high - 1.2 * _NUMBER_PT
    return (number, Label(words, (middle, top - text_size(words, _WORDS_PT)[1] / 2.0), _WORDS_PT))


def drawn_poses(poses: tuple[Pose, ...]) -> tuple[Pose, ...]:
    """Return so many of the poses as can be drawn, the first and the last among them."""
    if len(poses) <= MOST_DRAWN:
        return poses
    return tuple(poses[k] for k in np.rint(np.linspace(0, len(poses) - 1, MOST_DRAWN)).astype(int).tolist())
