"""Which parts of the demo yard fit which tank with least to spare? Every pair, the tightest first.

Prints, among others: P08 in T1 has 2.5 mm to spare.
"""

import fitcheck as fc

shop = fc.demo_shop()
found = []
for part in (shop.parts[name] for name in ("P01", "P08", "P09", "P15")):
    for tank in (shop.tanks["T1"], shop.tanks["T4"]):
        answer = fc.dip(part, tank, with_cures=False)
        if isinstance(answer, fc.Fits):
            found.append((answer.spare.mm, part.name, tank.name))
for spare_mm, part_name, tank_name in sorted(found):
    print(f"{part_name} in {tank_name} has {spare_mm:.1f} mm to spare")
