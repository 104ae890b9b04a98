"""Parts in the bays of a storage rack."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.mesh.measure import volume_mm3
from fitcheck.geometry.poses.axis_aligned_ways import Held, axis_aligned_ways, held_at
from fitcheck.geometry.poses.dip_problem import dip_problem, in_room, pose_in
from fitcheck.geometry.rotations.rotation_search import FIT_MM, Budget, Least
from fitcheck.geometry.solver.bin_assignment import Bin, Kind, Laid, Way, in_bays, in_corners
from fitcheck.geometry.statics.sag import sag_of
from fitcheck.questions.store.answer import NotStored, StoreAnswer, Stored
from fitcheck.shapes.block import block
from fitcheck.things.answer import Verdict
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.rack import Bay, BayRack
from fitcheck.things.tank import Tank
from fitcheck.words.units import STANDARD_GRAVITY_M_S2

# A bay either takes a part or not: the search need not be closer than this.
_BUDGET = Budget(gap_mm=0.05, gap_share=1e-3, most_cells=60_000)
_ROUNDING_MM = 1e-6
# Deflection in the middle of a simple span under even load: 5 w l^4 / 384 E I; and at the end of an overhang
# c beyond it: w c (3 c^3 + 4 c^2 l - l^3) / 24 E I (S. Timoshenko, Strength of Materials, from memory).
_SPAN, _OVERHANG = 5.0 / 384.0, 1.0 / 24.0


@dataclass(frozen=True, slots=True, eq=False)
class _Lying:
    """A way to lie in a bay; its sag between arms."""

    held: Held
    bay: int
    sag_mm: float | None
    flush: bool


def lie_in_bays(rack: BayRack, parts: Sequence[Part], tape_mm: float) -> StoreAnswer:
    """Tell where parts lie, the first needed in the nearest bays."""
    found = [_ways(rack, part, _tape(part, tape_mm)) for part in parts]
    ways = [each for each, _ in found]
    kinds = [
        _kind(part, mine, k, _tape(part, tape_mm))
        for k, (part, mine) in enumerate(zip(parts, ways, strict=True))
    ]
    laid = _within_load(rack, parts, in_bays(kinds, [_bin(bay) for bay in rack.bays], rack.part_gap_mm))
    left = _left_out(parts, ways, laid, [ruled for _, ruled in found])
    verdict: Verdict = "fits" if not left else "not found"
    proof = "by the metal of the parts and the room in the bays"
    count: int | None = _at_least(rack, parts)
    if any(ruled for _, ruled in found):
        verdict, count = "does not fit", None
    elif count is not None and count > 1:
        verdict = "does not fit"
    if verdict == "not found" and _goes_by_the_tape(rack, parts, tape_mm):
        verdict = "measure again"
    lying = sum(part.count for part in parts) - sum(each.count for each in left)
    reason = {
        "fits": f"all {lying} parts lie in their bays",
        "does not fit": f"{lying} parts lie in their bays, {sum(each.count for each in left)} do not",
        "measure again": f"{lying} parts surely lie in their bays; for the others the tape decides",
    }.get(
        verdict, f"{lying} parts lie in their bays; no way to lay the others was found, and none is ruled out"
    )
    return StoreAnswer(rack, verdict, reason, _places(rack, parts, ways, laid), left, count, proof)


def _tape(part: Part, tape_mm: float) -> float:
    return (tape_mm if part.tape_mm is None else part.tape_mm) + 2.0 * part.chord_mm


def _goes_by_the_tape(rack: BayRack, parts: Sequence[Part], tape_mm: float) -> bool:
    """Tell whether all parts lie in the bays if each size is as small as the tape allows."""
    less = [-_tape(part, tape_mm) for part in parts]
    kinds = [
        _kind(part, _ways(rack, part, more)[0], k, more)
        for k, (part, more) in enumerate(zip(parts, less, strict=True))
    ]
    laid = in_corners(kinds, [_bin(bay) for bay in rack.bays], rack.part_gap_mm)
    return len(_within_load(rack, parts, laid)) == sum(part.count for part in parts)


def _kind(part: Part, ways: Sequence[_Lying], order: int, more: float) -> Kind:
    """Return what a part may take in the bays; more: what is added to each of its sizes."""
    taken = tuple(
        Way((way.bay,), float(way.held.size_mm[0]) + more, float(way.held.size_mm[1]) + more, way.flush)
        for way in ways
    )
    return Kind(part.count, taken, 1000 - order)


def _bin(bay: Bay) -> Bin:
    length, depth, _ = bay.inside_mm
    off = tuple((x, y, x + wide, y + deep) for (x, y), (wide, deep) in _uprights(bay))
    return Bin(length, depth, off)


def _uprights(bay: Bay) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    return [(post.at_mm, post.size_mm) for post in bay.uprights]


def _ways(rack: BayRack, part: Part, more_mm: float) -> tuple[list[_Lying], bool]:
    """Return the ways a part may lie, and whether it is proven that no bay takes it at any attitude.

    Square to the bay where it can; else as the search turns it. Bays alike are searched once.
    """
    found: list[_Lying] = []
    ruled = True
    searched: dict[tuple[float, ...], tuple[Held | None, bool]] = {}
    for k, bay in enumerate(rack.bays):
        square = [held for held in axis_aligned_ways(part) if _goes_in(held, bay, more_mm)]
        lying = [way for held in square if (way := _lain(rack, part, held, k)) is not None]
        found += lying
        if square:
            ruled = ruled and not lying and bay.supports_mm is None
            continue
        if bay.inside_mm not in searched:
            searched[bay.inside_mm] = _turned(part, bay, more_mm)
        turned, none = searched[bay.inside_mm]
        ruled = ruled and none
        way = _lain(rack, part, turned, k) if turned is not None else None
        found += [way] if way is not None else []
    if rack.load_kg is not None and part.mass_kg > rack.load_kg:
        return [], True
    return found, ruled


def _goes_in(held: Held, bay: Bay, more_mm: float) -> bool:
    return bool((held.size_mm + more_mm <= np.array(bay.inside_mm) + _ROUNDING_MM).all())


def _turned(part: Part, bay: Bay, more_mm: float) -> tuple[Held | None, bool]:
    """Return how a part goes into an empty bay at any attitude, and whether there is proven to be no way."""
    box = block(bay.inside_mm)
    tank = Tank(bay.name, box.solid, bay.inside_mm, Liquid("air"))
    case = dip_problem(part, tank)
    search = in_room(case, case.outer)
    best: Least = search.least(case.turns, _BUDGET)
    # tau is minus the spare at every side: half of what the tape may add at each.
    if best.tau_mm <= -more_mm / 2.0 + FIT_MM:
        return held_at(part, pose_in(case, case.outer, best.angles_rad).rotation), False
    return None, best.at_least_mm > more_mm / 2.0


def _lain(rack: BayRack, part: Part, held: Held, bay: int) -> _Lying | None:
    """Return a way to lie with its sag; None where it falls between the arms, or sags too much."""
    arms = rack.bays[bay].supports_mm
    if arms is None:
        return _Lying(held, bay, None, False)
    length = float(held.size_mm[0])
    if length < arms - _ROUNDING_MM:
        return None
    along = abs(float(held.rotation[0, 0])) > 1.0 - _ROUNDING_MM
    sag = _sag_mm(part, held, length, arms) if along else None
    if sag is not None and sag > rack.sag_share * arms:
        return None
    return _Lying(held, bay, sag, True)


def _sag_mm(part: Part, held: Held, length: float, arms: float) -> float | None:
    """Return the most that a part laid on arms from its low end sags: between two, or beyond the last.

    As if each stretch lay on its two arms alone: one that runs on over more sags less. None for no slender
    beam.
    """
    low, high = (
        float(end) for end in (part.solid.vertices_mm[:, 0].min(), part.solid.vertices_mm[:, 0].max())
    )
    up = held.rotation.T @ np.array([0.0, 0.0, 1.0])
    ends = np.array([[low, 0.0, 0.0], [high, 0.0, 0.0]])
    whole = sag_of(part, up, ends, part.mass_kg * STANDARD_GRAVITY_M_S2)
    if whole is None:
        return None
    load = whole / (_SPAN * length**4)
    out = length - math.floor(length / arms + _ROUNDING_MM) * arms
    beyond = _OVERHANG * out * (3.0 * out**3 + 4.0 * out**2 * arms - arms**3)
    return load * max(_SPAN * arms**4, beyond)


def _within_load(rack: BayRack, parts: Sequence[Part], laid: Sequence[Laid]) -> list[Laid]:
    """Return what lies in the bays without those that overload one, the last needed taken out first."""
    if rack.load_kg is None:
        return list(laid)
    kept, carried = [], [0.0] * len(rack.bays)
    for each in sorted(laid, key=lambda one: one.kind):
        mass = parts[each.kind].mass_kg
        if carried[each.bin] + mass <= rack.load_kg:
            carried[each.bin] += mass
            kept.append(each)
    return kept


def _at_least(rack: BayRack, parts: Sequence[Part]) -> int:
    """Return how many racks it takes at least: the metal must have room in them, and they must carry it."""
    room = sum(math.prod(bay.inside_mm) for bay in rack.bays)
    metal = sum(part.count * volume_mm3(part.solid) for part in parts)
    racks = metal / room
    if rack.load_kg is not None:
        mass = sum(part.count * part.mass_kg for part in parts)
        racks = max(racks, mass / (rack.load_kg * len(rack.bays)))
    return max(1, math.ceil(racks - 1e-9))


def _left_out(
    parts: Sequence[Part], ways: Sequence[list[_Lying]], laid: Sequence[Laid], ruled: Sequence[bool]
) -> tuple[NotStored, ...]:
    left = []
    for k, (part, mine, none) in enumerate(zip(parts, ways, ruled, strict=True)):
        missing = part.count - sum(each.kind == k for each in laid)
        if missing:
            why = "no bay takes it, turned any way (proven)" if none else "no room is left"
            if not mine and not none:
                why = "it lies on no two arms, sags too much, or no way in was found"
            left.append(NotStored(part.name, missing, why))
    return tuple(left)


def _places(
    rack: BayRack, parts: Sequence[Part], ways: Sequence[list[_Lying]], laid: Sequence[Laid]
) -> tuple[Stored, ...]:
    """Return the parts in their bays, each on the floor of its bay."""
    places = []
    count = [0] * len(parts)
    for each in sorted(laid, key=lambda one: (one.bin, one.at_mm)):
        part, way, bay = parts[each.kind], ways[each.kind][each.way], rack.bays[each.bin]
        count[each.kind] += 1
        corner = np.array([*each.at_mm, 0.0])
        pose = Pose(
            f"{rack.name} {bay.name}", f"part {part.name}", way.held.rotation, corner - way.held.box_mm[0]
        )
        along, across, tall = (float(side) for side in way.held.size_mm)
        places.append(
            Stored(
                part.name,
                count[each.kind],
                each.bin,
                bay.name,
                pose,
                (along, across, tall),
                each.at_mm[0],
                each.at_mm[1],
                sag_mm=way.sag_mm,
            )
        )
    return tuple(places)
