"""Every command, file and line of Python in the README does what the README says."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest

Command = Callable[..., "subprocess.CompletedProcess[str]"]

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


SHELL = [line for block in blocks("sh") for line in block.splitlines()]
ASKED = [line for line in SHELL if line.startswith("fitcheck ")]
# The hatch and the boom fit, the mast does not, nor does all of the yard
# on one rack or in one tank; all else is a plain question.
EXIT_CODES = {
    "fitcheck dip yard/yard.toml P02 T1": 1,
    "fitcheck store yard/yard.toml dry --picture rack.png": 1,
    "fitcheck lot yard/yard.toml --tank T2": 1,
    "fitcheck day yard/yard.toml --picture day.png": 1,
    "fitcheck ladder yard/yard.toml --tank T1 --picture ladder.png": 1,
}


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder in which the README's first command has been run, less its set-up."""
    folder = tmp_path_factory.mktemp("readme")
    demo = SHELL[0].rpartition(".venv/bin/")[2]
    words = shlex.split(demo)
    assert words[0] == "fitcheck"
    done = subprocess.run(
        [sys.executable, "-m", *words], cwd=folder, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return folder


@pytest.mark.parametrize("line", ASKED)
def test_each_command_answers(line: str, yard: Path, fitcheck_command: Command) -> None:
    done = fitcheck_command(*shlex.split(line)[1:], cwd=yard)
    assert done.returncode == EXIT_CODES.get(line, 0), done.stderr
    assert done.stdout


def test_the_picture_that_is_asked_for_is_drawn(yard: Path, fitcheck_command: Command) -> None:
    line = next(line for line in ASKED if "--picture" in line)
    words = shlex.split(line)[1:]
    fitcheck_command(*words, cwd=yard)
    picture = yard / words[words.index("--picture") + 1]
    assert picture.read_bytes().startswith(b"\x89PNG")


def test_every_command_has_its_place(fitcheck_command: Command) -> None:
    listed = fitcheck_command("--help").stdout.partition("Commands:\n")[2].partition("\n\n")[0]
    names = re.findall(r"^  ([a-z-]+) ", listed, re.MULTILINE)
    assert "dip" in names
    for name in names:
        assert f"fitcheck {name}" in README


def test_the_set_up_is_what_the_project_has() -> None:
    assert SHELL[0].startswith("python3 -m venv .venv && .venv/bin/pip install . && ")
    assert SHELL[1].startswith("python3 -m venv .venv && .venv/bin/pip install '.[dev]' && .venv/bin/pytest")
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extra = " ".join(project["optional-dependencies"]["dev"])
    assert "pytest" in extra
    assert "pytest-xdist" in extra  # for -n
    assert project["requires-python"] == ">=3.11"


def test_the_shop_file_can_be_asked(tmp_path: Path, fitcheck_command: Command) -> None:
    (tmp_path / "shop.toml").write_text(blocks("toml")[0], encoding="utf-8")
    done = fitcheck_command("dip", "shop.toml", "hatch", "long", cwd=tmp_path)
    assert done.stderr == ""
    assert done.stdout.startswith("hatch in long: ")


def test_the_python_runs(yard: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", blocks("python")[0]], cwd=yard, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout


def test_what_is_linked_is_there() -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        assert target.startswith("http") or (ROOT / target).exists(), target
    for path in re.findall(r"`((?:examples|fitcheck|meshes|tests)/[^`]*)`", README):
        assert (ROOT / path).exists(), path
