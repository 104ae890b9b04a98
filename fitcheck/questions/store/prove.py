"""A store answer checked again: each part's mesh is put where it is said to be.

It shares nothing with `store`: no ways to hold a part, no solver.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
import shapely

from fitcheck.geometry.mesh.distance import Surface, gap_mm
from fitcheck.proving.known import known_thing
from fitcheck.questions.store.answer import StoreAnswer, Stored
from fitcheck.questions.store.prove_racks import fewer_are_ruled_out, no_rail_takes
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.proved import Check, NotChecked, Proved
from fitcheck.things.rack import Bay, BayRack, Rack, RailRack
from fitcheck.things.shop import Shop
from fitcheck.things.solid import Floats

# Told numbers are rounded where they are written, and sums of them.
SAME_MM, SAME_KG = 1e-4, 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class _Lies:
    """A part where it was told to be: its corners there, and what the tape may add to a size."""

    told: Stored
    part: Part
    corners_mm: Floats
    tape_mm: float

    @property
    def low(self) -> Floats:
        return np.asarray(self.corners_mm.min(axis=0))

    @property
    def high(self) -> Floats:
        return np.asarray(self.corners_mm.max(axis=0))


def prove(answer: StoreAnswer, shop: Shop) -> Proved:
    """Check a store answer again; raises `Refused` for a rack that the shop has not.

    Shown again are the places, and, where `prove_racks.py` rules fewer out, how many racks it takes and what
    no rail takes. That no more could be placed, and by how much things sag, is not, and the answer says so.
    """
    rack, parts = known_thing(shop.racks, answer.rack.name, "rack"), shop.parts
    tape_mm = shop.rules.tape_part_mm
    asked = {name: parts[name] for name in answer.parts if name in parts}
    whose = "" if len(asked) == len(parts) else f" of {', '.join(asked)}"
    all_there = _all_there(answer, asked) and bool(asked) and set(answer.parts) == set(asked)
    lies = [
        _Lies(place, part, _moved(part, place.pose), _tape(part, tape_mm))
        for place in answer.places
        if (part := asked.get(place.part)) is not None
    ]
    checks = [
        Check(f"every part{whose} is told once, with as many as the shop has", all_there),
        *_told_checks(answer, rack, lies),
        *(_on_rails(rack, lies) if isinstance(rack, RailRack) else _in_bays(rack, lies)),
    ]
    never: list[NotChecked] = []
    if all_there and answer.verdict != "fits":
        shown, never = _what_is_ruled_out(answer, rack, asked, tape_mm)
        checks += shown
    if isinstance(rack, BayRack) and any(bay.supports_mm is not None for bay in rack.bays):
        never.append(NotChecked("places.*.sag_mm", "by how much things sag between arms"))
    return Proved(rack.name, answer.verdict, tuple(checks), tuple(never))


def _told_checks(told: StoreAnswer, rack: Rack, lies: list[_Lies]) -> Iterator[Check]:
    """Yield whether what is told goes together, and with the parts."""
    fits = told.verdict == "fits"
    yield Check("it fits if nothing is left out, and not else", fits != bool(told.left_out))
    if fits:
        yield Check("one rack does, so no more are told to be needed", (told.at_least_racks or 1) <= 1)
    sizes = all(
        np.abs(each.low[0] - each.told.along_mm) <= SAME_MM
        and abs(float(np.ptp(each.corners_mm[:, 0])) - each.told.size_mm[0]) <= SAME_MM
        and _is_so_high_or_deep(each)
        for each in lies
    )
    yield Check("each part is as large as told at its pose, and begins where it is told", sizes)
    frames = all(
        (each.told.pose.to_frame, each.told.pose.from_frame) == _frames(rack, each.told) for each in lies
    )
    yield Check("each pose is of that part in that place", frames)


def _is_so_high_or_deep(each: _Lies) -> bool:
    """Tell whether a part hangs so high over the floor, or begins so far into its bay, as told."""
    if each.told.over_floor_mm is not None:
        return bool(abs(each.low[2] - each.told.over_floor_mm) <= SAME_MM)
    return bool(abs(each.low[1] - each.told.across_mm) <= SAME_MM)


def _what_is_ruled_out(
    told: StoreAnswer, rack: Rack, parts: Mapping[str, Part], tape_mm: float
) -> tuple[list[Check], list[NotChecked]]:
    """Return what is shown of what does not go, and what is not."""
    left = {each.part: each.count for each in told.left_out}
    hung_nowhere = [
        name for name in left if isinstance(rack, RailRack) and no_rail_takes(rack, parts[name], tape_mm)
    ]
    shown = [Check(f"no rail takes {name}, however it hangs square to it", True) for name in hung_nowhere]
    never: list[NotChecked] = []
    racks = told.at_least_racks or 1
    fewer = fewer_are_ruled_out(racks, rack, list(parts.values()), tape_mm)
    if racks > 1 and fewer:
        shown.append(Check(f"no fewer than {racks} of these racks take them all", True))
    elif racks > 1:
        why = f"that no fewer than {racks} of these racks take them all"
        never.append(NotChecked("at_least_racks", why))
    rest = [part for name, part in parts.items() if name not in hung_nowhere]
    others = {name: count for name, count in left.items() if name not in hung_nowhere}
    one_rack_is_too_few = bool(others) and fewer_are_ruled_out(2, rack, rest, tape_mm)
    # Where not all of them go on, one at least has no place.
    if others and not (sum(others.values()) == 1 and one_rack_is_too_few):
        never.append(NotChecked("left_out", f"that no more of {', '.join(others)} had a place"))
    if told.verdict != "does not fit":
        never.append(NotChecked("verdict", f'that it is "{told.verdict}"'))
    elif not hung_nowhere and not one_rack_is_too_few:
        never.append(NotChecked("verdict", "that one rack does not take them all"))
    return shown, never


def _frames(rack: Rack, place: Stored) -> tuple[str, str]:
    """Return the frames that a pose is to and from."""
    return f"{rack.name} {place.place}", f"part {place.part}"


def _moved(part: Part, pose: Pose) -> Floats:
    return np.asarray(part.solid.vertices_mm @ pose.rotation.T + pose.shift_mm)


def _tape(part: Part, tape_mm: float) -> float:
    """Return what both surfaces of a part may be off: half the tape each, and what round sides cut off."""
    return (tape_mm if part.tape_mm is None else part.tape_mm) + 2.0 * part.chord_mm


def _all_there(told: StoreAnswer, parts: Mapping[str, Part]) -> bool:
    placed = sorted((place.part, place.number) for place in told.places)
    left = {each.part: each.count for each in told.left_out}
    counts = {name: part.count - left.get(name, 0) for name, part in parts.items()}
    wanted = sorted((name, k + 1) for name, count in counts.items() for k in range(count))
    return len(left) == len(told.left_out) and set(left) <= set(parts) and placed == wanted


def _on_rails(rack: RailRack, lies: list[_Lies]) -> Iterator[Check]:
    known = [each for each in lies if 0 <= each.told.where < len(rack.rails)]
    yield Check("each hangs on a rail of this rack", len(known) == len(lies))
    for k, rail in enumerate(rack.rails):
        row = sorted((each for each in known if each.told.where == k), key=lambda each: float(each.low[0]))
        taken = sum(float(each.high[0] - each.low[0]) + each.tape_mm for each in row)
        gaps = rack.part_gap_mm * max(len(row) - 1, 0)
        ends = all(each.low[0] >= -SAME_MM and each.high[0] <= rail.length_mm + SAME_MM for each in row)
        apart = all(
            other.low[0] - one.high[0] >= rack.part_gap_mm - SAME_MM for one, other in itertools.pairwise(row)
        )
        fits = taken + gaps <= rail.length_mm + SAME_MM
        yield Check(f"rail {k + 1}: {len(row)} parts with their gaps, tape and all", ends and apart and fits)
        high = rail.height_mm - rack.drop_mm
        yield Check(
            f"rail {k + 1}: each hangs under it, clear of the floor, its middle of mass under the rail",
            all(_hangs(each, high, rack.over_floor_mm) for each in row),
        )
    yield Check("no hook carries more than it may", all(_carried(rack, each) for each in known))
    if rack.apart_mm is not None and len(rack.rails) > 1:
        reach = [2.0 * float(np.abs(each.corners_mm[:, 1]).max()) + each.tape_mm for each in known]
        beside = max(reach, default=0.0) + rack.part_gap_mm <= rack.apart_mm + SAME_MM
        yield Check("nothing reaches what hangs on the next rail", beside)


def _hangs(each: _Lies, high_mm: float, over_floor_mm: float) -> bool:
    centre = each.told.pose.rotation @ each.part.centre_mm + each.told.pose.shift_mm
    top, bottom = float(each.high[2]), float(each.low[2])
    plumb = abs(float(centre[1])) <= SAME_MM
    return plumb and top <= high_mm + SAME_MM and bottom - each.tape_mm >= over_floor_mm - SAME_MM


def _carried(rack: RailRack, each: _Lies) -> bool:
    """Tell whether a part's hooks bear it: two share it as the picks lie, one bears it all."""
    told, mass = each.told.hook_kg, each.part.mass_kg
    if told is None or not mass / 2.0 - SAME_KG <= told <= mass + SAME_KG:
        return False
    if each.told.hooks not in {1, 2} or (each.told.hooks == 1 and told < mass - SAME_KG):
        return False
    if told < mass - SAME_KG:
        pose = each.told.pose
        along = (each.part.picks_mm @ pose.rotation.T)[:, 0]
        centre = float((pose.rotation @ each.part.centre_mm)[0])
        share = (centre - float(along.min())) / float(np.ptp(along)) if len(along) > 1 else 0.5
        if len(along) > 1 and abs(mass * max(share, 1.0 - share) - told) > SAME_KG:
            return False
    return rack.load_kg is None or told <= rack.load_kg + SAME_KG


def _in_bays(rack: BayRack, lies: list[_Lies]) -> Iterator[Check]:
    names = [bay.name for bay in rack.bays]
    known = [
        each
        for each in lies
        if 0 <= each.told.where < len(names) and names[each.told.where] == each.told.place
    ]
    yield Check("each lies in a bay of this rack", len(known) == len(lies))
    for k, bay in enumerate(rack.bays):
        inside = [each for each in known if each.told.where == k]
        if not inside:
            continue
        yield Check(
            f"{bay.name}: {len(inside)} parts within it, tape and all",
            all(_within(bay, each) for each in inside),
        )
        gap = rack.part_gap_mm - SAME_MM
        apart = all(_apart_mm(*pair) >= gap for pair in itertools.combinations(inside, 2))
        yield Check(f"{bay.name}: none nearer to another than the gap", apart)
        mass = sum(each.part.mass_kg for each in inside)
        yield Check(
            f"{bay.name}: {mass:.0f} kg in it", rack.load_kg is None or mass <= rack.load_kg + SAME_KG
        )


def _within(bay: Bay, each: _Lies) -> bool:
    room = np.array(bay.inside_mm)
    size = each.high - each.low + each.tape_mm
    inside = (each.low >= -SAME_MM).all() and (each.high <= room + SAME_MM).all()
    flat = shapely.convex_hull(shapely.multipoints(each.corners_mm[:, :2]))
    clear = all(
        shapely.box(x, y, x + wide, y + deep).intersection(flat).area <= SAME_MM
        for (x, y), (wide, deep) in ((post.at_mm, post.size_mm) for post in bay.uprights)
    )
    return bool(inside and clear and (size <= room + SAME_MM).all())


def _apart_mm(one: _Lies, other: _Lies) -> float:
    """Return how near two parts are: their boxes, and where those do not do, their surfaces."""
    beyond = np.maximum(one.low - other.high, other.low - one.high)
    boxes = float(np.linalg.norm(np.maximum(beyond, 0.0)))
    if boxes > 0.0:
        return boxes
    still = Surface.of(other.corners_mm, other.part.solid.triangles)
    moving = Surface.of(one.part.solid.vertices_mm, one.part.solid.triangles)
    return float(gap_mm(moving, still, one.told.pose))
