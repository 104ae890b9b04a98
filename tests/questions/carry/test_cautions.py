"""What is dangerous about carrying reaches whoever asks, whatever the verdict."""

from __future__ import annotations

import pytest
from strategies.corridors import corner
from strategies.solids import box, part_of

from fitcheck.questions.carry.ask import carry


@pytest.mark.parametrize(("length", "verdict"), [(400.0, "fits"), (1500.0, "does not fit")])
def test_cautions_in_their_order(length: float, verdict: str) -> None:
    answer = carry(part_of(box((length, 200.0, 10.0))), corner(500.0, 500.0, length))
    assert answer.verdict == verdict
    assert [caution.kind for caution in answer.cautions] == ["mock up", "lifted by hand"]
    said = answer.to_dict()["cautions"]
    assert said[0].startswith("On paper: walk it first with a light dummy of the same size")
    assert "NIOSH's load constant is 51 lb for one person, at best (DHHS 94-110)" in said[1]
    assert all(sentence in " ".join(answer.text().split()) for sentence in said)
