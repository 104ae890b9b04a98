"""The names of what stands on racks and in rooms: each once, on no line and on nothing that is not its own."""

from __future__ import annotations

from dataclasses import replace

import pytest
from oracles.drawn_words import touched, words_on_things

from fitcheck.draw import ink
from fitcheck.draw.ink import Label, Marks
from fitcheck.geometry.mesh.measure import weighed
from fitcheck.questions.store.ask import store
from fitcheck.questions.store.draw import store_marks
from fitcheck.shapes.block import block
from fitcheck.things.part import Part
from fitcheck.things.rack import Bay, BayRack, Rail, RailRack
from fitcheck.words.units import MM_PER_FOOT, MM_PER_INCH

FT, IN = MM_PER_FOOT, MM_PER_INCH
ALUMINIUM = 2.7
# As a yard has them: long and thin, flat, and small ones by the dozen at the end of a full rail.
SIZES = {
    "P01": (60.0, 12.0, 2.0, 1),
    "P05": (2.0, 12.0, 12.0, 1),
    "P06": (2.0, 26.0, 20.0, 1),
    "P07": (1.5, 30.0, 17.0, 1),
    "P08": (1.5, 20.0, 16.0, 1),
    "P16": (20.0, 3.0, 2.0, 9),
    "P18": (94.0, 1.5, 1.5, 4),
    "P19": (28.0, 16.0, 1.0, 2),
    "P21": (40.0, 2.0, 1.5, 2),
}
PARTS = {
    name: replace(weighed(name, block((x * IN, y * IN, z * IN)).solid, ALUMINIUM), count=count)
    for name, (x, y, z, count) in SIZES.items()
}
RACKS = {
    "rails": RailRack("dry", (Rail(9 * FT, 7 * FT), Rail(9 * FT, 7 * FT)), 3 * IN),
    "bays": BayRack(
        "wall", tuple(Bay(f"level {k}", (20 * FT, 18 * IN, 14 * IN)) for k in range(1, 5)), 1 * IN
    ),
}
SIZE_WORDS = ("20 ft", "9 ft")


def drawn(rack: str, parts: dict[str, Part]) -> Marks:
    return store_marks(store(RACKS[rack], list(parts.values())), parts, "ft-in", "A yard")


@pytest.mark.parametrize("rack", list(RACKS))
def test_names_on_a_rack_touch_no_line_and_no_other_words(rack: str) -> None:
    marks = drawn(rack, PARTS)
    words = [mark.words.split("\u00a0")[0] for mark in marks if isinstance(mark, Label)]
    assert set(SIZES) <= set(words)
    assert touched(marks, SIZE_WORDS) == []
    assert words_on_things(marks, ink.METAL) == []
    assert min(mark.size_pt for mark in marks if isinstance(mark, Label)) >= 9.0
