"""The chart of the demo yard, as a user waits for it: whole processes, from the start to the last line.

Run `python tests/benchmarks/bench_chart.py`. The first run of all may also compile the loops of the search; it is
printed apart. What the same process does without a question (`--help`) is printed beside it.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import time
from pathlib import Path

YARD = Path(__file__).parents[2] / "fitcheck" / "files" / "demo" / "yard.toml"
REPEATS = 5
BAR_S = 5.0


def seconds(*words: str) -> tuple[float, str]:
    """Return how long the command takes, and what it prints."""
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "fitcheck", *words], capture_output=True, text=True, check=False
    )
    if done.returncode not in (0, 1, 3):
        raise SystemExit(done.stderr)
    return time.perf_counter() - start, done.stdout


def main() -> None:
    """Time and print."""
    first, text = seconds("chart", str(YARD), "--json", "--no-cache")
    rows = json.loads(text)
    runs = [seconds("chart", str(YARD), "--json", "--no-cache")[0] for _ in range(REPEATS)]
    idle = min(seconds("--help")[0] for _ in range(REPEATS))
    counts: dict[str, int] = {}
    for row in rows:
        counts[row["verdict"]] = counts.get(row["verdict"], 0) + 1
    said = ", ".join(f"{count} {verdict}" for verdict, count in sorted(counts.items()))
    print(f"{len(rows)} answers of the demo yard: {said}")
    print(f"first run                {first:6.2f} s")
    print(f"median of {REPEATS} more         {statistics.median(runs):6.2f} s   (bar: {BAR_S:.0f} s)")
    print(f"least                    {min(runs):6.2f} s")
    print(f"--help                   {idle:6.2f} s   (bar: 0.5 s)")


if __name__ == "__main__":
    main()
