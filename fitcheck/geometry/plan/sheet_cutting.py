"""Layout of a block's boards on stock sheets, to be sawn straight through (guillotine cuts, rectpack)."""

from __future__ import annotations

import math
from collections.abc import Sequence

from fitcheck.things.stock import Cut, CutSheet, Panel, Stock

# The packer takes whole numbers.
_PER_MM = 10
# What the saw takes: an eighth of an inch (common practice).
KERF_MM = 3.175


def cut_sheets(panels: Sequence[Panel], stock: Stock) -> tuple[CutSheet, ...]:
    """Return the boards laid on as few stock sheets as are found, the saw's cut between them.

    Guillotine packing, best short side first, boards turned where that helps (J. Jylanki, A Thousand Ways to
    Pack the Bin, 2010). Every board must go on a sheet by itself.
    """
    import rectpack

    kerf = math.ceil(KERF_MM * _PER_MM)
    packer = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline,
        bin_algo=rectpack.PackingBin.BFF,
        pack_algo=rectpack.GuillotineBssfSas,
        sort_algo=rectpack.SORT_AREA,
        rotation=True,
    )
    for k, panel in enumerate(panels):
        for _ in range(panel.count):
            width, height = (math.ceil(side * _PER_MM) + kerf for side in panel.size_mm)
            packer.add_rect(width, height, rid=k)
    packer.add_bin(*(math.floor(side * _PER_MM) + kerf for side in stock.sheet_mm), count=float("inf"))
    packer.pack()
    sheets: list[list[Cut]] = []
    for sheet, x, y, width, _, k in sorted(packer.rect_list()):
        while len(sheets) <= sheet:
            sheets.append([])
        first, second = panels[k].size_mm
        turned = width != math.ceil(first * _PER_MM) + kerf
        size = (second, first) if turned else (first, second)
        sheets[sheet].append(Cut(panels[k].name, (x / _PER_MM, y / _PER_MM), size))
    return tuple(CutSheet(tuple(cuts)) for cuts in sheets)
