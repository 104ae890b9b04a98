"""What the pages for developers speak of is there: every file and folder they name, every link, every door."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from test_layers import DOORS, FOLDERS

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "fitcheck"
NAMES = {path.name for folder in (PACKAGE, ROOT / "tests") for path in folder.rglob("*.*")}
PAGES = [ROOT / "DEVELOPERS.md", *sorted(PACKAGE.rglob("README.md"))]


def named(text: str) -> list[str]:
    """Return the files and folders that a text names in backticks."""
    quoted = re.findall(r"`([^`\n]+)`", re.sub(r"^```.*?^```$", "", text, flags=re.MULTILINE | re.DOTALL))
    return [each for each in quoted if re.fullmatch(r"[\w./-]+(\.(py|pyi|md|toml|css|js|html)|/)", each)]


def is_there(name: str, page: Path) -> bool:
    """Tell whether a file is beside the page, in the package, or in the repository; a bare name anywhere."""
    return name in NAMES or any((folder / name).exists() for folder in (page.parent, PACKAGE, ROOT))


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_what_a_page_names_is_there(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    missing = [name for name in named(text) if not is_there(name, page)]
    assert [name for name in missing if "NAME" not in name and "ROOM" not in name] == []
    for target in re.findall(r"\]\(([^)#]+)\)", text):
        assert target.startswith("http") or (page.parent / target).exists(), target


def test_a_file_that_is_not_there_is_seen() -> None:
    (name,) = named("see `geometry/rotations/no_such.py` and `tilt_rad`")
    assert not is_there(name, ROOT / "DEVELOPERS.md")


def test_the_page_for_developers_is_short_and_has_the_whole_map() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert len(text.splitlines()) <= 180
    assert [name for name in FOLDERS if f"`{name}/`" not in text and f"[{name}]" not in text] == []
    doors = (PACKAGE / "questions" / "README.md").read_text(encoding="utf-8")
    assert [door for door in DOORS if f"| `{door}.py` |" not in doors or f"{door}.py" not in text] == []


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda p: p.relative_to(ROOT).as_posix())
def test_a_module_names_only_modules_that_are_there(path: Path) -> None:
    names = set(re.findall(r"\b[a-z_0-9]+\.py\b", path.read_text(encoding="utf-8")))
    assert sorted(names - NAMES) == []
