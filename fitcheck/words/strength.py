"""Strength of a bath, and other ratios of a bath sheet, as people write them.

"1:9" is one part of concentrate to nine of water. An oz/gal is an ounce of weight to a US gallon of bath; a
fl oz/gal is a 128th of it by volume (NIST Handbook 44, Appendix C).
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from fitcheck.words.errors import Refused
from fitcheck.words.units import KG_PER_POUND, LITRES_PER_GALLON, MM2_PER_M2, MM_PER_FOOT, quoted

_NUMBER = r"([0-9]+(?:\.[0-9]*)?|\.[0-9]+)"
_PARTS = re.compile(rf"{_NUMBER}\s*:\s*{_NUMBER}")
_AMOUNT = re.compile(rf"{_NUMBER}\s*([^0-9\s].*)")
_EXAMPLE = 'write "1:9" (concentrate to water), "10 %", "6 oz/gal" or "45 g/L"'
_FT2_M2 = MM_PER_FOOT**2 / MM2_PER_M2

# By volume: share of the bath. By weight: kg to a litre of bath.
_BY_VOLUME = {"%": 0.01, "% v/v": 0.01, "fl oz/gal": 1.0 / 128.0, "ml/l": 0.001}
_BY_WEIGHT = {
    "oz/gal": KG_PER_POUND / 16.0 / LITRES_PER_GALLON,
    "lb/gal": KG_PER_POUND / LITRES_PER_GALLON,
    "g/l": 0.001,
    "kg/l": 1.0,
}
_FILMS_L_M2 = {
    "ml/m2": 0.001,
    "l/m2": 1.0,
    "ml/ft2": 0.001 / _FT2_M2,
    "gal/1000 ft2": LITRES_PER_GALLON / (1000.0 * _FT2_M2),
}
_PRICES_PER_L = {
    "per l": 1.0,
    "a litre": 1.0,
    "per gal": 1.0 / LITRES_PER_GALLON,
    "a gallon": 1.0 / LITRES_PER_GALLON,
}
_LOADINGS_M2_L = {"m2/l": 1.0, "ft2/gal": _FT2_M2 / LITRES_PER_GALLON}


@dataclass(frozen=True, slots=True)
class Strength:
    """How much concentrate a litre of bath takes: litres (`share`) or kg (`kg_l`); the other one is None."""

    share: float | None = None
    kg_l: float | None = None


def read_strength(text: str) -> Strength:
    """Return the strength written in `text`; raise `Refused` for anything else."""
    plain = _plain(text)
    parts = _PARTS.fullmatch(plain)
    if parts:
        concentrate, water = float(parts[1]), float(parts[2])
        if not concentrate > 0.0:
            raise Refused(f"{quoted(text)} has no concentrate in it", _EXAMPLE)
        return Strength(share=concentrate / (concentrate + water))
    amount, unit = _amount(text, plain, _EXAMPLE)
    if unit in _BY_WEIGHT:
        return Strength(kg_l=amount * _BY_WEIGHT[unit])
    if unit not in _BY_VOLUME:
        raise Refused(f"{quoted(text)} has an unknown unit, {quoted(unit)}", _EXAMPLE)
    share = amount * _BY_VOLUME[unit]
    if share > 1.0:
        raise Refused(f"{quoted(text)} is more than the whole bath", _EXAMPLE)
    return Strength(share=share)


def read_film(text: str) -> float:
    """Return the liquid that clings to a surface ("80 ml/m2", "2 gal/1000 ft2"), in litres a square metre."""
    return _rate(text, _FILMS_L_M2, 'write "80 ml/m2" or "2 gal/1000 ft2"')


def read_loading(text: str) -> float:
    """Return how much surface a bath may treat ("2 m2/L", "80 ft2/gal"), in square metres a litre."""
    return _rate(text, _LOADINGS_M2_L, 'write "2 m2/L" or "80 ft2/gal"')


def read_price(text: str) -> float:
    """Return what a bath costs ("4.20 per L", "16 per gal"), in the shop's own money a litre."""
    return _rate(text, _PRICES_PER_L, 'write "4.20 per L" or "16 per gal", in your own money')


def _rate(text: str, units: dict[str, float], cure: str) -> float:
    amount, unit = _amount(text, _plain(text), cure)
    if unit not in units:
        raise Refused(f"{quoted(text)} has an unknown unit, {quoted(unit)}", cure)
    return amount * units[unit]


def _amount(text: str, plain: str, cure: str) -> tuple[float, str]:
    found = _AMOUNT.fullmatch(plain)
    if not found:
        raise Refused(f"{quoted(text)} is not a number with its unit", cure)
    amount = float(found[1])
    if not 0.0 < amount <= 1e6:
        raise Refused(f"{quoted(text)} is not an amount of use", cure)
    return amount, found[2].strip()


def _plain(text: str) -> str:
    return re.sub(r"\s+", " ", text.strip().lower()).replace("²", "2").replace(" / ", "/")
