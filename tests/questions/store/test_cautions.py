"""What is dangerous about racks reaches whoever asks, in the order in which it was always told."""

from __future__ import annotations

import pytest
from strategies.solids import box, part_of

from fitcheck.questions.store.ask import store
from fitcheck.things.rack import Bay, BayRack, Rack, Rail, RailRack

RAIL, BAY = Rail(3000.0, 2500.0), Bay("A", (2000.0, 500.0, 400.0))
ARMS = Bay("A", (2000.0, 500.0, 400.0), supports_mm=300.0)


@pytest.mark.parametrize(
    ("rack", "kinds"),
    [
        (RailRack("dry", (RAIL,), 20.0, load_kg=50.0), ["rail hooks slide", "drip", "rack capacity"]),
        (
            RailRack("dry", (RAIL, RAIL), 20.0),
            ["rails apart", "hook load", "rail hooks slide", "drip", "rack capacity"],
        ),
        (
            RailRack("dry", (RAIL, RAIL), 20.0, apart_mm=900.0),
            ["hook load", "rail hooks slide", "drip", "rack capacity"],
        ),
        (BayRack("wall", (BAY,), 20.0), ["pads", "rack capacity"]),
        (BayRack("wall", (ARMS,), 20.0, sag_share=1.0 / 240.0), ["sag", "pads", "rack capacity"]),
    ],
)
def test_cautions_in_their_order(rack: Rack, kinds: list[str]) -> None:
    answer = store(rack, [part_of(box((500.0, 100.0, 100.0)))])
    assert [caution.kind for caution in answer.cautions] == kinds
    said = answer.to_dict()["cautions"]
    assert "no rack is approved here" in said[-1]
    assert ("Sag is held to 1/240 of the way between arms" in said[0]) == (kinds[0] == "sag")
    assert all(sentence in " ".join(answer.text().split()) for sentence in said)
