"""The picture of loads: every piece where the answer says it is, named, and nothing touching."""

from __future__ import annotations

from dataclasses import replace
from html import escape
from pathlib import Path

import numpy as np
from oracles.drawn_words import touched

from fitcheck.draw import ink
from fitcheck.draw.ink import Area, Label
from fitcheck.geometry.mesh.measure import weighed
from fitcheck.questions.lot.ask import lot
from fitcheck.questions.lot.draw import draw, lot_marks, svg
from fitcheck.shapes.block import block
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Attitude, Part
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Rules, Tank

INSIDE = (2400.0, 400.0, 500.0)
SIZES = {
    "plate": ((900.0, 260.0, 30.0), 3),
    "bar": ((1500.0, 30.0, 30.0), 3),
    "clip": ((60.0, 20.0, 40.0), 6),
    "beam": ((2600.0, 60.0, 60.0), 1),
}


def part(name: str) -> Part:
    size, count = SIZES[name]
    made = weighed(name, block(size).solid, 2.7)
    return replace(made, count=count, size_mm=size, attitude=Attitude(0.0, 0.0, 0.0))


def shop_of_t() -> Shop:
    tank = Tank("T", block(INSIDE).solid, INSIDE, Liquid("etch"), Rules())
    return Shop("shop", parts={name: part(name) for name in SIZES}, tanks={"T": tank})


def test_every_piece_is_where_it_is_told_and_named() -> None:
    shop = shop_of_t()
    answer = lot(shop, "T")
    marks, (wide, high) = lot_marks(answer, shop.parts, shop.tanks, "mm", "A yard")
    assert touched(marks) == []
    words = [mark.words for mark in marks if isinstance(mark, Label)]
    assert any(told.startswith("beam left out") for told in words)
    names = [told.split("\u00a0") for told in words if told.split("\u00a0")[0] in SIZES]
    counts = {
        name: sum(int(each[-1]) if len(each) > 1 else 1 for each in names if each[0] == name)
        for name in SIZES
    }
    assert counts == {name: count for name, (_, count) in SIZES.items() if name != "beam"} | {"beam": 0}
    assert all(
        0.0 <= x <= wide and 0.0 <= y <= high
        for mark in marks
        if isinstance(mark, Label)
        for x, y in [mark.at]
    )
    # In each of the two views every piece has an outline of its own size: the scale is that of the tank.
    outlines = [mark for mark in marks if isinstance(mark, Area) and mark.fill == ink.METAL]
    pieces = [each for load in answer.lots for each in load.parts]
    assert len(outlines) == 2 * len(pieces)
    wets = [mark for mark in marks if isinstance(mark, Area) and mark.fill == ink.LIQUID]
    scale = float(np.ptp(wets[0].rings[0][:, 0])) / INSIDE[0]
    drawn = sorted(float(np.ptp(mark.rings[0][:, 0])) / scale for mark in outlines)
    true = sorted(
        2 * [float(np.ptp(each.pose.apply(shop.parts[each.part].solid.vertices_mm)[:, 0])) for each in pieces]
    )
    assert np.allclose(drawn, true, atol=0.01)


def test_a_deep_tank_has_its_views_side_by_side() -> None:
    shop = shop_of_t()
    deep = replace(shop.tanks["T"], inside=block((900.0, 400.0, 900.0)).solid, size_mm=(900.0, 400.0, 900.0))
    small = replace(shop, tanks={"T": deep}, parts={"clip": shop.parts["clip"]})
    marks, _ = lot_marks(lot(small, "T"), small.parts, small.tanks, "ft-in")
    plan, side = [mark.rings[0] for mark in marks if isinstance(mark, Area) and mark.fill == ink.LIQUID][:2]
    assert side[:, 0].min() > plan[:, 0].max()
    assert touched(marks) == []


def test_a_file_and_a_notebook_have_the_same_words(tmp_path: Path) -> None:
    shop = shop_of_t()
    answer = lot(shop, "T")
    assert draw(answer, shop, tmp_path / "lot.svg") == ()
    assert (tmp_path / "lot.svg").stat().st_size > 1000
    shown = svg(answer, shop)
    marks, _ = lot_marks(answer, shop.parts, shop.tanks, shop.show, shop.name)
    for mark in marks:
        if isinstance(mark, Label):
            assert all(escape(line) in shown for line in mark.words.split("\n"))
    assert answer._repr_html_() == shown
