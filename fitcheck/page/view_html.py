"""One file for a browser, offline: the part in the tank, to turn about, with a slider that lets it down."""

from __future__ import annotations

import base64
import html
import importlib.util
import json
from pathlib import Path

import numpy as np

from fitcheck.draw.captions import STANDING_CAUTION, pose_words
from fitcheck.draw.outline import body_of
from fitcheck.draw.scene import Scene
from fitcheck.draw.space import LOOKS
from fitcheck.draw.space_photo import space_scene
from fitcheck.questions.dip.answer import DipAnswer
from fitcheck.questions.dip.draw_scene import scene_of
from fitcheck.questions.dip.lowering import lowering
from fitcheck.questions.hang.answer import HangAnswer
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.shop import Show
from fitcheck.things.solid import Floats, Indices
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import show_length, show_volume

TEMPLATE = Path(__file__).with_name("view.html")
# What goes up and down with the part.
_PART = ("part", "through", "past", "air")
# More triangles than this make a phone slow and the file large (12 bytes a corner, 4/3 of that as text).
MOST_TRIANGLES = 60_000


def view_html(answer: DipAnswer, part: Part, tank: Tank, show: Show, slung: HangAnswer | None = None) -> str:
    """Return the page of an answer: the part as advised, or at its nearest where it does not go under.

    slung: how it hangs there, for slings to be drawn. Raises `Refused` for a mesh too large for a phone.
    """
    if len(part.solid.triangles) > MOST_TRIANGLES:
        raise Refused(
            f"{part.name} has {len(part.solid.triangles)} triangles: too many for a page on a phone",
            f"use a coarser mesh, of at most {MOST_TRIANGLES}",
        )
    scene, corners = scene_of(answer, part, tank), tank.inside.vertices_mm
    content = {
        "meshes": [
            {"name": name, "moves": name in _PART, **_looks(name), **_packed(vertices, triangles)}
            for name, vertices, triangles in space_scene(scene, 1.5, whole=True).meshes
            if name != "liquid"
        ],
        "tank": {"low": _list(corners.min(axis=0)), "high": _list(corners.max(axis=0))},
        "slings": _slings(slung, scene.pose),
        **_let_down(scene, part, show),
    }
    title = f"{answer.part} in {answer.tank}: {answer.verdict}"
    fields = {
        "TITLE": html.escape(title),
        "WORDS": html.escape(pose_words(scene.pose)),
        "CAUTION": html.escape(STANDING_CAUTION),
        # "</" would end the script that holds the text.
        "CONTENT": json.dumps(content, separators=(",", ":")).replace("</", "<\\/"),
        "DRAWN_BY": _library(),
    }
    text = TEMPLATE.read_text(encoding="utf-8")
    for name, value in fields.items():
        text = text.replace(f"@@{name}@@", value)
    return text


def _library() -> str:
    """Return the script that draws in space, three.js (MIT), from the web library that carries it."""
    found = importlib.util.find_spec("nicegui")
    if found is None or found.origin is None:
        raise Refused("the library nicegui is not installed", "pip install nicegui")
    script = Path(found.origin).with_name("elements") / "scene" / "dist" / "index.js"
    return script.read_text(encoding="utf-8").replace("</script", "<\\/script")


def _let_down(scene: Scene, part: Part, show: Show) -> dict[str, object]:
    """Return how high the part is and where the surface stands, step by step, with the words for each."""
    if scene.fill is None:
        return {"steps": []}
    air_l = sum(shape.pocket.volume_l for shape in scene.pockets)
    steps = lowering(part, scene.pose, scene.tank, scene.fill.liquid_l, air_l)
    depth = scene.tank.depth_mm
    inside = scene.tank.inside
    body = body_of(inside.vertices_mm, inside.triangles, inside.source)
    return {
        "liquid": show_volume(scene.fill.liquid_l, show),
        "inside": _packed(inside.vertices_mm, inside.triangles),
        "steps": [
            {
                "raised": round(step.raised_mm, 3),
                "level": round(step.level_mm, 3),
                "surface": [ring.round(2).tolist() for ring in body.slice(step.level_mm).to_polygons()],
                "words": f"surface {show_length(depth - step.level_mm, show)} down from the rim",
            }
            for step in steps
        ],
    }


def _slings(slung: HangAnswer | None, pose: Pose) -> list[list[float]]:
    """Return the pick of each leg and the hook over them, in turn, with the part hung at `pose`."""
    if slung is None:
        return []
    here = pose.shift_mm - slung.pose.shift_mm
    picks = slung.pose.apply(np.array([leg.pick_mm for leg in slung.legs])) + here
    hook = np.array(slung.hook_at_mm) + here
    return [[*_list(pick), *_list(hook)] for pick in picks]


def _looks(name: str) -> dict[str, object]:
    look = LOOKS[name]
    return {"colour": look.colour, "opacity": look.opacity, "edges": look.edges}


def _packed(vertices: Floats, triangles: Indices) -> dict[str, str]:
    """Return a mesh as text: 32-bit numbers, base64."""
    points = np.ascontiguousarray(vertices, dtype="<f4").tobytes()
    corners = np.ascontiguousarray(triangles, dtype="<u4").tobytes()
    return {
        "points": base64.b64encode(points).decode("ascii"),
        "corners": base64.b64encode(corners).decode("ascii"),
    }


def _list(point: Floats) -> list[float]:
    return [round(float(v), 3) for v in point]
