"""What the example yard's page tells is what is answered, and its meshes are what its scripts write."""

from __future__ import annotations

import ast
import importlib.util
import re
import runpy
import shutil
import sys
from pathlib import Path
from types import ModuleType

import pytest

import fitcheck as fc
from fitcheck.questions.register import QUESTIONS
from fitcheck.words.units import MM_PER_INCH

ROOT = Path(__file__).resolve().parents[2]
YARD = ROOT / "examples" / "yard"
GUIDES = ROOT / "examples" / "guides"
# Some seconds each; the same questions are asked in other tests.
LONG = {"carry", "day", "ladder", "lot"}


def script(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, YARD / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


RETELL = script("retell")
TEXTS = {page.stem: page.read_text(encoding="utf-8") for page in RETELL.PAGES}
TEXT = RETELL.README.read_text(encoding="utf-8")


def shown_by(*texts: str) -> dict[str, list[list[str]]]:
    """Return each command of some pages, with the lines that they show of its answer."""
    shown: dict[str, list[list[str]]] = {}
    for block in (block for text in texts for block in RETELL.BLOCK.finditer(text)):
        shown.setdefault(block["command"], []).append(block["answer"].splitlines())
    return shown


SHOWN = shown_by(TEXT, *TEXTS.values())
SHORT = [command for command in SHOWN if command.split()[1] not in LONG]


@pytest.fixture(scope="module")
def copied(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a copy of the yard, in which commands may write."""
    return Path(shutil.copytree(YARD, tmp_path_factory.mktemp("copied") / "yard"))


def test_every_block_is_found() -> None:
    for name, text in TEXTS.items():
        blocks = list(RETELL.BLOCK.finditer(text))
        assert len(blocks) == text.count("```") // 2 == text.count("\n$ "), name
        assert blocks or name == "README"
    assert TEXT.count("```console") > 9


def held(command: str, yard: Path) -> None:
    """Assert that an answer shows, in this order, what the pages show of it."""
    for name in re.findall(r"(\w+\.json)$", command):
        if "--proof" not in command and not (yard / name).exists():
            # An answer that another block wrote.
            RETELL.answered(next(other for other in SHOWN if f"--proof {name}" in other), yard)
    answer = RETELL.answered(command, yard)
    for shown in SHOWN[command]:
        lines = iter(answer)
        for line in shown:
            assert line == RETELL.LEFT_OUT or line in lines, line


@pytest.mark.parametrize("command", SHORT)
def test_the_answer_is_as_shown(command: str, copied: Path) -> None:
    held(command, copied)


def test_every_question_has_a_guide() -> None:
    pages = {path.stem for path in GUIDES.glob("*.md")} | {"fill"}  # that one is called liquid
    assert {each.kind for each in QUESTIONS} <= pages


def test_every_guide_is_in_the_list_and_what_is_linked_is_there() -> None:
    listed = (GUIDES / "README.md").read_text(encoding="utf-8")
    for page in GUIDES.glob("*.md"):
        text = page.read_text(encoding="utf-8")
        assert page.name == "README.md" or f"[{text.splitlines()[0][2:]}]({page.name})" in listed
        for target in re.findall(r"\]\(([^)#]+)\)", text):
            assert (GUIDES / target).exists(), (page.name, target)


SCRIPTS = sorted((ROOT / "examples" / "python").glob("*.py"))


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_a_script_needs_nothing_but_the_front(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names = {alias.name for alias in node.names}
            assert all(name in {"fitcheck", "numpy"} or name in sys.stdlib_module_names for name in names)
        if isinstance(node, ast.ImportFrom):
            assert node.module in sys.stdlib_module_names, "what is public is reached as fc.name"


def test_the_page_of_the_scripts_tells_each_in_one_line() -> None:
    text = (ROOT / "examples" / "python" / "README.md").read_text(encoding="utf-8")
    assert sorted(re.findall(r"^- `(\w+\.py)`: .+\.$", text, re.MULTILINE)) == [path.name for path in SCRIPTS]


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_the_script_runs_as_its_page_says(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    runpy.run_path(str(path), run_name="__main__")
    said = capsys.readouterr().out
    told = re.search(r"Prints, among others: (.*)\.\n", path.read_text(encoding="utf-8"))
    assert told is not None
    assert told[1] in said


def test_an_answer_that_has_changed_is_told_anew() -> None:
    command, shown = next(
        (command, shown[0]) for command, shown in SHOWN.items() if "fill yard.toml" in command
    )
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
