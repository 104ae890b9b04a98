"""What is installed: every file of the package, its data too, and the command."""

from __future__ import annotations

import fnmatch
import importlib
import tomllib
from pathlib import Path
from typing import Any

import pytest

import fitcheck

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "fitcheck"


@pytest.fixture(scope="module")
def project() -> dict[str, Any]:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def test_every_file_that_is_no_code_is_packed(project: dict[str, Any]) -> None:
    patterns = project["tool"]["setuptools"]["package-data"]["fitcheck"]
    files = [path.relative_to(PACKAGE).as_posix() for path in PACKAGE.rglob("*") if path.is_file()]
    data = [name for name in files if "__pycache__" not in name and not name.endswith(".py")]
    assert "py.typed" in data
    assert [name for name in data if not any(fnmatch.fnmatch(name, each) for each in patterns)] == []
    assert [each for each in patterns if not fnmatch.filter(data, each)] == []


def test_every_folder_of_code_is_a_package() -> None:
    folders = {path.parent for path in PACKAGE.rglob("*.py")}
    assert [str(folder) for folder in folders if not (folder / "__init__.py").is_file()] == []


def test_the_command_is_there(project: dict[str, Any]) -> None:
    module, _, function = project["project"]["scripts"]["fitcheck"].partition(":")
    assert callable(getattr(importlib.import_module(module), function))


def test_what_is_installed_is_all_that_is_here() -> None:
    def files(package: Path) -> set[str]:
        found = (path.relative_to(package).as_posix() for path in package.rglob("*") if path.is_file())
        return {name for name in found if "__pycache__" not in name}

    assert files(Path(fitcheck.__file__).parent) == files(PACKAGE)


def test_licence_files_are_there(project: dict[str, Any]) -> None:
    assert "MIT" in (ROOT / project["project"]["license-files"][0]).read_text(encoding="utf-8")
    told = (ROOT / "meshes" / "SOURCES.md").read_text(encoding="utf-8")
    missing = [path.name for path in (ROOT / "meshes").iterdir() if path.suffix not in {".md", ".py", ""}]
    assert [name for name in missing if name not in told and f"{name.split('.')[0]}." not in told] == []
