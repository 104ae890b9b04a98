"""The question that `measure` answers: size, metal, surface, mass and sealed spaces of a part."""

from __future__ import annotations

from fitcheck.geometry.mesh.measure import measures
from fitcheck.geometry.mesh.mesh_components import is_closed
from fitcheck.questions.measure.answer import Measured
from fitcheck.things.part import Part
from fitcheck.words.units import MM2_PER_M2, MM3_PER_LITRE


def measure(part: Part) -> Measured:
    """Return what the part measures: size in mm, metal in litres, wetted area in m2, mass in kg.

    Volumes are sums of signed tetrahedra over the triangles, exact for the mesh. Always answers. Raises
    nothing: a mesh that is not closed was refused when it was read.
    """
    metal, skin = measures(part.solid), measures(part.skin)
    sealed_mm3 = 0.0 if part.skin is part.solid else skin.volume_mm3 - metal.volume_mm3
    return Measured(
        part=part.name,
        size_mm=part.size_mm,
        volume_l=metal.volume_mm3 / MM3_PER_LITRE,
        area_m2=skin.area_mm2 / MM2_PER_M2,
        mass_kg=part.mass_kg,
        closed=is_closed(part.solid.triangles),
        sealed_l=sealed_mm3 / MM3_PER_LITRE,
        notes=part.notes,
    )
