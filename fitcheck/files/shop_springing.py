"""Springback of a part's metal, from its table in a shop file."""

from __future__ import annotations

import re

from fitcheck.files.toml_table import Table, name_of, one_of, spoken
from fitcheck.things.metals import ALLOYS, METALS, MODULI_GPA, Alloy
from fitcheck.things.springing import Springiness
from fitcheck.words.errors import Refused

SPRING_KEYS = ("alloy", "yield_strain")

_EXAMPLE = 'write it as "0.28 %"'
# Sheet yields at a few tenths of a percent; springs at about one.
_MOST_PERCENT = 5.0


def alloy_of(table: Table) -> Alloy | None:
    """Return the alloy that a part names; None where it names none, or one that is not known.

    An alloy that is not known is no fault where its yield strain is given.
    """
    if "alloy" not in table:
        return None
    name = table.read("alloy", name_of if "yield_strain" in table else one_of(tuple(ALLOYS)))
    return ALLOYS.get(name) if name else None


def spring_of(table: Table) -> Springiness | None:
    """Return how the metal springs back; None where neither alloy nor yield_strain tells."""
    alloy = alloy_of(table)
    metal = table.values.get("metal")
    if alloy is not None and isinstance(metal, str) and METALS.get(metal, 0.0) != METALS[alloy.metal]:
        table.entry("alloy").fault(f"it is {alloy.metal}, and metal says {metal}", "mend one of them")
        return None
    strain = table.read("yield_strain", _percent) if "yield_strain" in table else None
    if strain is not None:
        modulus = alloy.modulus_gpa if alloy else MODULI_GPA.get(metal) if isinstance(metal, str) else None
        return Springiness(strain, "yield strain as the shop has it", modulus)
    if alloy is None or "yield_strain" in table:
        return None
    source = f"{table.values['alloy']}, typical figures from memory; a bend test outranks them"
    return Springiness(alloy.yield_strain, source, alloy.modulus_gpa, alloy.poisson)


def _percent(value: object) -> float:
    """Read "0.28 %" as 0.0028."""
    match = re.fullmatch(r"\s*(\d{0,3}\.?\d{1,6})\s*%\s*", value) if isinstance(value, str) else None
    if match is None:
        raise Refused(f"{spoken(value)} is not a share in percent", _EXAMPLE)
    percent = float(match[1])
    if not 0.0 < percent <= _MOST_PERCENT:
        raise Refused(f"{spoken(value)} is not a strain that sheet springs back from", _EXAMPLE)
    return percent / 100.0
