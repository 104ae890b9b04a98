"""A yard that is small enough to carry, lay out and store in no time, and its answers as they are written."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from fitcheck.files.shop_file import read_shop
from fitcheck.questions import register
from fitcheck.things.answer import Answer
from fitcheck.things.proved import Proved
from fitcheck.things.shop import Shop

YARD = """
[rules]
tape_part = "0 mm"
[parts.ell]
shape = "angle"
size = ["1500 mm", "300 mm", "200 mm"]
wall = "10 mm"
metal = "aluminium"
[parts.pole]
shape = "block"
size = ["3 m", "40 mm", "30 mm"]
metal = "aluminium"
count = 3
[parts.tall]
shape = "block"
size = ["950 mm", "500 mm", "2600 mm"]
metal = "aluminium"
[routes.corner]
floor = [["0 m","0 m"], ["4 m","0 m"], ["4 m","1 m"], ["1 m","1 m"], ["1 m","4 m"], ["0 m","4 m"]]
headroom = "1800 mm"
clearance = "20 mm"
tilt_at_most = "60 deg"
from = { at = ["500 mm", "2500 mm"] }
to = { at = ["2500 mm", "500 mm"] }
posts = [{ at = ["3900 mm", "0 mm"], size = ["100 mm", "100 mm"] }]
[racks.rails]
kind = "rail"
rails = [{ length = "6500 mm", height = "2 m" }, { length = "3500 mm", height = "2 m" }]
part_gap = "50 mm"
[racks.bays]
kind = "bay"
bays = [{ name = "A1", inside = ["3100 mm", "500 mm", "400 mm"] }, { name = "A2", inside = ["2 m", "2 m", "2 m"] }]
part_gap = "10 mm"
[rooms.build]
size = ["4 m", "5 m"]
ceiling = "2500 mm"
aisle = "800 mm"
[[rooms.build.doors]]
wall = "south"
at = "500 mm"
width = "900 mm"
[[rooms.build.fixtures]]
name = "jig"
size = ["1 m", "2 m", "900 mm"]
at = ["1500 mm", "2 m"]
work = { left = "800 mm" }
[[rooms.build.fixtures]]
name = "bench"
size = ["600 mm", "2 m", "900 mm"]
at = ["3400 mm", "2 m"]
[rooms.crowded]
size = ["4 m", "5 m"]
aisle = "800 mm"
[[rooms.crowded.doors]]
wall = "south"
at = "500 mm"
width = "900 mm"
[[rooms.crowded.fixtures]]
name = "jig"
size = ["1 m", "2 m", "900 mm"]
at = ["1 m", "700 mm"]
turn = "20 deg"
[[rooms.crowded.fixtures]]
name = "bench"
size = ["600 mm", "2 m", "900 mm"]
at = ["3500 mm", "2 m"]
"""
Data = dict[str, Any]
Change = Callable[[Data], object]


def small_yard(folder: Path) -> Shop:
    """Write the yard into a folder, as small_yard.toml, and return it as it is read."""
    path = folder / "small_yard.toml"
    path.write_text(YARD, encoding="utf-8")
    return read_shop(path)


def as_written(answer: Answer) -> Data:
    """Return an answer as it is after it was written down and read."""
    data: Data = json.loads(json.dumps(register.to_dict(answer), allow_nan=False))
    return data


def seen(shop: Shop, data: Data, change: Change | None = None) -> Proved:
    """Return what the prover says of an answer, with a change made to it."""
    changed = copy.deepcopy(data)
    if change is not None:
        change(changed)
        assert changed != data
    return register.prove(changed, shop)
