"""Which tank takes which part, and how it may hang there beside others: what loads are made from."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from fitcheck.geometry.liquid.attitude_map import vessel_of
from fitcheck.geometry.mesh.measure import volume_mm3
from fitcheck.questions.dip.answer import DipAnswer, Fits
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.lot.answer import LeftOut
from fitcheck.questions.lot.hanging_candidates import Footprint, Ways
from fitcheck.things.answer import Verdict
from fitcheck.things.hook import Hook
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.things.work import AskedWork
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM3_PER_LITRE, show_length

# More pieces than this is many days' work, and would only be told as an endless wait.
MOST_PIECES = 400


@dataclass(frozen=True, slots=True, eq=False)
class Kind:
    """A part, as many of it as go in, with its ways in each tank that takes it."""

    part: Part
    ways: Mapping[str, tuple[Footprint, ...]]


class Fitting:
    """The answers of `dip` for parts in tanks, and the ways to hang them there, each asked for once."""

    def __init__(self, parts: Iterable[Part]) -> None:
        self.parts = tuple(parts)
        self._ways: dict[str, Ways] = {}
        self._answers: dict[tuple[str, str], DipAnswer] = {}
        self._found: dict[tuple[str, str], tuple[Footprint, ...]] = {}
        self._volumes: dict[str, float] = {}

    @classmethod
    def of(cls, shop: Shop) -> Fitting:
        """Return it for all parts of a shop; raises `Refused` for none, or too many pieces."""
        pieces = sum(part.count for part in shop.parts.values())
        if not pieces:
            raise Refused("there is no part in this shop", "add a [parts.NAME] with its shape or its mesh")
        if pieces > MOST_PIECES:
            raise Refused(
                f"{pieces} pieces", f"ask about {MOST_PIECES} at a time at most: make count smaller"
            )
        return cls(shop.parts.values())

    def answer(self, part: Part, tank: Tank) -> DipAnswer:
        """Return what `dip` says."""
        key = part.name, tank.name
        if key not in self._answers:
            self._answers[key] = dip(part, tank, with_cures=False, vessel=self._of(part).vessel)
        return self._answers[key]

    def ways(self, part: Part, tank: Tank) -> tuple[Footprint, ...]:
        """Return the ways to hang the part in the tank; none where it does not fit, tapes included."""
        key = part.name, tank.name
        answer = self.answer(part, tank)
        if key not in self._found:
            self._found[key] = self._of(part).of(answer, tank) if isinstance(answer, Fits) else ()
        return self._found[key]

    def kind(self, part: Part, tanks: Sequence[Tank]) -> Kind:
        """Return the part with its ways in those of the tanks that take it."""
        ways = {
            tank.name: tuple(way for way in self.ways(part, tank) if way.wet_kg <= hoist_kg(tank))
            for tank in tanks
        }
        return Kind(part, {name: found for name, found in ways.items() if found})

    def may_take(self, part: Part, tanks: Sequence[Tank]) -> tuple[Tank, ...]:
        """Return the tanks that are not proven to have no way for the part, tapes included."""
        unsettled = {"fits", "not found"}
        return tuple(tank for tank in tanks if self.answer(part, tank).verdict in unsettled)

    def volume_l(self, part: Part) -> float:
        """Return what the part displaces when it is under, air left out."""
        if part.name not in self._volumes:
            self._volumes[part.name] = volume_mm3(part.skin) / MM3_PER_LITRE
        return self._volumes[part.name]

    def air_l(self, footprint: Footprint, level_mm: float) -> float:
        """Return the air that the part catches under a level."""
        pose = footprint.pose
        under = level_mm - float(pose.shift_mm[2])
        return self._of(footprint.part).vessel.air_under_mm3(pose.rotation, under) / MM3_PER_LITRE

    def best_hook(self, part: Part, tank: Tank) -> Hook | None:
        """Return the hook budget that leaves most for a part that fits; see `Ways`."""
        answer = self.answer(part, tank)
        return self._of(part).best_hook(answer, tank) if isinstance(answer, Fits) else None

    def _of(self, part: Part) -> Ways:
        if part.name not in self._ways:
            self._ways[part.name] = Ways(part, vessel_of(part))
        return self._ways[part.name]


def hoist_kg(tank: Tank) -> float:
    """Return the most that the tank's hoist lifts; infinite where the shop has not said."""
    return math.inf if tank.rim.hoist_kg is None else tank.rim.hoist_kg


def left_out(fitting: Fitting, part: Part, work: AskedWork) -> LeftOut:
    """Return why a part has no load: the answer of the tank that comes nearest."""
    answers = [fitting.answer(part, tank) for tank in work.tanks]
    firm = {"measure again": 0, "not found": 1, "does not fit": 2}
    inside = [tank for tank, answer in zip(work.tanks, answers, strict=True) if answer.verdict == "fits"]
    if any(fitting.ways(part, tank) for tank in inside):
        why = "it fits, but with what it carries out it is more than the hoist lifts"
        return LeftOut(part.name, part.count, work.name, "does not fit", why)
    if inside:
        return _not_lifted(fitting, part, inside, work.name)
    best = min(answers, key=lambda answer: (firm[answer.verdict], -answer.spare.at_most_mm))
    return LeftOut(part.name, part.count, work.name, best.verdict, f"{best.tank}: {best.reason}")


def _not_lifted(fitting: Fitting, part: Part, tanks: Sequence[Tank], work: str) -> LeftOut:
    """Return why a part that fits these tanks is not lifted out of any of them: the one most nearly is told.

    That it is not is proven only where it may hang in one way up.
    """
    hooks = [(tank, fitting.best_hook(part, tank)) for tank in tanks]
    tank, hook = max(hooks, key=lambda pair: _spare_mm(pair[1]))
    most = part.attitude
    verdict: Verdict = "does not fit" if most.tilt_rad == most.roll_rad == 0.0 else "not found"
    why = "it fits, but its picks hold it at none of the ways tried"
    if hook is not None and hook.needed_mm is not None and hook.height_mm is not None:
        needed, there = _length(hook.needed_mm), _length(hook.height_mm)
        tried = "at the lowest of the ways tried " if verdict == "not found" else ""
        why = f"{tried}its slings need a hook at {needed}, the hook is at {there}"
        if _spare_mm(hook) > -hook.tape_mm:
            verdict, why = "measure again", f"{why}: too near to tell by the tape"
    return LeftOut(part.name, part.count, work, verdict, f"{tank.name}: {why}; ask fitcheck hang")


def _spare_mm(hook: Hook | None) -> float:
    return -math.inf if hook is None or hook.spare_mm is None else hook.spare_mm


def _length(length_mm: float) -> str:
    return f"{show_length(length_mm, 'ft-in')} ({show_length(length_mm, 'mm')})"
