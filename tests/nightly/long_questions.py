"""Ten thousand random questions about random shops, their laws checked, and a table of what came back.

python tests/nightly/long_questions.py [COUNT [FIRST_SEED [PROCESSES]]]

Every seed that broke a law is printed with what broke; `python tests/nightly/long_questions.py 1 SEED` asks it
again. Ten thousand take about an hour and a half on two cores.
"""

from __future__ import annotations

import os
import sys
import time
from collections import defaultdict
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from oracles.laws import ask

# The everyday run has the first 30.
COUNT, FIRST = 10_000, 30
# Questions that one worker is handed at a time.
AT_ONCE = 10
# The slowest are told: they are where to look next.
SLOWEST = 5


def asked(seed: int) -> tuple[int, str, str, str, float]:
    """Return the seed, the question, what came back, what broke ("" for nothing), and the seconds of CPU."""
    start = time.process_time()
    question, told, broke = "?", "broke a law", ""
    try:
        question, told = ask(seed)
    except Exception as fault:
        broke = f"{type(fault).__name__} {fault}".strip().partition("\n")[0]
    return seed, question, told, broke, time.process_time() - start


def main(count: int = COUNT, first: int = FIRST, processes: int = os.cpu_count() or 1) -> int:
    """Ask, print the table and every seed that broke a law, and return 1 where one did."""
    times: defaultdict[tuple[str, str], list[float]] = defaultdict(list)
    slow: list[tuple[float, int]] = []
    broken = 0
    with ProcessPoolExecutor(processes) as workers:
        for seed, question, told, broke, took in workers.map(
            asked, range(first, first + count), chunksize=AT_ONCE
        ):
            times[question, told].append(took)
            slow = sorted([*slow, (took, seed)], reverse=True)[:SLOWEST]
            if broke:
                broken += 1
                print(f"seed {seed}: {broke}", flush=True)
    print(f"{'question':10} {'what came back':16} {'times':>6} {'s of CPU, mean':>15} {'most':>7}")
    for (question, told), took in sorted(times.items()):
        print(f"{question:10} {told:16} {len(took):6} {sum(took) / len(took):15.2f} {max(took):7.1f}")
    print("slowest: " + ", ".join(f"seed {seed} {took:.0f} s" for took, seed in slow))
    print(f"{count} questions, {broken} broke a law")
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:4])))
