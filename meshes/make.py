"""Write the sample meshes that are our own: a bracket in every format that is read, and an open sheet.

Run in this folder's parent: `python meshes/make.py`. The same bytes come out every time. bracket.step is not
among them; SOURCES.md says how it was made.
"""

from __future__ import annotations

import re
import zipfile
from io import BytesIO
from pathlib import Path

import numpy as np
import trimesh

from fitcheck.shapes.angle import angle
from fitcheck.shapes.holes import Hole, drilled
from fitcheck.things.solid import Solid
from fitcheck.words.units import MM_PER_METRE

HERE = Path(__file__).parent


def bracket() -> Solid:
    """Return an angle bracket, 120 x 60 x 40 mm and 5 mm thick, with a 12 mm hole in each leg."""
    shape = angle((120.0, 60.0, 40.0), 5.0)
    for hole in (Hole((90.0, 35.0, 0.0), "z", 12.0), Hole((30.0, 0.0, 22.0), "y", 12.0)):
        shape = drilled(shape, hole)
    return shape.solid


def write_bracket() -> None:
    """Write bracket.stl, .obj, .ply and .3mf in mm, and .glb in metres and y up, as its standard says."""
    solid = bracket()
    mesh = trimesh.Trimesh(solid.vertices_mm, solid.triangles, process=False)
    for kind in ("stl", "obj", "ply"):
        mesh.export(HERE / f"bracket.{kind}")
    (HERE / "bracket.3mf").write_bytes(_without_chance(mesh.export(file_type="3mf")))
    x, y, z = solid.vertices_mm.T / MM_PER_METRE
    upright = trimesh.Trimesh(np.column_stack([x, z, -y]), solid.triangles, process=False)
    upright.export(HERE / "bracket.glb")


def _without_chance(archive: bytes) -> bytes:
    """Return the 3MF archive without the random numbers that the writer gives its objects."""
    out = BytesIO()
    with zipfile.ZipFile(BytesIO(archive)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in sorted(old.namelist()):
            text = re.sub(rb' p:UUID="[^"]*"', b"", old.read(name))
            new.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), text)
    return out.getvalue()


def write_cowl() -> None:
    """Write cowl.obj in mm: half of a cylinder, 160 mm wide and 400 mm long, an open surface."""
    turn = np.linspace(0.0, np.pi, 37)
    rows = [[(x, 80.0 - 80.0 * np.cos(t), 80.0 * np.sin(t)) for t in turn] for x in (0.0, 200.0, 400.0)]
    points = np.array(rows).reshape(-1, 3)
    lines = ["# Half of a cylinder, 160 mm wide, 400 mm long, mm; an open surface"]
    lines += [f"v {x:.6f} {y:.6f} {z:.6f}" for x, y, z in points]
    for row in range(2):
        for k in range(36):
            a = row * 37 + k + 1
            lines.append(f"f {a} {a + 37} {a + 38} {a + 1}")
    (HERE / "cowl.obj").write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    write_bracket()
    write_cowl()
