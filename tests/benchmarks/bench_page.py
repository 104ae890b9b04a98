"""The live page in a browser: the first paint, and a step of the slider.

Run `python tests/benchmarks/bench_page.py`. It needs chromium. The bars are for a machine that does nothing else.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from strategies.served_page import SHOP, browsing, chromium, found_a_pose, opened, serving, stepped

FIRST_PAINT_S = 2.0
STEP_S = 0.150
STEPS = 50


def main(steps: int = STEPS) -> None:
    """Serve a small shop, open it, slide the swing, and print both times with their bars."""
    browser = chromium()
    if browser is None:
        sys.exit("apt-get install chromium")
    with tempfile.TemporaryDirectory() as name:
        file = Path(name) / "quay.toml"
        file.write_text(SHOP)
        with serving(file) as address, browsing(Path(name), browser) as page:
            start = time.perf_counter()
            opened(page, address)
            paint_s = time.perf_counter() - start
            found_a_pose(page)
            step_s = statistics.median(stepped(page, steps))
    print(f"first paint {paint_s:.2f} s (bar {FIRST_PAINT_S:g} s)")
    print(f"a step {1000.0 * step_s:.0f} ms, the median of {steps} (bar {1000.0 * STEP_S:.0f} ms)")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
