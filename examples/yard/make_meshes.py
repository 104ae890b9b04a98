"""Write the demo yard's two meshes, and the copy of the yard that lies beside this script.

Run it in the repository's folder: `python examples/yard/make_meshes.py`. The yard itself is the package's
own data, `fitcheck/files/demo`, so that `fitcheck demo` has it wherever it is installed. The same bytes
come out every time.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import manifold3d
import numpy as np
from numpy.typing import NDArray

HERE = Path(__file__).resolve().parent
DEMO = HERE.parents[1] / "fitcheck" / "files" / "demo"


def oval(width: float, height: float, flats: int = 72) -> NDArray[np.float64]:
    """Return corners of an ellipse, four of them at the ends of its axes, so that its sizes are exact."""
    turn = 2.0 * np.pi * np.arange(flats) / flats
    return np.column_stack([width / 2.0 * np.cos(turn), height / 2.0 * np.sin(turn)])


def round_hole(diameter: float, flats: int) -> NDArray[np.float64]:
    """Return the corners of flats that have the circle's area."""
    turn = 2.0 * np.pi / flats
    return oval(diameter, diameter, flats) * np.sqrt(turn / np.sin(turn))


def upright(outline: NDArray[np.float64], height: float) -> manifold3d.Manifold:
    """Return an outline in plan pulled up to a height."""
    return manifold3d.CrossSection([outline]).extrude(height)


def mast() -> manifold3d.Manifold:
    """Return the mast section in inches: 292 x 7 1/4 x 4 1/8, wall 1/8, along x, both ends open."""
    length, width, height, wall = 292.0, 7.25, 4.125, 0.125
    outside = upright(oval(width, height), length)
    inside = upright(oval(width - 2.0 * wall, height - 2.0 * wall), length)
    # Up to along x, width to along y, height upright: x, y, z in turn.
    along = np.array([[0.0, 0.0, 1.0, 0.0], [1.0, 0.0, 0.0, width / 2.0], [0.0, 1.0, 0.0, height / 2.0]])
    return (outside - inside).transform(along)


def gooseneck() -> manifold3d.Manifold:
    """Return the gooseneck casting in mm: 180 x 140 x 120, a boss on a foot, in it a blind hole 25 x 80."""
    foot = manifold3d.Manifold.cube((180.0, 140.0, 25.0))
    boss = upright(oval(70.0, 70.0, 36), 120.0).translate((90.0, 70.0, 0.0))
    # A rib to either end of the foot, falling from the boss.
    side = np.array([[10.0, 10.0], [170.0, 10.0], [170.0, 30.0], [110.0, 100.0], [70.0, 100.0], [10.0, 30.0]])
    rib = upright(side, 16.0).rotate((90.0, 0.0, 0.0)).translate((0.0, 78.0, 0.0))
    hole = upright(round_hole(25.0, 72), 90.0).translate((90.0, 70.0, 40.0))
    bolts = [
        upright(round_hole(14.0, 24), 40.0).translate((x, y, -5.0)) for x in (25, 155) for y in (25, 115)
    ]
    body = foot + boss + rib - hole
    for bolt in bolts:
        body -= bolt
    return body


def write(body: manifold3d.Manifold, path: Path, about: str) -> None:
    """Write a body as OBJ, its sizes to the last digit."""
    mesh = body.to_mesh64()
    lines = [f"# {about}"]
    lines += ["v " + " ".join(f"{c:.9g}" for c in corner) for corner in mesh.vert_properties[:, :3].tolist()]
    lines += ["f " + " ".join(str(i + 1) for i in face) for face in mesh.tri_verts.tolist()]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    write(mast(), DEMO / "mast.obj", "Mast section P02, inches")
    write(gooseneck(), DEMO / "gooseneck.obj", "Gooseneck casting P20, mm")
    for file in sorted(DEMO.iterdir()):
        if file.is_file():
            shutil.copyfile(file, HERE / file.name)
