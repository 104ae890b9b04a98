"""Many random parts among things: placed where they are known to go, refused where they are known not to.

Some four minutes of one core once the loops are compiled (another); the slowest case takes twenty seconds of them.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "benchmarks"))

from bench_things import beside_a_block, placed, round_a_post

from fitcheck.proving.exact_gaps import recheck
from fitcheck.questions.dip.answer import DoesNotFit, Fits
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.dip.prove import prove_dip


@pytest.mark.parametrize("seed", range(100, 140))
def test_a_part_with_things_put_round_it_goes(seed: int) -> None:
    part, tank = placed(seed)
    answer = dip(part, tank, with_cures=False)
    assert isinstance(answer, Fits)
    assert recheck(part, tank, answer.advice.pose).spare_mm >= -2e-6
    assert prove_dip(answer, part, tank).holds


@pytest.mark.parametrize("seed", range(100, 120))
@pytest.mark.parametrize("made", [round_a_post, beside_a_block])
def test_a_part_that_cannot_go_is_refused(made: object, seed: int) -> None:
    part, tank = made(seed)  # type: ignore[operator]
    answer = dip(part, tank, with_cures=False)
    assert isinstance(answer, DoesNotFit)
    assert prove_dip(answer, part, tank).holds
