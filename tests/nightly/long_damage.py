"""Thousands of damaged files of each kind: each ends in an answer or in one clear line.

python tests/nightly/long_damage.py [FIRST_SEED]
"""

from __future__ import annotations

import sys
import tempfile
from collections import Counter
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from strategies.damage import WAYS

# About a quarter of an hour on one core.
COUNTS = {"mesh": 60_000, "shop": 6_000, "quantity": 200_000, "answer": 1_500, "step": 500}


def main(first: int = 1_000) -> int:
    """Damage and read, print what came of it and every seed with a fault, and return 1 where one had."""
    faults = 0
    for way, count in COUNTS.items():
        told: Counter[str] = Counter()
        with tempfile.TemporaryDirectory() as folder:
            for seed in range(first, first + count):
                try:
                    told[WAYS[way](np.random.default_rng([seed, 1]), Path(folder))] += 1
                except Exception as fault:
                    faults += 1
                    print(f"{way}, seed {seed}: {type(fault).__name__} {fault}", flush=True)
        print(f"{way:9} {count:7} " + ", ".join(f"{word} {times}" for word, times in sorted(told.items())))
    print(f"{faults} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:2])))
