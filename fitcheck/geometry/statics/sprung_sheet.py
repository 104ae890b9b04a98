"""Springing of sheet into an arc to go into a tank: least radius, strain, and the part so bent."""

from __future__ import annotations

import math
from dataclasses import replace

from fitcheck.geometry.mesh.measure import volume_mm3, weighed
from fitcheck.geometry.statics.elastica import Bend, outside_bend, plate_stiffness_nmm, strapped
from fitcheck.shapes.sprung import Sheet, bent, sheet_of, sprung
from fitcheck.things.part import Part
from fitcheck.things.springing import Springiness, Sprung
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM3_PER_LITRE, both_lengths


def is_springy(part: Part) -> bool:
    """Tell whether the part is flat sheet of which it is known how far it springs back."""
    return part.spring is not None and sheet_of(part.solid) is not None


def sprung_to(part: Part, chord_mm: float) -> Sprung:
    """Tell how a flat sheet stands, sprung across its width until its outer edges are chord_mm apart.

    Raises `Refused` for a part that is not flat sheet or has no yield strain, and for a chord that is not
    under its width.
    """
    sheet, spring = _known(part)
    bend = _bend(part, sheet, chord_mm)
    thick = sheet.thickness_mm
    alone = strapped(sheet.width_mm, bend.chord_mm)
    pull = None
    if spring.modulus_gpa is not None:
        stiffness = plate_stiffness_nmm(thick, spring.modulus_gpa, spring.poisson)
        pull = alone.pull * stiffness * sheet.length_mm / sheet.width_mm**2
    return Sprung(
        bend.curve,
        chord_mm,
        sheet.width_mm,
        thick,
        bend.radius_mm,
        _over_all_mm(bend, thick),
        thick / (2.0 * bend.radius_mm),
        spring.yield_strain,
        least_radius_mm(thick, spring),
        pull,
        alone.radius_mm,
        thick / (2.0 * alone.radius_mm),
        spring.source,
    )


def least_radius_mm(thickness_mm: float, spring: Springiness) -> float:
    """Return the radius, of its middle, to which a sheet bends and still springs back: t / 2 yield strain.

    Plane sections stay plane, so a face half the thickness off the middle is strained by t / 2 r.
    """
    return thickness_mm / (2.0 * spring.yield_strain)


def bent_part(part: Part, chord_mm: float) -> Part:
    """Return the part sprung to a chord (over its outer edges), its picks with it; same metal, same mass.

    As drawn it lies crown up, the axis of its arc along its longer side. Raises `Refused` as `sprung_to`.
    """
    sheet, _ = _known(part)
    bend = _bend(part, sheet, chord_mm)
    solid, off = sprung(part.solid, bend.radius_mm, bend.half_angle_rad)
    density = part.mass_kg / (volume_mm3(part.solid) / MM3_PER_LITRE)
    curved = weighed(part.name, solid, density)
    return replace(
        part,
        solid=solid,
        skin=curved.skin,
        centre_mm=curved.centre_mm,
        size_mm=curved.size_mm,
        chord_mm=part.chord_mm + off,
        picks_mm=bent(part.picks_mm, sheet, bend.radius_mm, bend.half_angle_rad),
        spring=None,
    )


def _known(part: Part) -> tuple[Sheet, Springiness]:
    sheet = sheet_of(part.solid)
    if sheet is None:
        raise Refused(f"{part.name} is not flat thin sheet", "only flat sheet can be sprung")
    if part.spring is None:
        raise Refused(
            f"it is not known how far {part.name} springs back",
            'give it an alloy, as in alloy = "5052-H32", or yield_strain = "0.28 %"',
        )
    return sheet, part.spring


def _bend(part: Part, sheet: Sheet, chord_mm: float) -> Bend:
    if not sheet.thickness_mm < chord_mm < sheet.width_mm:
        cure = f"give one above 0 and under its width, {both_lengths(sheet.width_mm)}"
        raise Refused(f"{part.name}: a chord of {both_lengths(chord_mm)}", cure)
    return outside_bend(sheet.width_mm, sheet.thickness_mm, chord_mm)


def _over_all_mm(bend: Bend, thickness_mm: float) -> float:
    """Return the rise over all: from the inner face's edges to the outer face's crown.

    The middle's rise is r (1 - cos phi), and the legs; the inner edges lie lower by half the thickness times
    cos phi.
    """
    return bend.rise_mm + thickness_mm / 2.0 * (1.0 + math.cos(bend.half_angle_rad))
