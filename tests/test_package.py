"""What is installed: every file of the package, its data too, and the command."""

from __future__ import annotations

import importlib
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hatchling.builders.sdist import SdistBuilder
from hatchling.builders.wheel import WheelBuilder

import fitcheck

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "fitcheck"


@pytest.fixture(scope="module")
def project() -> dict[str, Any]:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def files_of(package: Path) -> set[str]:
    found = (path.relative_to(package).as_posix() for path in package.rglob("*") if path.is_file())
    return {name for name in found if "__pycache__" not in name}


def packed_by(builder: WheelBuilder | SdistBuilder) -> set[str]:
    """Return the files of the repository that a builder would pack."""
    return {file.relative_path for file in builder.recurse_included_files()}


def test_every_file_that_is_no_code_is_packed() -> None:
    packed = packed_by(WheelBuilder(str(ROOT)))
    data = {f"fitcheck/{name}" for name in files_of(PACKAGE) if not name.endswith(".py")}
    assert "fitcheck/py.typed" in data
    assert data - packed == set()
    assert packed == {f"fitcheck/{name}" for name in files_of(PACKAGE)}


def test_the_source_archive_has_the_package_its_tests_and_what_they_read() -> None:
    packed = packed_by(SdistBuilder(str(ROOT)))
    for folder in ("fitcheck", "tests", "examples", "meshes"):
        assert {f"{folder}/{name}" for name in files_of(ROOT / folder)} - packed == set()
    assert {"README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", ".ci/run"} <= packed


def test_every_folder_of_code_is_a_package() -> None:
    folders = {path.parent for path in PACKAGE.rglob("*.py")}
    assert [str(folder) for folder in folders if not (folder / "__init__.py").is_file()] == []


def test_the_command_is_there(project: dict[str, Any]) -> None:
    module, _, function = project["project"]["scripts"]["fitcheck"].partition(":")
    assert callable(getattr(importlib.import_module(module), function))


def test_what_is_installed_is_all_that_is_here() -> None:
    assert files_of(Path(fitcheck.__file__).parent) == files_of(PACKAGE)


def test_licence_files_are_there(project: dict[str, Any]) -> None:
    assert "MIT" in (ROOT / project["project"]["license-files"][0]).read_text(encoding="utf-8")
    told = (ROOT / "meshes" / "SOURCES.md").read_text(encoding="utf-8")
    missing = [path.name for path in (ROOT / "meshes").iterdir() if path.suffix not in {".md", ".py", ""}]
    assert [name for name in missing if name not in told and f"{name.split('.')[0]}." not in told] == []
