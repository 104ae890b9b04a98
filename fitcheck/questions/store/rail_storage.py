"""Parts on the rails of a drying rack."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.poses.axis_aligned_ways import Held, axis_aligned_ways
from fitcheck.geometry.solver.bin_assignment import Bin, Kind, Laid, Way, on_rails
from fitcheck.geometry.solver.cp_sat import Status
from fitcheck.questions.store.answer import NotStored, StoreAnswer, Stored
from fitcheck.things.answer import Verdict
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.rack import RailRack
from fitcheck.words.units import read_length

# Racks are counted up to this many: beyond, the room is the question and not the racks.
_MOST_RACKS = 40
_ROUNDING_MM = 1e-6
# Washington, WAC 296-24-29405: a level load longer than this hangs in two slings.
_ONE_SLING_MM = read_length("12 ft")


@dataclass(frozen=True, slots=True, eq=False)
class _Hung:
    """A way to hang a part, the rails that are high enough, and what its hooks carry."""

    held: Held
    rails: tuple[int, ...]
    across_mm: float
    hooks: int
    hook_kg: float


def hang_on_rails(rack: RailRack, parts: Sequence[Part], tape_mm: float) -> StoreAnswer:
    """Tell where parts hang, the first needed first."""
    ways = [_ways(rack, part, _tape(part, tape_mm)) for part in parts]
    hopeful = [_ways(rack, part, -_tape(part, tape_mm)) for part in parts]
    status, laid = _shared(rack, parts, ways, tape_mm, all_of_them=True)
    if status != "found" or not all(ways):
        _, laid = _shared(rack, parts, ways, tape_mm, all_of_them=False)
    left = _left_out(rack, parts, ways, laid, _tape(parts[0], tape_mm))
    verdict: Verdict = "fits"
    if left:
        best, _ = _shared(rack, parts, hopeful, -tape_mm, all_of_them=True)
        if not all(hopeful) or best == "none":
            verdict = "does not fit"
        else:
            verdict = "measure again" if best == "found" else "not found"
    count = _at_least(rack, parts, hopeful, tape_mm) if all(hopeful) else None
    hung = sum(part.count for part in parts) - sum(each.count for each in left)
    reason = {
        "fits": f"all {hung} parts hang",
        "does not fit": f"{hung} parts hang, {sum(each.count for each in left)} do not",
        "measure again": "they hang by the sizes given, and the tape decides",
        "not found": "no way to hang them all was found, and none is ruled out",
    }[verdict]
    proof = "parts hung square to the rail, one beside the other, with their gaps"
    return StoreAnswer(rack, verdict, reason, _places(rack, parts, ways, laid), left, count, proof)


def _tape(part: Part, tape_mm: float) -> float:
    """Return what the tape may add to each size: both its surfaces lie within half the tape."""
    return (tape_mm if part.tape_mm is None else part.tape_mm) + 2.0 * part.chord_mm


def _ways(rack: RailRack, part: Part, more_mm: float) -> list[_Hung]:
    """Return the ways to hang one part; more_mm: what is added to each of its sizes."""
    found = []
    for held in axis_aligned_ways(part):
        centre = held.rotation @ part.centre_mm
        if len(part.picks_mm) and not (
            (part.picks_mm @ held.rotation.T)[:, 2].min() > centre[2] - _ROUNDING_MM
        ):
            continue
        tall = held.size_mm[2] + more_mm + rack.drop_mm + rack.over_floor_mm
        # It hangs with its middle of mass under the rail.
        across = 2.0 * float(np.abs(held.box_mm[:, 1] - centre[1]).max()) + more_mm
        # Long and level across the rail it would need two slings, and the hooks are in one line only.
        swings = across > _ONE_SLING_MM and held.size_mm[1] > held.size_mm[2]
        beside = (
            rack.apart_mm is None
            or len(rack.rails) == 1
            or (across + rack.part_gap_mm <= rack.apart_mm + _ROUNDING_MM)
        )
        rails = tuple(k for k, rail in enumerate(rack.rails) if tall <= rail.height_mm + _ROUNDING_MM)
        hooks, load = _hooks(rack, part, held)
        if rails and beside and hooks and not swings:
            found.append(_Hung(held, rails, across, hooks, load))
    return sorted(found, key=lambda way: (way.hooks, float(way.held.size_mm[0])))


def _hooks(rack: RailRack, part: Part, held: Held) -> tuple[int, float]:
    """Return on how many hooks a part hangs, one or two, and the most that one carries; 0 where too much."""
    long = float(held.size_mm[0]) > _ONE_SLING_MM and held.size_mm[0] > held.size_mm[2]
    most = math.inf if rack.load_kg is None else rack.load_kg
    if part.mass_kg <= most and len(part.picks_mm) < 2 and not long:
        return 1, part.mass_kg
    along = np.sort((part.picks_mm @ held.rotation.T)[:, 0])
    heavier = part.mass_kg / 2.0
    if len(along) >= 2:
        if along[-1] - along[0] <= _ROUNDING_MM:
            # Across the rail its picks meet on one hook.
            return (1 if part.mass_kg <= most and not long else 0), part.mass_kg
        at = float((held.rotation @ part.centre_mm)[0])
        share = (at - along[0]) / (along[-1] - along[0])
        heavier = part.mass_kg * max(share, 1.0 - share)
    return (2 if heavier <= most else 0), heavier


def _shared(
    rack: RailRack, parts: Sequence[Part], ways: Sequence[list[_Hung]], tape_mm: float, *, all_of_them: bool
) -> tuple[Status, list[Laid]]:
    kinds = _kinds(parts, ways, tape_mm, 1, len(rack.rails))
    return on_rails(kinds, _bins(rack, 1), rack.part_gap_mm, all_of_them=all_of_them)


def _kinds(
    parts: Sequence[Part], ways: Sequence[list[_Hung]], tape_mm: float, racks: int, rails: int
) -> list[Kind]:
    """Return what each part may take, on any of a number of racks."""
    kinds = []
    for k, (part, mine) in enumerate(zip(parts, ways, strict=True)):
        more = math.copysign(_tape(part, abs(tape_mm)), tape_mm)
        taken = tuple(
            Way(
                tuple(r * rails + b for r in range(racks) for b in way.rails),
                float(way.held.size_mm[0]) + more,
            )
            for way in mine
        )
        kinds.append(Kind(part.count, taken, len(parts) + 1 - k + len(parts)))
    return kinds


def _bins(rack: RailRack, racks: int) -> list[Bin]:
    return [Bin(rail.length_mm) for rail in rack.rails] * racks


def _at_least(
    rack: RailRack, parts: Sequence[Part], hopeful: Sequence[list[_Hung]], tape_mm: float
) -> int | None:
    """Return how many of these racks it takes at least: fewer were ruled out, one number after the other.

    None where a part is too long for every rail that is high enough.
    """
    for part, mine in zip(parts, hopeful, strict=True):
        more = _tape(part, tape_mm)
        if not any(
            way.held.size_mm[0] - more <= rack.rails[k].length_mm + _ROUNDING_MM
            for way in mine
            for k in way.rails
        ):
            return None
    for racks in range(1, _MOST_RACKS):
        kinds = _kinds(parts, hopeful, -tape_mm, racks, len(rack.rails))
        if on_rails(kinds, _bins(rack, racks), rack.part_gap_mm, all_of_them=True)[0] != "none":
            return racks
    return _MOST_RACKS


def _left_out(
    rack: RailRack,
    parts: Sequence[Part],
    ways: Sequence[list[_Hung]],
    laid: Sequence[Laid],
    tape_mm: float,
) -> tuple[NotStored, ...]:
    left = []
    for k, (part, mine) in enumerate(zip(parts, ways, strict=True)):
        missing = part.count - sum(each.kind == k for each in laid)
        if missing:
            left.append(NotStored(part.name, missing, _why(rack, part, mine, tape_mm)))
    return tuple(left)


def _why(rack: RailRack, part: Part, ways: Sequence[_Hung], tape_mm: float) -> str:
    """Return what keeps a part off the rails."""
    longest = max(rail.length_mm for rail in rack.rails)
    if not ways:
        held = axis_aligned_ways(part)
        if not any(_hooks(rack, part, way)[0] for way in held):
            return "too heavy for its hooks"
        highest = max(rail.height_mm for rail in rack.rails) - rack.drop_mm - rack.over_floor_mm
        if min(float(way.size_mm[2]) for way in held) + tape_mm > highest:
            return "too tall to hang clear of the floor"
        return "no way to hang it that its picks, its length and the next rail allow"
    if min(float(way.held.size_mm[0]) for way in ways) + tape_mm > longest:
        return "longer than any rail that is high enough"
    return "no length of rail is left"


def _places(
    rack: RailRack, parts: Sequence[Part], ways: Sequence[list[_Hung]], laid: Sequence[Laid]
) -> tuple[Stored, ...]:
    """Return the parts along their rails, the first needed at the low end, with the gaps."""
    places = []
    count = [0] * len(parts)
    for b, rail in enumerate(rack.rails):
        along = 0.0
        for each in sorted((one for one in laid if one.bin == b), key=lambda one: (one.kind, one.way)):
            part, way = parts[each.kind], ways[each.kind][each.way]
            count[each.kind] += 1
            low, size = way.held.box_mm[0], way.held.size_mm
            centre = way.held.rotation @ part.centre_mm
            bottom = rail.height_mm - rack.drop_mm - float(size[2])
            shift = np.array([along - low[0], -centre[1], bottom - low[2]])
            name = f"rail {b + 1}"
            pose = Pose(f"{rack.name} {name}", f"part {part.name}", way.held.rotation, shift)
            places.append(
                Stored(
                    part.name,
                    count[each.kind],
                    b,
                    name,
                    pose,
                    (float(size[0]), way.across_mm, float(size[2])),
                    along,
                    over_floor_mm=bottom,
                    hooks=way.hooks,
                    hook_kg=way.hook_kg,
                )
            )
            along += float(size[0]) + rack.part_gap_mm
    return tuple(places)
