"""What the example yard's page tells is what is answered, and its meshes are what its scripts write."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest

import fitcheck as fc
from fitcheck.words.units import MM_PER_INCH

YARD = Path(__file__).resolve().parents[1] / "examples" / "yard"


def script(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, YARD / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


RETELL = script("retell")
TEXT = RETELL.README.read_text(encoding="utf-8")
BLOCKS = [(block["command"], block["answer"].splitlines()) for block in RETELL.BLOCK.finditer(TEXT)]


def test_every_block_is_found() -> None:
    assert len(BLOCKS) == TEXT.count("```console") > 9
    assert TEXT.count("\n$ ") == len(BLOCKS)


@pytest.mark.parametrize(("command", "shown"), BLOCKS, ids=[command for command, _ in BLOCKS])
def test_the_answer_is_as_shown(command: str, shown: list[str]) -> None:
    lines = iter(RETELL.answered(command))
    for line in shown:
        # What is shown stands in the answer, in this order.
        assert line == RETELL.LEFT_OUT or line in lines, line


def test_an_answer_that_has_changed_is_told_anew() -> None:
    command, shown = next((command, shown) for command, shown in BLOCKS if "fill yard.toml" in command)
    block = "\n".join(["```console", f"$ {command}", *shown, "```", ""])
    stale = block.replace("399 gal", "398 gal")
    assert stale != block
    assert RETELL.retold(stale) == RETELL.retold(block) == block


def test_a_line_that_has_gone_is_named() -> None:
    stale = '```console\n$ fitcheck fill yard.toml T1 --level "20 in"\nnothing of the kind\n```\n'
    with pytest.raises(SystemExit, match="nothing of the kind"):
        RETELL.retold(stale)


def test_the_meshes_are_what_the_script_makes() -> None:
    makes = script("make_meshes")
    shop = fc.read_shop(YARD / "yard.toml")
    for body, name, unit_mm in ((makes.mast(), "P02", MM_PER_INCH), (makes.gooseneck(), "P20", 1.0)):
        part = shop.parts[name]
        # Nine digits are in the file.
        assert part.size_mm == pytest.approx(
            [(body.bounding_box()[i + 3] - body.bounding_box()[i]) * unit_mm for i in range(3)], rel=1e-8
        )
        assert fc.measure(part).volume_l == pytest.approx(body.volume() * unit_mm**3 / 1e6, rel=1e-6)


def test_the_hole_of_the_gooseneck_is_blind_and_as_deep_as_said() -> None:
    # 25 mm in diameter, 80 mm deep: its floor is the only flat face that looks up at a height of 40 mm.
    solid = fc.read_shop(YARD / "yard.toml").parts["P20"].solid
    a, b, c = (solid.vertices_mm[solid.triangles[:, i]] for i in range(3))
    floor = [
        abs((q - p)[0] * (r - p)[1] - (q - p)[1] * (r - p)[0]) / 2.0
        for p, q, r in zip(a, b, c, strict=True)
        if p[2] == q[2] == r[2] == 40.0
    ]
    assert sum(floor) == pytest.approx(3.14159265 / 4.0 * 25.0**2, rel=1e-6)
    assert solid.vertices_mm[:, 2].max() - 40.0 == 80.0


def test_the_page_names_what_is_there() -> None:
    for name in re.findall(r"`(\w+\.(?:toml|obj|py))`", TEXT):
        assert (YARD / name).exists(), name
