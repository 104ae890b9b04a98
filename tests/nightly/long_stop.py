"""Charts with all cores at work, two at once on one folder of kept answers, and stopped at any moment."""

from __future__ import annotations

import json
import os
import signal
import sys
import time
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from files.test_written import charting, names


def test_two_commands_at_once_do_not_spoil_what_is_kept(tmp_path: Path) -> None:
    both = [charting(tmp_path, f"{k}.csv") for k in range(2)]
    said = [child.communicate(timeout=600) for child in both]
    third = charting(tmp_path, "third.csv").communicate(timeout=600)
    assert {err for _, err in (*said, third)} == {""}
    assert said[0] == said[1] == third
    kept = list((tmp_path / "cache").rglob("*.*"))
    assert len(kept) == 5 + 1
    assert all(json.loads(path.read_bytes()) for path in kept)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """Return the chart as it is written where nothing stops it."""
    folder = tmp_path_factory.mktemp("whole")
    charting(folder, "chart.csv").communicate(timeout=600)
    return (folder / "chart.csv").read_bytes()


@pytest.mark.parametrize("after_s", [0.1 * k for k in range(2, 60)])
def test_ctrl_c_at_any_moment_ends_in_one_line(tmp_path: Path, after_s: float, whole: bytes) -> None:
    child = charting(tmp_path, "chart.csv")
    time.sleep(after_s)
    os.killpg(child.pid, signal.SIGINT)
    _, said = child.communicate(timeout=600)
    # It may have ended by itself before, or been stopped while Python itself was starting.
    assert (child.returncode, said) in {(130, "stopped before there was an answer\n"), (130, ""), (0, "")}
    # Stopped after the file was put in its place, and before it said so: it is there, and whole.
    left = set(names(tmp_path)) - {"bay.toml", "cache"}
    assert left <= {"chart.csv"}
    assert left or child.returncode != 0
    assert not left or (tmp_path / "chart.csv").read_bytes() == whole
