"""Random questions about random shops keep the laws; the nightly run asks ten thousand."""

from __future__ import annotations

import pytest
from oracles.laws import ask
from strategies.drawn_shops import FOOT, drawn, written

from fitcheck.words.units import read_length

# Such as are answered soon, and not "refused" or nothing.
SEEDS = [
    *(("mix", seed) for seed in (302, 305)),
    *(("block", seed) for seed in (305,)),
    *(("pass", seed) for seed in (301, 305)),
    *(("ladder", seed) for seed in (300, 305)),
    *(("tank-for", seed) for seed in (300, 303)),
]


@pytest.mark.parametrize("seed", range(1, 11))
def test_an_answer_keeps_its_laws_whatever_it_is(seed: int) -> None:
    ask(seed)


@pytest.mark.parametrize(("name", "seed"), SEEDS)
def test_an_answer_for_the_kit_keeps_its_laws(name: str, seed: int) -> None:
    assert ask(seed, name)[0] == name


def test_a_drawn_shop_is_the_same_in_every_unit() -> None:
    for sixteenths in (1, 17, FOOT, 5 * FOOT + 37):
        mm = [read_length(written(sixteenths, unit).strip('"')) for unit in ("mm", "in", "ft-in")]
        assert mm == pytest.approx([sixteenths * 1.5875] * 3, rel=1e-12)
    assert drawn(5).text("mm") == drawn(5).text("mm") != drawn(6).text("mm")
