"""What stands in a tank or juts into it, read from the shop file: faults that name it, and steps in the floor."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from strategies.solids import box, joined

from fitcheck.files.shop_file import read_shop
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.fill.ask import fill
from fitcheck.shapes.manifold import manifold_of, solid_of
from fitcheck.things.shop import Shop
from fitcheck.things.solid import Solid
from fitcheck.words.errors import InputFault

HEAD = '[liquids.water]\nspecific_gravity = 1.0\n[tanks.T]\nliquid = "water"\n'
BOX = HEAD + 'inside = ["1000 mm", "500 mm", "400 mm"]\n'
MESH = HEAD + 'mesh = "tank.obj"\nunit = "mm"\n'
PART = '[parts.P]\nshape = "block"\nsize = ["500 mm", "300 mm", "150 mm"]\nmetal = "steel"\n'


def written(folder: Path, text: str) -> Shop:
    (folder / "shop.toml").write_text(text, encoding="utf-8")
    return read_shop(folder / "shop.toml")


def mesh(folder: Path, vertices: np.ndarray, triangles: np.ndarray) -> None:
    lines = [f"v {x} {y} {z}" for x, y, z in vertices] + [f"f {a} {b} {c}" for a, b, c in triangles + 1]
    (folder / "tank.obj").write_text("\n".join(lines) + "\n", encoding="utf-8")


def thing(kind: str, name: str, size: tuple[int, int, int], at: tuple[int, int, int]) -> str:
    rows = [f"{key} = {[f'{value} mm' for value in values]}" for key, values in (("size", size), ("at", at))]
    return f'[[tanks.T.{kind}]]\nname = "{name}"\n' + "\n".join(rows) + "\n"


@pytest.mark.parametrize(
    ("things", "words"),
    [
        (thing("fittings", "drain", (100, 100, 50), (950, 0, 0)), ("drain", "outside the tank")),
        (
            thing("fittings", "drain", (100, 100, 50), (0, 0, 0))
            + thing("blocks", "B1", (300, 200, 100), (90, 90, 0)),
            ("drain", "B1", "overlap"),
        ),
        (thing("blocks", "B1", (1000, 500, 390), (0, 0, 0)), ("B1", "blocks the whole tank")),
    ],
)
def test_faults_of_things_name_them(tmp_path: Path, things: str, words: tuple[str, ...]) -> None:
    rules = '[rules]\nfreeboard = "20 mm"\n'
    with pytest.raises(InputFault) as caught:
        written(tmp_path, rules + BOX + things)
    (fault,) = caught.value.faults
    for word in words:
        assert word in str(fault)


def test_things_that_touch_are_sound(tmp_path: Path) -> None:
    things = thing("blocks", "B1", (300, 200, 100), (0, 0, 0)) + thing(
        "blocks", "B2", (300, 200, 100), (300, 0, 0)
    )
    assert len(written(tmp_path, BOX + things).tanks["T"].standing) == 2


def test_faults_of_a_tank_mesh(tmp_path: Path) -> None:
    whole = box((1000.0, 500.0, 400.0))
    mesh(tmp_path, whole.vertices_mm, whole.triangles[:, ::-1])
    with pytest.raises(InputFault) as caught:
        written(tmp_path, MESH)
    assert "tank.obj: the mesh is inside-out" in str(caught.value.faults[0])
    top = (whole.vertices_mm[whole.triangles][:, :, 2] == 400.0).all(axis=1)
    mesh(tmp_path, whole.vertices_mm, whole.triangles[~top])
    with pytest.raises(InputFault) as caught:
        written(tmp_path, MESH)
    assert "open" in str(caught.value.faults[0])
    assert "at the rim" in str(caught.value.faults[0])


def stepped() -> Solid:
    """Return an inside of 1000 x 500 x 400 mm whose floor is 250 mm higher over 600 mm of its length."""
    return solid_of(
        manifold_of(box((1000.0, 500.0, 400.0))) - manifold_of(box((600.0, 500.0, 250.0), (400.0, 0.0, 0.0))),
        "tank",
    )


def test_a_stepped_floor(tmp_path: Path) -> None:
    """To the rim it holds 1000 x 500 x 400 less 600 x 500 x 250 mm3: 125 l. The part lies on the step or in the pit."""
    whole = stepped()
    mesh(tmp_path, whole.vertices_mm, whole.triangles)
    shop = written(tmp_path, MESH + PART)
    tank = shop.tanks["T"]
    assert [each.name for each in tank.standing] == ["step 1"]
    np.testing.assert_allclose(np.ptp(tank.standing[0].solid.vertices_mm, axis=0), [600.0, 500.0, 250.0])
    assert fill(tank, level_mm=400.0)[0].liquid_l == pytest.approx(125.0)
    assert dip(shop.parts["P"], tank, with_cures=False).verdict == "fits"


def test_a_wall_across_a_tank_stands_in_it(tmp_path: Path) -> None:
    """Two boxes side by side are one space with a wall between."""
    both = joined(box((400.0, 500.0, 400.0)), box((400.0, 500.0, 400.0), (600.0, 0.0, 0.0)))
    mesh(tmp_path, both.vertices_mm, both.triangles)
    shop = written(tmp_path, MESH)
    assert [each.name for each in shop.tanks["T"].standing] == ["step 1"]
