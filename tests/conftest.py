"""What all tests share: reproducible examples, and the installed command."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings

# The same examples on every run and every computer; the nightly run looks at many more.
settings.register_profile("everyday", derandomize=True, deadline=None)
settings.register_profile("nightly", deadline=None, max_examples=2000, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "everyday"))

Command = Callable[..., "subprocess.CompletedProcess[str]"]


@pytest.fixture(scope="session")
def repository() -> Path:
    return Path(__file__).resolve().parents[1]


@pytest.fixture(scope="session")
def fitcheck_command() -> Command:
    """Run the command in a process of its own, as a user does, and return what came back."""

    def call(
        *words: str | Path, cwd: Path | None = None, **environment: str
    ) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "fitcheck", *map(str, words)],
            capture_output=True,
            text=True,
            cwd=cwd,
            env=os.environ | environment,
            timeout=120,
            check=False,
        )

    return call
