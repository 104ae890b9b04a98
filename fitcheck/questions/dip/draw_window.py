"""The answer in a window that can be turned: the same scene in space as in the picture."""

from __future__ import annotations

import os
import subprocess
import sys

from fitcheck.draw import space
from fitcheck.draw.captions import pose_words
from fitcheck.draw.space_photo import PROGRAM, space_scene
from fitcheck.questions.dip.answer import DipAnswer
from fitcheck.questions.dip.draw_scene import scene_of
from fitcheck.things.part import Part
from fitcheck.things.shop import Show
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import show_length

_SIZE = (1280, 860)
_CURE = "draw a picture instead: fitcheck dip SHOP PART TANK --picture FILE.png"


def view_dip(answer: DipAnswer, part: Part, tank: Tank, show: Show) -> None:
    """Open a window with the part as advised (or at its nearest), and wait until it is closed.

    Raises `Refused` where there is no screen, or where the window cannot be opened.
    """
    if sys.platform.startswith("linux") and not (
        os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")
    ):
        raise Refused("there is no screen here to open a window on", _CURE)
    scene = scene_of(answer, part, tank)
    words = [f"{answer.part} in {answer.tank}: {answer.verdict}", pose_words(scene.pose)]
    if scene.fill is not None:
        words.append(f"fill line {show_length(scene.fill.from_rim_mm, show)} down from the rim")
    content = space.packed(space_scene(scene, _SIZE[0] / _SIZE[1], whole=True), _SIZE, "\n".join(words))
    # In a child process: without working OpenGL the library ends the whole process.
    done = subprocess.run(  # noqa: S603  (our own file, run by the Python that runs us)
        [sys.executable, "-P", str(PROGRAM), "window"],
        input=content,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        check=False,
    )
    if done.returncode != 0:
        raise Refused("the window could not be opened: this screen has no working OpenGL", _CURE)
