"""One answer of the demo yard to every question, asked once in a run: what all of them have is tested on these."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache

import fitcheck as fc

SHOP = fc.demo_shop()
# Three parts are enough for what all answers have; the whole yard takes minutes.
FEW = replace(SHOP, parts={name: SHOP.parts[name] for name in ("P05", "P11", "P15")})

ASKED: Mapping[str, Callable[[], fc.Answer]] = {
    "dip": lambda: fc.dip(SHOP.parts["P11"], SHOP.tanks["T1"]),
    "chart": lambda: fc.chart(FEW),
    "pass": lambda: fc.passes(SHOP.parts["P02"], SHOP.tanks["T4"]),
    "pocket": lambda: fc.pocket(SHOP.parts["P05"], fc.Angles()),
    "block": lambda: fc.block(SHOP.tanks["T1"], [SHOP.parts["P15"]]),
    "hang": lambda: fc.hang(SHOP.parts["P01"], SHOP.tanks["T1"]),
    "weigh": lambda: fc.weigh(SHOP.parts["P08"], SHOP.tanks["T1"]),
    "lot": lambda: fc.lot(FEW, "T1"),
    "ladder": lambda: fc.ladder(FEW, "T1"),
    "day": lambda: fc.day(FEW),
    "mix": lambda: fc.mix(SHOP.tanks["T1"], 400.0, [SHOP.parts["P15"]]),
    "as-built": lambda: fc.as_built(SHOP.tanks["T5"], _readings(SHOP.tanks["T5"])),
    "tank-for": lambda: fc.tank_for([SHOP.parts["P15"]], SHOP.rules),
    "store": lambda: fc.store(SHOP.racks["dry"], list(FEW.parts.values())),
    "room": lambda: fc.room(SHOP.rooms["build"]),
    "carry": lambda: fc.carry(SHOP.parts["P15"], SHOP.routes["rail_in"]),
    "measure": lambda: fc.measure(SHOP.parts["P11"]),
    "fill": lambda: fc.fill(SHOP.tanks["T1"]),
}


def _readings(tank: fc.Tank) -> list[fc.Reading]:
    """Return a plain-water test of a tank that is as large as it is taped."""
    rows = fc.fill(tank, step_mm=tank.depth_mm / 8.0).rows
    return [fc.Reading(row.level_mm, row.liquid_l) for row in rows[2:7:2]]


@cache
def answer_to(kind: str) -> fc.Answer:
    """Return the answer of the demo yard to one question."""
    return ASKED[kind]()
