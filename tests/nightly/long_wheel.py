"""The wheel and the sdist: built from a clean copy, nothing lost, installed, asked a question, and tested.

python tests/nightly/long_wheel.py
"""

from __future__ import annotations

import subprocess
import sys
import tarfile
import tempfile
import venv
import zipfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
# What reads the files that a wheel does not have: pages, sample meshes, examples, the project's own settings.
TESTS = ("test_package.py", "test_layers.py", "test_docstrings.py", "files/test_meshes.py", "examples")
# What a builder adds to a source archive.
ADDED = {"PKG-INFO"}


def tracked(folder: Path) -> set[str]:
    """Return the files of the repository."""
    done = subprocess.run(["git", "ls-files"], cwd=folder, capture_output=True, text=True, check=True)
    return set(done.stdout.split("\n")) - {""}


def packed(folder: Path) -> tuple[Path, Path, list[str]]:
    """Build from a clone; return the wheel, the sdist, and what they lost or have too much."""
    subprocess.run(["git", "clone", "-q", "--depth", "1", ROOT.as_uri(), folder / "copy"], check=True)
    subprocess.run([sys.executable, "-m", "build", "-o", folder / "dist", folder / "copy"], check=True)
    (wheel,), (sdist,) = (list((folder / "dist").glob(kind)) for kind in ("*.whl", "*.tar.gz"))
    files = tracked(folder / "copy")
    package = {each for each in files if each.startswith("fitcheck/")}
    with zipfile.ZipFile(wheel) as archive:
        inside = {each for each in archive.namelist() if ".dist-info/" not in each}
        licensed = any(each.endswith("licenses/LICENSE") for each in archive.namelist())
    with tarfile.open(sdist) as archive:
        source = {each.name.partition("/")[2] for each in archive if each.isfile()}
        archive.extractall(folder, filter="data")
    lost = sorted(
        (package ^ inside) | (files ^ (source - ADDED)) | (set() if licensed else {"LICENSE in the wheel"})
    )
    print(f"{len(inside)} files in {wheel.name}, {len(source)} in {sdist.name}; lost: {lost or 'none'}")
    return wheel, sdist, lost


def main() -> int:
    """Build, compare, install the wheel into an empty environment, run the demo there, and the sdist's tests."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        wheel, sdist, lost = packed(folder)
        venv.create(folder / "venv", with_pip=True)
        python = folder / "venv" / "bin" / "python"
        subprocess.run([python, "-m", "pip", "install", "-q", wheel], check=True)
        demo = subprocess.run(
            [python, "-m", "fitcheck", "demo", "yard"],
            cwd=folder,
            capture_output=True,
            text=True,
            check=False,
        )
        print(demo.stdout[:400], demo.stderr)
        unpacked = folder / sdist.name.removesuffix(".tar.gz")
        subprocess.run([python, "-m", "pip", "install", "-q", f"{unpacked}[dev]"], check=True)
        tests = [f"tests/{each}" for each in TESTS]
        tested = subprocess.run([python, "-m", "pytest", *tests], cwd=unpacked, check=False)
        return 1 if lost or demo.returncode or demo.stderr or tested.returncode else 0


if __name__ == "__main__":
    sys.exit(main())
