"""The blocks of the guides that take some seconds each: python -m pytest tests/nightly/long_guides.py.

Half a minute of one core.
"""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from examples.test_examples import SHORT, SHOWN, YARD, held


@pytest.mark.parametrize("command", [command for command in SHOWN if command not in SHORT])
def test_the_answer_is_as_shown(command: str, tmp_path: Path) -> None:
    held(command, Path(shutil.copytree(YARD, tmp_path / "yard")))
