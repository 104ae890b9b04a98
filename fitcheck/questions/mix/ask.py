"""What a bath takes: make-up, what to buy, what the parts carry off, and the water that rinses them.

Rates of drag-out are those of plating handbooks, told from memory: no print of them was at hand. They are
given low and high because they are no better known. The sums are exact.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fitcheck.questions.dip.answer import Fits, MeasureAgain
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.fill.ask import fill
from fitcheck.questions.measure.ask import measure
from fitcheck.questions.mix.answer import Carried, Drains, MixAnswer, Rinse, StaticRinse
from fitcheck.questions.mix.cautions import cautions_of
from fitcheck.things.liquid import Recipe
from fitcheck.things.make_up import make_up
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.progress import Progress, silent

# Litres a square metre, low and high, after a drip of DRIP_S (plating handbooks, from memory).
RATES_L_M2 = {"well": (0.08, 0.08), "poorly": (0.16, 0.40), "flat": (0.40, 0.80)}
# Faces lean this far from upright, or less, to drain well; from level, or less, to lie flat (our reading).
STEEP_DEG, FLAT_DEG = 30.0, 15.0
# A first target for a rinse (plating handbooks: 1000 to 1; a critical rinse 5,000 to 20,000 to 1).
RINSE_RATIO = 1000.0
RINSE_STAGES = 2
SHOWN_STAGES = 3
# A drip: 10 s at least, a large gain to 30 s, little after 40 s (drainage measurements); the curve is
# end + (1 - end) exp(-t / fall), its two figures are ours (from memory) and made to agree with that.
DRIP_S, DRIP_FALL_S, DRIP_END = 10.0, 12.0, 0.4
DRIP_STEPS_S = (5.0, 10.0, 20.0, 30.0, 40.0, 60.0)


@dataclass(frozen=True, slots=True)
class Wishes:
    """How the bath is used: how a part drains and drips, and a rinse that stands, if there is one."""

    drains: Drains = "as hung"
    drip_s: float = DRIP_S
    static_l: float | None = None


def mix(
    tank: Tank,
    level_mm: float,
    parts: Sequence[Part] = (),
    recipe: Recipe | None = None,
    wishes: Wishes | None = None,
    progress: Progress = silent,
) -> MixAnswer:
    """Tell what a bath takes at a level, and what these parts take off it.

    Parameters
    ----------
    tank : Tank
        Its liquid's recipe is what is mixed, where `recipe` is not given.
    level_mm : float
        Of the liquid over the tank floor, no part in.
    parts : sequence of Part
        Each piece goes once through the bath, hung as `dip` advises; parts that are not shown to fit are left
        out and told.
    recipe : Recipe, optional
        Instead of the liquid's own.
    wishes : Wishes, optional
        How the parts drain, how many seconds they drip, and the litres of a rinse that stands.
    progress : callable
        Called after each part.

    Returns
    -------
    MixAnswer
        Litres, kg and square metres: concentrate and water, containers to buy, drag-out from low to high,
        and rinse water. What the recipe does not say is None.

    Raises
    ------
    Refused
        For a level outside the tank, and for a drip or a static rinse that is none.

    Notes
    -----
    Rates of drag-out are those of plating handbooks, from memory; counterflow rinses are solved exactly
    (`counterflow`), a standing rinse load by load (`static_share`).

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> answer = fc.mix(shop.tanks["T4"], 300.0, [shop.parts["P15"]])
    >>> round(answer.liquid_l, 6), answer.make_up.concentrate_l
    (216.0, None)
    >>> [row.part for row in answer.carried]
    ['P15']
    """
    recipe, wishes = recipe or tank.liquid.recipe, wishes or Wishes()
    _check(wishes)
    liquid_l = fill(tank, level_mm)[0].liquid_l
    carried, left_out = _carried_by(parts, tank, recipe, wishes, progress)
    standing = sum(row.carry_out_l for row in carried)
    film = sum(row.film_l for row in carried)
    drag_out = film + standing
    ratio = recipe.rinse_ratio or RINSE_RATIO
    stages = recipe.rinse_stages or RINSE_STAGES
    shown = range(1, max(SHOWN_STAGES, stages) + 1)
    rinses = tuple(Rinse(n, times := counterflow(ratio, n), times * drag_out) for n in shown)
    pieces = sum(row.count for row in carried)
    return MixAnswer(
        tank=tank.name,
        liquid=tank.liquid.name,
        level_mm=level_mm,
        liquid_l=liquid_l,
        make_up=make_up(recipe, liquid_l, drag_out),
        drag_out_l=drag_out,
        drag_out_most_l=sum(row.film_most_l for row in carried) + standing,
        carried=carried,
        drip=tuple((s, film / drip_share(wishes.drip_s) * drip_share(s) + standing) for s in DRIP_STEPS_S),
        rinse_ratio=ratio,
        rinse_stages=stages,
        rinse_flow_l=rinses[stages - 1].flow_l,
        rinses=rinses,
        static=_static(wishes.static_l, drag_out, pieces, ratio),
        area_m2=sum(row.area_m2 for row in carried),
        area_at_most_m2=None if recipe.area_at_most_m2_l is None else recipe.area_at_most_m2_l * liquid_l,
        recipe=recipe,
        left_out=left_out,
        cautions=cautions_of(tank),
        asked=Shop.of(tank, *parts),
    )


def counterflow(ratio: float, stages: int) -> float:
    """Return the fresh water for a rinse of some tanks in a row, in times the drag-out.

    Each tank hands on the drag-out D and is fed Q: at rest the bath over the last rinse is
    1 + r + r^2 + ... + r^n with r = Q / D, exactly. Raises `Refused` for a ratio of 1 or less, or no tank.
    """
    if not (ratio > 1.0 and math.isfinite(ratio)):
        raise Refused(f"a rinse ratio of {ratio:g}", "give more than 1, as in 1000")
    if stages < 1:
        raise Refused(f"{stages} rinse tanks", "give 1 or more")
    from scipy.optimize import brentq

    def over(r: float) -> float:
        return float(np.polyval(np.ones(stages + 1), r)) - ratio

    return float(brentq(over, 0.0, ratio))


def static_share(rinse_l: float, drag_out_l: float, loads: int) -> float:
    """Return the strength of a standing rinse after so many loads, as a share of the bath's.

    Each load brings its drag-out in and, mixed, carries as much off: 1 - (V / (V + D))^m.
    """
    return -math.expm1(-loads * math.log1p(drag_out_l / rinse_l))


def loads_to_dump(rinse_l: float, drag_out_l: float, ratio: float) -> int:
    """Return how many loads a standing rinse takes before it is stronger than one in `ratio` of the bath."""
    loads = math.floor(-math.log1p(-1.0 / ratio) / math.log1p(drag_out_l / rinse_l))
    # The quotient of two logarithms may round to either side of a whole number.
    return max(
        m
        for m in (loads - 1, loads, loads + 1)
        if m <= 0 or static_share(rinse_l, drag_out_l, m) * ratio <= 1.0
    )


def drip_share(seconds: float) -> float:
    """Return what clings after a drip, against what does after the usual one of 10 s."""

    def left(s: float) -> float:
        return DRIP_END + (1.0 - DRIP_END) * math.exp(-s / DRIP_FALL_S)

    return left(seconds) / left(DRIP_S)


def film_rates(part: Part, pose: Pose, drains: Drains = "as hung") -> tuple[float, float]:
    """Return how much clings to a part, low and high, in litres a square metre.

    As hung: every face by its slope, steep ones as well drained, level ones as flat, others as poorly.
    """
    if drains != "as hung":
        return RATES_L_M2[drains]
    corners = part.skin.vertices_mm[part.skin.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]) @ pose.rotation.T
    area = np.linalg.norm(normal, axis=1)
    flat = np.abs(normal[:, 2]) >= area * math.cos(math.radians(FLAT_DEG))
    steep = np.abs(normal[:, 2]) <= area * math.sin(math.radians(STEEP_DEG))
    shares = [float(area[which].sum() / area.sum()) for which in (steep, ~steep & ~flat, flat)]
    low, high = (
        sum(share * rate[k] for share, rate in zip(shares, RATES_L_M2.values(), strict=True)) for k in (0, 1)
    )
    return low, high


def _carried_by(
    parts: Sequence[Part], tank: Tank, recipe: Recipe, wishes: Wishes, progress: Progress
) -> tuple[tuple[Carried, ...], tuple[tuple[str, str], ...]]:
    carried: list[Carried] = []
    left_out: list[tuple[str, str]] = []
    for part in parts:
        answer = dip(part, tank, with_cures=False)
        if isinstance(answer, Fits | MeasureAgain):
            held, pose = answer.advice.held, answer.advice.pose
            own = recipe.drag_out_l_m2
            rates = film_rates(part, pose, wishes.drains) if own is None else (own, own)
            area = part.count * (measure(part).area_m2 - held.bare_m2)
            films = [rate * drip_share(wishes.drip_s) * area for rate in rates]
            standing = part.count * held.carry_out_l
            carried.append(Carried(part.name, part.count, area, *rates, films[0], films[1], standing))
        else:
            left_out.append((part.name, f"{answer.verdict}: {answer.reason}"))
        progress()
    return tuple(carried), tuple(left_out)


def _static(rinse_l: float | None, drag_out_l: float, pieces: int, ratio: float) -> StaticRinse | None:
    if rinse_l is None or not pieces or drag_out_l <= 0.0:
        return None
    each = drag_out_l / pieces
    return StaticRinse(
        rinse_l, each, loads_to_dump(rinse_l, each, ratio), static_share(rinse_l, each, pieces)
    )


def _check(wishes: Wishes) -> None:
    if not (wishes.drip_s >= 0.0 and math.isfinite(wishes.drip_s)):
        raise Refused(f"a drip of {wishes.drip_s:g} s", "give 0 s or more, as 10 s or 30 s")
    if wishes.static_l is not None and not wishes.static_l > 0.0:
        raise Refused("a static rinse of no water", 'give its volume, as in "60 gal"')
