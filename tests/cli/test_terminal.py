"""What is told suits the terminal, and a tired hand: narrow as a phone, without colour, or into a file."""

from __future__ import annotations

from pathlib import Path

import pytest

from fitcheck.cli.finish import complain
from fitcheck.cli.main import run
from fitcheck.questions.dip import say_tanks as tables
from fitcheck.say import width
from fitcheck.say.lines import aligned

HEADS = ["part", "T1", "T2", "T3"]
ROWS = [["P01", "fits, 5 in", "", "measure again"], ["P02", "no, 2 3/4 in short", "fits", "fits"]]


@pytest.fixture
def phone(monkeypatch: pytest.MonkeyPatch) -> None:
    """Have stdout look like a terminal of so few columns that nothing goes beside anything."""
    monkeypatch.setattr("sys.stdout.isatty", lambda: True)
    monkeypatch.setenv("COLUMNS", "30")


def test_a_table_wider_than_the_terminal_is_told_row_by_row(phone: None) -> None:
    lines = tables.table_text(HEADS, ROWS).splitlines()
    assert lines[:3] == ["P01", "  T1    fits, 5 in", "  T3    measure again"]
    assert lines[4:] == ["P02", "  T1    no, 2 3/4 in short", "  T2    fits", "  T3    fits"]
    # What has room stays a table.
    assert tables.table_text(HEADS[:2], [row[:2] for row in ROWS]).splitlines()[0].split() == HEADS[:2]


def test_words_are_folded_to_the_terminal(phone: None) -> None:
    (text,) = aligned(
        [("How it hangs", "level end to end; rolled 49.5 deg about its length, its -y side up")]
    )
    assert max(map(len, text.splitlines())) <= width.LEAST


def test_what_goes_into_a_file_is_as_wide_as_ever(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "30")
    assert width.page_width() == width.PAGE
    assert len(tables.table_text(HEADS, ROWS).splitlines()) == 2 + len(ROWS)


@pytest.mark.parametrize(("no_colour", "colour"), [("", "red"), ("1", None)])
def test_no_color_is_kept_to(no_colour: str, colour: str | None, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[object] = []
    monkeypatch.setenv("NO_COLOR", no_colour)
    monkeypatch.setattr("typer.secho", lambda _, **how: asked.append(how["fg"]))
    complain(["yard.toml: there is no such file"])
    assert asked == [colour]


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a shop file with a tank and no part, in the folder that commands are run in."""
    monkeypatch.chdir(tmp_path)
    path = Path("shop.toml")
    lines = [
        "[liquids.water]",
        "specific_gravity = 1.0",
        "[tanks.long]",
        'liquid = "water"',
        'inside = ["2 m", "1 m", "1 m"]',
    ]
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


@pytest.mark.parametrize("words", [["measure"], ["chart"], ["sheet", "--to", "sheets"]])
def test_a_file_without_parts_is_told(
    words: list[str], shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([words[0], str(shop), *words[1:]]) == 2
    told = "shop.toml: there is no part in it; add a [parts.NAME] with its shape or mesh\n"
    assert capsys.readouterr().err == told


def test_readings_without_an_equals_sign_are_no_file(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["as-built", str(shop), "long", "--pairs", "100 mm 73 L"]) == 2
    assert 'write "100 mm = 90 L' in capsys.readouterr().err


def test_a_mesh_is_no_shop_file(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    mesh = shop.rename("bracket.STL")
    assert run(["measure", str(mesh)]) == 2
    assert 'as in mesh = "bracket.STL" under [parts.NAME]' in capsys.readouterr().err


def test_a_wrong_choice_is_told_in_the_words_of_the_shop(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["dip", str(shop), "a", "long", "--prefer", "levl"]) == 2
    assert "'--prefer': 'levl' is not one of" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("name", "cure"), [("braket.stl", "did you mean Bracket.STL?"), ("a\\\\b.stl", 'as in "a/b.stl"')]
)
def test_the_mesh_that_was_most_likely_meant_is_named(
    name: str, cure: str, shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop.with_name("Bracket.STL").write_text("", encoding="utf-8")
    shop.write_text(f'[parts.a]\nmesh = "{name}"\nunit = "mm"\n', encoding="utf-8")
    assert run(["measure", str(shop)]) == 2
    assert cure in capsys.readouterr().err


def test_a_wall_too_thick_is_told_in_inches_too(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = ["[parts.hatch]", 'shape = "frame"', 'size = ["36 in", "19 1/2 in", "1 in"]', 'wall = "1 ft"']
    shop.write_text("\n".join([*lines, 'metal = "steel"']), encoding="utf-8")
    assert run(["measure", str(shop)]) == 2
    assert "line 4, [parts.hatch] wall: wall of 304.8 mm (1 ft) is not under" in capsys.readouterr().err
