"""The wheel and the sdist: built from a clean copy, all of the package in them, installed, and asked a question.

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


def tracked(folder: Path) -> set[str]:
    """Return the files of the package, as the repository has them."""
    done = subprocess.run(
        ["git", "ls-files", "fitcheck"], cwd=folder, capture_output=True, text=True, check=True
    )
    return set(done.stdout.split("\n")) - {""}


def main() -> int:
    """Build, compare, install the sdist's wheel into an empty environment, and run the demo from elsewhere."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        subprocess.run(["git", "clone", "-q", "--depth", "1", ROOT.as_uri(), folder / "copy"], check=True)
        subprocess.run([sys.executable, "-m", "build", "-o", folder / "dist", folder / "copy"], check=True)
        (wheel,), (sdist,) = (list((folder / "dist").glob(kind)) for kind in ("*.whl", "*.tar.gz"))
        files = tracked(folder / "copy")
        packed = {each for each in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in each}
        with tarfile.open(sdist) as archive:
            source = {each.partition("/")[2] for each in archive.getnames()}
        lost = sorted((files ^ packed) | (files - source))
        print(f"{len(packed)} files in {wheel.name}; lost or left over: {lost or 'none'}")
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
        return 1 if lost or demo.returncode or demo.stderr else 0


if __name__ == "__main__":
    sys.exit(main())
