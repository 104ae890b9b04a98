"""What all tests share: reproducible examples, and the installed command."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

# The same examples on every run and every computer; the nightly run tries many more. Neither fails by the clock.
CLOCKS = (HealthCheck.too_slow,)
settings.register_profile("everyday", derandomize=True, deadline=None, suppress_health_check=CLOCKS)
settings.register_profile(
    "nightly", deadline=None, max_examples=2000, print_blob=True, suppress_health_check=CLOCKS
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "everyday"))

Command = Callable[..., "subprocess.CompletedProcess[str]"]

# No test fails by the clock: only what never ends is ended, however slow the machine.
NEVER_ENDS_S = 600.0


@pytest.fixture(scope="session", autouse=True)
def patient() -> Iterator[None]:
    """Wait for a view in space as long as it takes: on a busy machine one may need more than people wait for."""
    from fitcheck.draw import space_photo

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(space_photo, "LONGEST_S", NEVER_ENDS_S)
        yield


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
            timeout=NEVER_ENDS_S,
            check=False,
        )

    return call
