"""The demo yard's whole set of sheets, as a user waits for it: a whole process, from the start to the last file.

Run `python tests/benchmarks/bench_sheet.py`. The first run of all may also compile the loops of the search; it is
printed apart.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

YARD = Path(__file__).parents[2] / "fitcheck" / "files" / "demo" / "yard.toml"
REPEATS = 3
BAR_S = 60.0


def seconds(folder: Path) -> tuple[float, int]:
    """Return how long the command takes, and how many pages it prints."""
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "fitcheck", "sheet", str(YARD), "--to", str(folder), "--json"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    if done.returncode:
        raise SystemExit(done.stderr)
    return time.perf_counter() - start, len(json.loads(done.stdout)["pages"])


def main() -> None:
    """Time and print."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "sheets"
        first, pages = seconds(folder)
        runs = [seconds(folder)[0] for _ in range(REPEATS)]
        sizes = ", ".join(
            f"{path.name} {path.stat().st_size / 1e6:.1f} MB" for path in sorted(folder.iterdir())
        )
    print(f"{pages} pages of the demo yard: {sizes}")
    print(f"first run                {first:6.2f} s")
    print(f"median of {REPEATS} more         {statistics.median(runs):6.2f} s   (bar: {BAR_S:.0f} s)")


if __name__ == "__main__":
    main()
