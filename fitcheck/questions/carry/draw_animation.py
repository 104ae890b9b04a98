"""The way of a part as one SVG file that moves by itself in a browser, without a script."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.ink import Box, Label, Marks, Stroke
from fitcheck.draw.svg import svg
from fitcheck.files.written import write_text
from fitcheck.questions.carry.answer import CarryAnswer, KeyPose
from fitcheck.questions.carry.draw import Plan, ground_marks, outlines_of
from fitcheck.things.route import Route
from fitcheck.things.solid import Floats
from fitcheck.words.units import RAD_PER_DEGREE, read_angle, read_length, show_angle

SIZE_PT = (760.0, 620.0)
# How fast it is shown: each second, and how long it rests at the ends and takes to be tipped.
MOVES_MM, TURNS_RAD = read_length("600 mm"), read_angle("40 deg")
RESTS_S, TIPS_S, LEAST_S = 1.0, 1.0, 0.04


def write_animation(answer: CarryAnswer, route: Route, path: Path) -> None:
    """Write the way to `path`, an .svg file; the answer must have one."""
    title = f"{answer.part} by {answer.route}"
    plan = Plan.of(route, Box(30.0, 50.0, SIZE_PT[0] - 30.0, SIZE_PT[1] - 60.0))
    still: Marks = (
        Label(title, (30.0, SIZE_PT[1] - 28.0), 16.0, True, ink.INK, "left"),
        *ground_marks(route, plan),
        Stroke((plan.placed(np.array([step.at_mm for step in answer.path])),), ink.SURFACE, 1.2, True),
        Label("Walk it first with a light dummy.", (30.0, 26.0), 11.0, colour=ink.FAINT, align="left"),
    )
    drawn = svg(still, SIZE_PT, title)
    write_text(path, drawn.removesuffix("</svg>") + _moving(answer, plan) + "</svg>\n")


def _moving(answer: CarryAnswer, plan: Plan) -> str:
    """Return the part, moved and turned over time, with its outline at each tilt while it has that tilt."""
    times = _times(answer.path)
    whole = float(times[-1])
    swings = np.unwrap([step.swing_rad for step in answer.path]) / RAD_PER_DEGREE
    points = plan.placed(np.array([step.at_mm for step in answer.path]))
    shares = ";".join(f"{share:.5f}" for share in (0.0, *(times / whole)))
    clock = f'keyTimes="{shares}" dur="{whole:.2f}s" repeatCount="indefinite"'
    places = _held([f"{x:.2f} {SIZE_PT[1] - y:.2f}" for x, y in points.tolist()])
    turns = _held([f"{-angle:.3f}" for angle in swings.tolist()])
    shapes = "".join(
        _shape(answer, plan, tilt, clock) for tilt in sorted({step.tilt_rad for step in answer.path})
    )
    return (
        f'<g><animateTransform attributeName="transform" type="translate" values="{places}" {clock}/>'
        f'<g><animateTransform attributeName="transform" type="rotate" values="{turns}" {clock}/>'
        f"{shapes}</g></g>"
    )


def _shape(answer: CarryAnswer, plan: Plan, tilt_rad: float, clock: str) -> str:
    rings = outlines_of(answer, KeyPose((0.0, 0.0), 0.0, tilt_rad))
    path = "".join(
        "M" + " ".join(f"{x:.2f} {-y:.2f}" for x, y in (ring * plan.scale).tolist()) + "Z" for ring in rings
    )
    seen = _held(["1" if step.tilt_rad == tilt_rad else "0" for step in answer.path])
    name = f"<title>tipped {show_angle(tilt_rad)}</title>" if tilt_rad else ""
    return (
        f'<path d="{path}" fill="{ink.METAL}" fill-opacity="0.75" stroke="{ink.INK}" stroke-width="1.1">'
        f'{name}<animate attributeName="opacity" calcMode="discrete" values="{seen}" {clock}/></path>'
    )


def _times(path: tuple[KeyPose, ...]) -> Floats:
    """Return when each pose is reached, after the rest at the start, and last when it has rested there."""
    took = [
        max(
            math.dist(one.at_mm, other.at_mm) / MOVES_MM,
            abs(math.remainder(other.swing_rad - one.swing_rad, 2.0 * math.pi)) / TURNS_RAD,
            TIPS_S if one.tilt_rad != other.tilt_rad else LEAST_S,
        )
        for one, other in itertools.pairwise(path)
    ]
    return np.cumsum([RESTS_S, *took, RESTS_S])


def _held(values: list[str]) -> str:
    """Return values at all times of the clock: those at the start and at the end are held for the rests."""
    return ";".join([values[0], *values, values[-1]])
