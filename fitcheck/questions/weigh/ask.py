"""What a part weighs dry, under the liquid, and lifted out of it (Archimedes; what it catches is exact)."""

from __future__ import annotations

from dataclasses import replace

from fitcheck.questions.dip.answer import Fits, MeasureAgain
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.hang.hook_forces import loads_of
from fitcheck.questions.weigh.answer import WeighAnswer
from fitcheck.questions.weigh.cautions import cautions_of
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import STANDARD_GRAVITY_M_S2


def weigh(part: Part, tank: Tank, angles: Angles | None = None) -> WeighAnswer:
    """Tell what a part weighs dry, under the liquid of a tank, and lifted out of it.

    Parameters
    ----------
    part
        The part; its mass is as the shop gives it, or its metal's density times its volume.
    tank
        The tank; its liquid's specific gravity counts.
    angles
        How it hangs, in radians; where left out, the way that `dip` advises.

    Returns
    -------
    WeighAnswer
        Masses in kg, forces in N, volumes in litres. It is figures and no verdict: that the part goes under
        at these angles is checked by `dip` alone.

    Raises
    ------
    Refused
        Where no angles are given and `dip` shows no way in which the part goes under.

    Notes
    -----
    On the hook under the liquid: its weight less that of the liquid displaced by metal, sealed space and the
    air caught (Archimedes, On Floating Bodies I, propositions 5 to 7). Lifted out: with the liquid that
    stands in it as it hangs; the film that clings is not counted, nor is suction or a jerk.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> answer = fc.weigh(shop.parts["P08"], shop.tanks["T1"])
    >>> answer.under_n < answer.dry_n <= answer.lift_out_n
    True
    """
    way = _advised(part, tank) if angles is None else angles
    gravity = tank.liquid.specific_gravity
    loads = loads_of(part, rotation_from(way), gravity)
    lift_out_kg = loads.breakout.force_n / STANDARD_GRAVITY_M_S2
    answer = WeighAnswer(
        part=part.name,
        tank=tank.name,
        angles=way,
        advised=angles is None,
        dry_kg=part.mass_kg,
        dry_n=loads.dry.force_n,
        displaced_l=(loads.dry.force_n - loads.under.force_n) / (gravity * STANDARD_GRAVITY_M_S2),
        air_l=loads.held.air_l,
        under_n=loads.under.force_n,
        carry_out_l=loads.held.carry_out_l,
        lift_out_kg=lift_out_kg,
        lift_out_n=loads.breakout.force_n,
        asked=Shop.of(part, tank),
    )
    return replace(answer, cautions=cautions_of(answer, tank))


def _advised(part: Part, tank: Tank) -> Angles:
    told = dip(part, tank, with_cures=False)
    if isinstance(told, Fits | MeasureAgain):
        return told.advice.pose.angles
    raise Refused(
        f"no way is known in which {part.name} goes under in {tank.name}",
        "say how it hangs (--tilt, --roll), or name another tank",
    )
