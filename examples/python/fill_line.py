"""At which level does the hatch frame go under, and what does each inch of cover cost? Liquid by cover.

Prints, among others: cover 50.8 mm: 1490 l.
"""

from dataclasses import replace

import fitcheck as fc

shop = fc.demo_shop()
part, tank = shop.parts["P08"], shop.tanks["T1"]
for cover_mm in (25.4, 50.8):
    asked = replace(tank, rules=replace(tank.rules, cover_mm=cover_mm))
    match fc.dip(part, asked):
        case fc.Fits(advice=advice):
            print(f"cover {cover_mm:g} mm: {advice.fill.liquid_l:.0f} l")
        case other:
            print(f"cover {cover_mm:g} mm: {other.verdict}")
