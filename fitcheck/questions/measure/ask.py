"""The question that `measure` answers: size, metal, surface, mass and sealed spaces of a part."""

from __future__ import annotations

from fitcheck.geometry.mesh.measure import measures
from fitcheck.geometry.mesh.mesh_components import is_closed
from fitcheck.questions.measure.answer import Measured
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.words.units import MM2_PER_M2, MM3_PER_LITRE


def measure(part: Part) -> Measured:
    """Tell what is in the file: size, metal, wetted area, mass and sealed spaces of a part.

    Parameters
    ----------
    part : Part
        The part.

    Returns
    -------
    Measured
        Size in mm (length, width, height as drawn), metal and sealed spaces in litres, wetted area in m2,
        mass in kg. Always answers; it has no verdict.

    Raises
    ------
    Refused
        Never: a mesh that is not closed was refused when it was read.

    Notes
    -----
    Volumes are sums of signed tetrahedra over the triangles, exact for the mesh.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> answer = fc.measure(shop.parts["P08"])
    >>> [round(size) for size in answer.size_mm], round(answer.mass_kg, 1), answer.closed
    ([914, 495, 38], 13.7, True)
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
        asked=Shop.of(part),
    )
