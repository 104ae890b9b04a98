"""Ten thousand random questions about random shops, their laws checked, and a table of what came back.

python tests/nightly/long_questions.py [COUNT [FIRST_SEED]]
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from laws import ask

# The everyday run has the first 30.
COUNT, FIRST = 10_000, 30


def main(count: int = COUNT, first: int = FIRST) -> int:
    """Ask, print the table and every seed that broke a law, and return 1 where one did."""
    told: Counter[tuple[str, str]] = Counter()
    broken = []
    for seed in range(first, first + count):
        try:
            told[ask(seed)] += 1
        except Exception as fault:
            broken.append(f"seed {seed}: {type(fault).__name__} {fault}")
    for (question, verdict), times in sorted(told.items()):
        print(f"{question:8} {verdict:14} {times:6}")
    print("\n".join([f"{count} questions, {len(broken)} broke a law", *broken]))
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:3])))
