"""The command prove: what it tells of an answer that was written down, and its exit code."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from strategies.small_yard import as_written, small_yard

from fitcheck.cli.main import run
from fitcheck.proving import aisle_grid
from fitcheck.questions.room.ask import room


@pytest.fixture(autouse=True)
def coarser(monkeypatch: pytest.MonkeyPatch) -> None:
    """Take a grid of 7 mm: twice as quick, it shows aisles to 56 mm less and 28 mm more."""
    monkeypatch.setattr(aisle_grid, "STEP_MM", 7.0)


def test_the_command_tells_and_ends_with_a_code(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = as_written(room(small_yard(tmp_path).rooms["build"]))
    path = tmp_path / "a.json"
    for change, code, said in (
        ({}, 0, "holds"),
        ({"room": "shed"}, 2, "no room shed"),
        ({"verdict": "fitz"}, 2, "fitz"),
    ):
        path.write_text(json.dumps(told | change), encoding="utf-8")
        assert run(["prove", str(tmp_path / "small_yard.toml"), str(path)]) == code
        caught = capsys.readouterr()
        assert said in caught.out + caught.err
