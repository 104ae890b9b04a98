"""Which parts float in the etch tank, and what is to be done about it? Cautions are values, and sentences.

Prints, among others: read back, it is the same.
"""

import json

import fitcheck as fc

shop = fc.demo_shop()
for name in ("P11", "P15"):
    answer = fc.dip(shop.parts[name], shop.tanks["T1"], with_cures=False)
    told = answer.to_dict(shop.show)
    floats = [caution for caution in answer.cautions if caution.kind == "floats"]
    print(name, f"is pushed up by {floats[0].number('uplift_n'):.0f} N" if floats else "sinks")
    print(*told["cautions"], sep="\n")
    # What was kept in a file comes back as the same answer.
    again = fc.answer_from_dict(json.loads(json.dumps(told)), shop)
    print("read back, it is", "the same" if again.to_dict() == told else "another")
