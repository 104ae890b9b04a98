"""Is a weighing right? Each number is worked out again from the part, the tank and the angles alone."""

from __future__ import annotations

from fitcheck.geometry.liquid.pockets import UPSIDE_DOWN, Vessel
from fitcheck.geometry.mesh.hole_caps import NARROW_MM, holes_capped
from fitcheck.geometry.mesh.measure import skin_of, volume_mm3
from fitcheck.proving.known import known_thing
from fitcheck.proving.same import same
from fitcheck.questions.weigh.answer import WeighAnswer
from fitcheck.things.pose import rotation_from
from fitcheck.things.proved import Check, NotChecked, Proved
from fitcheck.things.shop import Shop
from fitcheck.words.units import MM3_PER_LITRE, STANDARD_GRAVITY_M_S2


def prove(answer: WeighAnswer, shop: Shop) -> Proved:
    """Tell whether a weighing is right for this shop; raises `Refused` where it is about another.

    That the way it hangs is the one that `dip` advises would be a search again, and is not checked.
    """
    part = known_thing(shop.parts, answer.part, "part")
    tank = known_thing(shop.tanks, answer.tank, "tank")
    closed, turn = holes_capped(part.skin, NARROW_MM), rotation_from(answer.angles)
    vessel, gravity = Vessel(closed), tank.liquid.specific_gravity
    air, liquid = (float(vessel.air_mm3(way[None])[0]) / MM3_PER_LITRE for way in (turn, UPSIDE_DOWN @ turn))
    displaced = volume_mm3(skin_of(closed)) / MM3_PER_LITRE + air
    wet_kg = part.mass_kg + gravity * liquid
    pairs = {
        "its weight dry is its mass": [
            (answer.dry_kg, part.mass_kg),
            (answer.dry_n, part.mass_kg * STANDARD_GRAVITY_M_S2),
        ],
        "the air caught is what the surface holds": [(answer.air_l, air)],
        "it displaces its metal, sealed space and air": [(answer.displaced_l, displaced)],
        "its pull under the liquid follows": [
            (answer.under_n, (part.mass_kg - gravity * displaced) * STANDARD_GRAVITY_M_S2)
        ],
        "the liquid carried out is what it holds upside down": [(answer.carry_out_l, liquid)],
        "its weight lifted out follows": [
            (answer.lift_out_kg, wet_kg),
            (answer.lift_out_n, wet_kg * STANDARD_GRAVITY_M_S2),
        ],
    }
    checks = tuple(Check(what, all(same(*pair) for pair in each)) for what, each in pairs.items())
    left = (NotChecked("advised", "that dip advises this way"),) if answer.advised else ()
    return Proved(f"{part.name} in {tank.name}", None, checks, left)
