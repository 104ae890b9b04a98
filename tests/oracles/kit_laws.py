"""Laws of the questions about passes, blocks, a bath, the order of loads and a tank to build."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
from strategies.drawn_shops import Drawn

from fitcheck.geometry.liquid.blocks_in_tank import with_pieces
from fitcheck.geometry.liquid.fill_level import fill_at
from fitcheck.proving.exact_gaps import recheck
from fitcheck.questions.block.ask import block
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.ladder.ask import ladder
from fitcheck.questions.mix.ask import counterflow, mix
from fitcheck.questions.passes.answer import AtLeast, PassAnswer
from fitcheck.questions.passes.ask import passes
from fitcheck.questions.passes.prove import prove_pass
from fitcheck.questions.register import from_dict, prove, to_dict
from fitcheck.questions.tank_for.ask import tank_for
from fitcheck.shapes.block import block as box_shape
from fitcheck.things.liquid import Liquid, Recipe
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.strength import read_strength

# Twice what the search forgives of a clearance, and sums of metres in double precision.
FORGIVEN_MM = 1e-5
# Litres that are sums of cubic metres in another order.
SAME = 1e-9


def more_clear(tank: Tank, rng: np.random.Generator) -> Tank:
    """Return the tank with a clearance more, as far as that leaves room inside."""
    key = str(rng.choice(["side_clearance_mm", "bottom_clearance_mm", "freeboard_mm", "tape_tank_mm"]))
    more = getattr(tank.rules, key) + float(rng.uniform(0.0, 20.0))
    try:
        return replace(tank, rules=replace(tank.rules, **{key: more}))
    except Refused:
        return tank


def in_passes(case: Drawn, rng: np.random.Generator) -> str:
    """Ask for passes: what is told holds, a forged answer does not, and more clearance never takes fewer."""
    shop = case.read("mm")
    part, tank = shop.parts["P"], shop.tanks["T"]
    answer = passes(part, tank)
    assert answer.verdict != "fits" or answer.at_least.passes <= len(answer.passes)
    if rng.random() < 0.6:
        again = from_dict(json.loads(json.dumps(to_dict(answer))), shop)
        assert isinstance(again, PassAnswer)
        proved = prove_pass(again, part, tank)
        assert proved.holds, [check.what for check in proved.checks if not check.holds]
        assert not prove_pass(forged_passes(again), part, tank).holds
    else:
        closer = passes(part, more_clear(tank, rng))
        if closer.verdict == "fits":
            assert answer.at_least.passes <= len(closer.passes)
            assert answer.verdict != "does not fit"
    return f"{answer.verdict}, {len(answer.passes)}"


def forged_passes(answer: PassAnswer) -> PassAnswer:
    """Return the answer with more passes proven to be needed than are, or less liquid in one of them."""
    if answer.passes:
        first = replace(answer.passes[0], level_mm=answer.passes[0].level_mm - 10.0)
        # With nothing told of fewer passes, only what looks at the passes can refuse it.
        return replace(answer, passes=(first, *answer.passes[1:]), at_least=AtLeast(1, ""))
    return replace(answer, at_least=AtLeast(9, "area", share_at_most=0.01))


def blocks(case: Drawn, rng: np.random.Generator) -> str:
    """Stand blocks: they never take more liquid than none, and the parts go in beside them all the same."""
    shop = case.read("mm")
    tank, parts = shop.tanks["T"], list(shop.parts.values())
    try:
        answer = block(tank, parts)
    except Refused as fault:
        assert fault.cure
        return "refused"
    for design in answer.designs:
        assert design.liquid_l <= answer.without_l * (1.0 + SAME)
        assert math.isclose(design.saves_l, answer.without_l - design.liquid_l, abs_tol=1e-6)
        assert design.saves_l <= answer.bound_l * (1.0 + SAME)
        beside = with_pieces(tank, design.pieces)
        for part, pose in zip(parts, design.poses, strict=True):
            assert recheck(part, beside, pose).spare_mm >= -FORGIVEN_MM
        if design.kind == "block":
            most = max(
                fill_at(part, pose, beside, design.level_mm).liquid_l
                for part, pose in zip(parts, design.poses, strict=True)
            )
            assert most <= design.liquid_l * (1.0 + 1e-6)
    return "some" if answer.designs else "none"


def bath(case: Drawn, rng: np.random.Generator) -> str:
    """Mix a bath: all of it is concentrate or water, twice as strong takes twice as much, rinses dilute."""
    shop = case.read("mm")
    tank, parts = shop.tanks["T"], list(shop.parts.values())
    level, share = float(rng.uniform(0.1, 1.0)) * tank.depth_mm, float(rng.uniform(1.0, 40.0))
    ratio = float(rng.uniform(10.0, 5000.0))
    weak, strong = (
        mix(tank, level, these, Recipe(read_strength(f"{k * share:.9f} %"), rinse_ratio=ratio))
        for k, these in ((1, parts), (2, []))
    )
    for each in (weak, strong):
        made = each.make_up
        assert made.concentrate_l is not None
        assert math.isclose(made.concentrate_l + made.water_l, each.liquid_l, rel_tol=SAME)
        assert 0.0 <= each.drag_out_l <= each.drag_out_most_l
    assert math.isclose(strong.make_up.concentrate_l or 0.0, 2.0 * (weak.make_up.concentrate_l or 1.0))
    assert len(weak.left_out) + len(weak.carried) == len(parts)
    for rinse in weak.rinses:
        # Each tank of a counterflow rinse is weaker than the one before: the ratio is 1 + f + f^2 and so on.
        flow = rinse.times_drag_out
        assert math.isclose(sum(flow**k for k in range(rinse.stages + 1)), ratio, rel_tol=1e-6)
        assert counterflow(2.0 * ratio, rinse.stages) > flow
    # Twice as many pieces carry off twice as much.
    twice = mix(tank, level, [replace(part, count=2 * part.count) for part in parts])
    once = mix(tank, level, parts) if weak.carried and rng.random() < 0.5 else None
    assert once is None or math.isclose(twice.drag_out_l, 2.0 * once.drag_out_l, rel_tol=SAME)
    return "some left out" if weak.left_out else "all in"


def rungs(case: Drawn, rng: np.random.Generator) -> str:
    """Order loads and blocks: what is mixed is between its bound and none, proved, and forged refused."""
    shop = case.read("mm")
    few = None if rng.random() < 0.5 else int(rng.integers(0, 4))
    answer = ladder(shop, few=few)
    assert answer.bound_l <= answer.mix_at_most_l * (1.0 + SAME) + SAME
    assert answer.mix_at_most_l <= answer.without_blocks_l * (1.0 + SAME) + SAME
    for build in answer.builds:
        assert len(build.blocks) <= (few or 0)
        assert list(build.mix_l) == sorted(build.mix_l, reverse=True)
    data = json.loads(json.dumps(to_dict(answer)))
    what = int(rng.integers(5)) if answer.steps else 4
    if what == 0:
        data["baths"][0]["mix_at_most_l"] *= 0.99
    elif what == 1:
        data["steps"][-1]["lot"]["parts"][0]["pose"]["matrix"][2][3] -= 1000.0
    elif what == 2:
        data["baths"][0]["bound_l"] = data["bound_l"] = answer.mix_at_most_l * 1.01 + 1.0
    assert prove(data, shop).holds == (what > 2)
    return "nothing goes in" if not answer.steps else "own blocks" if few is None else f"{few} built"


def new_tanks(case: Drawn, rng: np.random.Generator) -> str:
    """Build a tank for a part: it goes in, on no less than is proven, and more clearance takes no less."""
    shop = case.read("mm")
    part, rules = shop.parts["P"], shop.tanks["T"].rules
    answer = tank_for([part], rules)
    new = answer.tanks[0]
    tank = Tank("new", box_shape(new.inside_mm).solid, new.inside_mm, Liquid("water"), rules)
    free = replace(part, attitude=replace(part.attitude, swing_rad=math.pi))
    found = dip(free, tank, with_cures=False)
    assert found.verdict == "fits"
    assert answer.checked == ((part.name, "fits"),)
    assert answer.at_least_l <= new.liquid_l * (1.0 + SAME)
    assert math.isclose(new.liquid_l, math.prod((*new.inside_mm[:2], new.level_mm)) / 1e6, rel_tol=1e-6)
    if rng.random() < 0.5:
        return "told" if answer.in_two is None else "less in two passes"
    more = replace(rules, side_clearance_mm=rules.side_clearance_mm + float(rng.uniform(0.0, 40.0)))
    assert answer.at_least_l <= tank_for([part], more).tanks[0].liquid_l * (1.0 + SAME)
    return "no less with more clearance"
