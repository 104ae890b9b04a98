"""Proof that fewer racks than told do not do, and that no rail takes a part: worked out anew, with no solver.

Everything is in favour of fewer racks: sizes less the tape, and every quarter turn that the attitude, the
picks and the hooks allow. So what is ruled out here is ruled out; what is not may still be so.

On rails each piece takes its least length on a rail that is high enough, and a gap. Fewer racks are ruled out
where all those lengths together are more than their rails, else by trying every share of pieces among rails,
longest first, up to a number of tries. Bays are ruled out by the metal and by their loads.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np

from fitcheck.things.part import QUARTER_TURN, Part
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.rack import BayRack, Rack, RailRack
from fitcheck.things.solid import Floats
from fitcheck.words.units import read_length

# Shares of pieces tried before it is left as not shown: about a second.
MOST_TRIES = 50_000
# Lengths are counted in micrometres, pieces down and rails up, so that sums are exact.
PER_MM = 1000
# Angles of a quarter turn, masses, volumes and places are off by roundings.
SAME, SAME_MM = 1e-9, 1e-6
# Washington, WAC 296-24-29405: a level load longer than this hangs in two slings.
ONE_SLING_MM = read_length("12 ft")


def fewer_are_ruled_out(racks: int, rack: Rack, parts: Sequence[Part], tape_mm: float) -> bool:
    """Tell whether it is shown that the parts, as many as there are of each, do not go on one rack fewer."""
    if racks <= 1:
        return True
    if isinstance(rack, BayRack):
        return _metal_or_load(racks - 1, rack, parts)
    kinds = [(_least_um(rack, part, tape_mm), part.count) for part in parts]
    pieces = sorted((each for each, count in kinds for _ in range(count)), key=min, reverse=True)
    gap = math.floor(rack.part_gap_mm * PER_MM)
    rooms = [math.ceil(rail.length_mm * PER_MM) + gap for rail in rack.rails] * (racks - 1)
    return _Shares([tuple(length + gap for length in each) for each in pieces], len(rack.rails)).none(rooms)


def no_rail_takes(rack: RailRack, part: Part, tape_mm: float) -> bool:
    """Tell whether it is shown that a part hangs on no rail of the rack, were it alone there."""
    least = _least_um(rack, part, tape_mm)
    return all(
        length > math.ceil(rail.length_mm * PER_MM) for length, rail in zip(least, rack.rails, strict=True)
    )


def _least_um(rack: RailRack, part: Part, tape_mm: float) -> tuple[float, ...]:
    """Return the least length that a part takes on each rail, inf on one where it cannot hang."""
    tape = (tape_mm if part.tape_mm is None else part.tape_mm) + 2.0 * part.chord_mm
    sizes = [
        size - tape
        for rotation in _square_turns(part)
        if (size := _hung_size(rack, part, rotation, tape)) is not None
    ]
    free = rack.drop_mm + rack.over_floor_mm
    return tuple(
        min(
            (math.floor(max(size[0], 0.0) * PER_MM) for size in sizes if size[2] + free <= rail.height_mm),
            default=math.inf,
        )
        for rail in rack.rails
    )


def _square_turns(part: Part) -> list[Floats]:
    """Return the quarter turns that a part's attitude allows."""
    attitude = part.attitude
    limits = (attitude.tilt_rad, attitude.roll_rad, attitude.swing_rad)
    return [
        np.round(rotation_from(Angles(*(quarters * QUARTER_TURN for quarters in turn))))
        for turn in itertools.product((-1, 0, 1), (-1, 0, 1, 2), (-1, 0, 1, 2))
        if all(abs(n) * QUARTER_TURN <= most + SAME for n, most in zip(turn, limits, strict=True))
    ]


def _hung_size(rack: RailRack, part: Part, rotation: Floats, tape_mm: float) -> Floats | None:
    """Return the size along, across and upright of a part turned so; None where it cannot hang so."""
    vertices = part.solid.vertices_mm
    ends = np.array([vertices.min(axis=0), vertices.max(axis=0)]) @ rotation.T
    size, centre, picks = np.ptp(ends, axis=0), rotation @ part.centre_mm, part.picks_mm @ rotation.T
    if len(picks) and picks[:, 2].min() <= centre[2] - SAME_MM:
        return None
    across = 2.0 * float(np.abs(ends[:, 1] - centre[1]).max()) - tape_mm
    swings = across > ONE_SLING_MM and size[1] > size[2]
    if swings or _most_on_a_hook_kg(part, picks[:, 0], centre[0], size) > _load_kg(rack):
        return None
    several = rack.apart_mm is not None and len(rack.rails) > 1
    return None if several and across + rack.part_gap_mm > (rack.apart_mm or 0.0) + SAME_MM else size


def _most_on_a_hook_kg(part: Part, along: Floats, centre: float, size: Floats) -> float:
    """Return what the heavier of two hooks carries as the picks lie, or one hook; inf where none will do."""
    long = size[0] > ONE_SLING_MM and size[0] > size[2]
    if len(along) < 2:
        return part.mass_kg / 2.0
    if np.ptp(along) <= SAME_MM:
        return math.inf if long else part.mass_kg
    share = (centre - along.min()) / float(np.ptp(along))
    return float(part.mass_kg * max(share, 1.0 - share))


def _load_kg(rack: RailRack) -> float:
    return math.inf if rack.load_kg is None else rack.load_kg * (1.0 + SAME)


def _metal_or_load(racks: int, rack: BayRack, parts: Sequence[Part]) -> bool:
    """Tell whether so many racks have less room than there is metal, or carry less than it weighs."""
    room = racks * sum(math.prod(bay.inside_mm) for bay in rack.bays)
    metal = sum(part.count * _metal_mm3(part) for part in parts)
    if metal > room * (1.0 + SAME):
        return True
    mass = sum(part.count * part.mass_kg for part in parts)
    return rack.load_kg is not None and mass > racks * len(rack.bays) * rack.load_kg * (1.0 + SAME)


def _metal_mm3(part: Part) -> float:
    """Return the volume of a part's metal: the sum of the cones from its triangles to the origin."""
    a, b, c = (part.solid.vertices_mm[part.solid.triangles[:, k]] for k in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6.0


class _Shares:
    """All shares of pieces among rails, tried one by one. kinds: rails of one rack, in their order."""

    def __init__(self, pieces: Sequence[tuple[float, ...]], kinds: int) -> None:
        self.pieces, self.kinds = pieces, kinds
        least = [min(each) for each in pieces]
        self.still = [sum(least[k:]) for k in range(len(least) + 1)]
        self.failed: set[tuple[int, tuple[tuple[int, float], ...]]] = set()
        self.tries = 0

    def none(self, rooms: Sequence[float]) -> bool:
        """Tell whether it is shown that there is no share: False too where the tries gave out."""
        return not self._some(0, tuple(sorted((b % self.kinds, room) for b, room in enumerate(rooms))))

    def _some(self, at: int, rooms: tuple[tuple[int, float], ...]) -> bool:
        """Tell whether the pieces from one on can be shared out, or may for all that was tried."""
        if at == len(self.pieces):
            return True
        if self.still[at] > sum(room for _, room in rooms) or (at, rooms) in self.failed:
            return False
        self.tries += 1
        if self.tries > MOST_TRIES:
            return True
        for k, (rail, room) in enumerate(rooms):
            if self.pieces[at][rail] <= room and (not k or rooms[k] != rooms[k - 1]):
                left = tuple(sorted((*rooms[:k], (rail, room - self.pieces[at][rail]), *rooms[k + 1 :])))
                if self._some(at + 1, left):
                    return True
        self.failed.add((at, rooms))
        return False
