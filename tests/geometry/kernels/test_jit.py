"""What is kept of the compiled loops is never older than the loops."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

from fitcheck.geometry.kernels import jit

CALLED = """from kernels.jit import compiled
@compiled
def step(x):
    return x + {by}
"""
CALLER = """from kernels.called import step
from kernels.jit import compiled
@compiled
def twice(x):
    return step(step(x))
"""


def test_a_loop_is_compiled_again_when_one_that_it_calls_changes(tmp_path: Path) -> None:
    """By itself numba keeps `twice` by its own file alone, and it would still add 2."""
    kernels = tmp_path / "kernels"
    kernels.mkdir()
    shutil.copy(jit.__file__, kernels / "jit.py")
    (kernels / "__init__.py").touch()
    (kernels / "caller.py").write_text(CALLER)

    def asked(by: int) -> str:
        (kernels / "called.py").write_text(CALLED.format(by=by))
        source = "from kernels.caller import twice; print(twice(0))"
        done = subprocess.run(
            [sys.executable, "-c", source], cwd=tmp_path, capture_output=True, text=True, check=True
        )
        return done.stdout.strip()

    assert [asked(1), asked(1), asked(10)] == ["2", "2", "20"]
    assert list(kernels.rglob("*.nbi")), "nothing was kept: this test shows nothing"
