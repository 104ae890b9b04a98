"""Lengths, volumes, masses, angles and densities as people write them, in and out.

The only place where a conversion factor is written. Everything read comes back in the unit used inside
(mm, l, kg, rad, kg/l); everything shown goes out in the shop's own ("ft-in" or "mm"). Feet and inches are
shown with fractions to 1/16 in, never as decimal feet.

Sources: inch 25.4 mm and pound 0.453 592 37 kg, exactly: international yard and pound agreement of 1959,
as in NIST Handbook 44 Appendix C, which also has the US liquid gallon of 231 in3. Standard gravity
9.806 65 m/s2: 3rd General Conference on Weights and Measures, 1901. Litre 1 dm3: 12th, 1964.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from fitcheck.words.errors import Refused

Show = Literal["ft-in", "mm"]

_INCH = Fraction("25.4")
_POUND = Fraction("0.45359237")
_GALLON = 231 * _INCH**3 / 10**6

MM_PER_INCH = float(_INCH)
MM_PER_FOOT = float(12 * _INCH)
MM_PER_METRE = 1000.0
PA_PER_MPA = 1e6
# The printer's point of PDF (ISO 32000-1, 8.3.2.3) and of pages in a browser (CSS Values 3, 5.2).
POINTS_PER_INCH = 72.0
MM2_PER_M2 = 1e6
MM3_PER_LITRE = 1e6
LITRES_PER_GALLON = float(_GALLON)
KG_PER_POUND = float(_POUND)
STANDARD_GRAVITY_M_S2 = 9.80665
NEWTONS_PER_POUND_FORCE = KG_PER_POUND * STANDARD_GRAVITY_M_S2
RAD_PER_DEGREE = math.pi / 180.0

# The finest mark of a tape measure (common practice), and what answers are rounded to.
_MARKS_PER_INCH = 16
# "123 ft 11 15/16 in" is 18 characters; anything much longer is not a quantity.
_LONGEST_TEXT = 40
# In the unit used inside: 10 km, ten million litres or kilograms. More is a slip of the pen.
_LARGEST = 10**7


@dataclass(frozen=True, slots=True)
class _Quantity:
    """One kind of quantity: its units by every spelling, in the unit used inside, and how to write it.

    example: how to write one. short: units to offer for a bare number. pair: the two units that may be
    written one after the other, as feet and inches are.
    """

    name: str
    units: Mapping[str, Fraction]
    example: str
    short: tuple[str, ...]
    pair: tuple[Fraction, Fraction] | None = None


def _spelled(*groups: tuple[str, Fraction | int]) -> dict[str, Fraction]:
    return {word: Fraction(size) for words, size in groups for word in words.split()}


_LENGTH = _Quantity(
    "length",
    _spelled(
        ("' ft foot feet", 12 * _INCH),
        ('" in inch inches', _INCH),
        ("mm millimetre millimetres millimeter millimeters", 1),
        ("cm centimetre centimetres centimeter centimeters", 10),
        ("m metre metres meter meters", 1000),
    ),
    '"24 ft 4 1/2 in" or "7315 mm"',
    ("in", "mm"),
    (12 * _INCH, _INCH),
)
_VOLUME = _Quantity(
    "volume",
    _spelled(
        ("gal gals gallon gallons", _GALLON),
        ("l litre litres liter liters", 1),
        ("ml millilitre millilitres milliliter milliliters", Fraction(1, 1000)),
    ),
    '"90 gal" or "340 L"',
    ("gal", "L"),
)
_MASS = _Quantity(
    "mass",
    _spelled(
        ("lb lbs pound pounds", _POUND),
        ("oz ounce ounces", _POUND / 16),
        ("kg kilogram kilograms", 1),
        ("g gram grams", Fraction(1, 1000)),
    ),
    '"24 lb" or "11 kg"',
    ("lb", "kg"),
    (_POUND, _POUND / 16),
)
_ANGLE = _Quantity("angle", _spelled(("deg ° degree degrees", 1)), '"30 deg"', ("deg",))
_DENSITY = _Quantity(
    "density",
    _spelled(
        ("kg/m3", Fraction(1, 1000)),
        ("kg/l kg/dm3 g/cm3", 1),
        ("lb/in3", _POUND / (_INCH**3 / 10**6)),
        ("lb/ft3", _POUND / ((12 * _INCH) ** 3 / 10**6)),
    ),
    '"2700 kg/m3" or "0.0975 lb/in3"',
    ("kg/m3", "lb/in3"),
)
_TIME = _Quantity(
    "time",
    _spelled(
        ("s sec second seconds", 1),
        ("min minute minutes", 60),
        ("h hour hours", 3600),
    ),
    '"10 min" or "1 h 30 min"',
    ("min", "h"),
    (Fraction(3600), Fraction(60)),
)
_QUANTITIES = (_LENGTH, _VOLUME, _MASS, _ANGLE, _DENSITY, _TIME)

_DECIMAL = r"[0-9]+(?:\.[0-9]*)?|\.[0-9]+"
_NUMBER = rf"(?:(?P<whole>[0-9]+)(?:\s+|-))?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)|(?P<decimal>{_DECIMAL})"
_TERM = re.compile(rf"(?:{_NUMBER})\s*(?P<unit>[a-z]+3?(?:/[a-z]+3?)?|['\"°])?")
# A dash may stand between feet and inches; nothing may follow the last number.
_GAP = re.compile(r"\s*-?\s*(?=[0-9.])|\s+")
_SAME_SIGN = str.maketrans(
    {"′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "−": "-", "–": "-", "⁄": "/"}
)


def read_length(text: str) -> float:
    """Return the length written in `text`, in mm; a leading minus is read.

    Raises `Refused` for anything but a length with its unit.
    """
    return float(_read(text, _LENGTH))


def read_volume(text: str) -> float:
    """Return the volume written in `text` ("90 gal" US liquid, "340 L", "500 ml"), in litres."""
    return float(_read(text, _VOLUME))


def read_mass(text: str) -> float:
    """Return the mass written in `text` ("24 lb", "3 lb 8 oz", "11 kg", "200 g"), in kg."""
    return float(_read(text, _MASS))


def read_angle(text: str) -> float:
    """Return the angle written in `text` ("30 deg"), in radians."""
    return math.radians(float(_read(text, _ANGLE)))


def read_density(text: str) -> float:
    """Return the density written in `text` ("2700 kg/m3", "0.0975 lb/in3"), in kg/l."""
    return float(_read(text, _DENSITY))


def read_time(text: str) -> float:
    """Return the time written in `text` ("10 min", "90 s", "1 h 30 min"), in s."""
    return float(_read(text, _TIME))


def quoted(text: str) -> str:
    """Return `text` in quotes for a message: on one line, and cut short where it is long."""
    seen = "".join(c if c.isprintable() else repr(c)[1:-1] for c in text[:_LONGEST_TEXT])
    mark = "'" if '"' in seen else '"'
    return f"{mark}{seen}{'...' if len(text) > _LONGEST_TEXT else ''}{mark}"


def _read(text: str, quantity: _Quantity) -> Fraction:
    """Return the amount in the unit used inside, exactly."""
    if not text.strip():
        raise Refused(f"the {quantity.name} is empty", f"write it as {quantity.example}")
    if len(text) > _LONGEST_TEXT:
        raise Refused(f"{quoted(text)} is too long for a {quantity.name}", f"write it as {quantity.example}")
    plain = _plain(text)
    negative = plain.startswith("-")
    terms = _terms(plain.removeprefix("-").lstrip(), text, quantity)
    amounts = [(_number(term, text, quantity), _unit(term, text, quantity)) for term in terms]
    if len(amounts) > 1:
        _check_pair(amounts, text, quantity)
    total = sum((number * unit for number, unit in amounts), Fraction(0))
    if total > _LARGEST:
        raise Refused(f"{quoted(text)} is more than any shop has", f"check it against {quantity.example}")
    return -total if negative else total


def _plain(text: str) -> str:
    """Return `text` with fraction signs, curly quotes and capitals written plainly."""
    spelled = ((c, unicodedata.normalize("NFKC", c)) for c in text)
    written = "".join(f" {plain}" if "⁄" in plain and plain != c else c for c, plain in spelled)
    plain = written.translate(_SAME_SIGN).replace("''", '"').strip().lower()
    return re.sub(r"(?<=[a-z])³", "3", plain)


def _terms(plain: str, text: str, quantity: _Quantity) -> list[re.Match[str]]:
    """Cut an amount such as 24 ft 4 1/2 in into its numbers with their units."""
    terms: list[re.Match[str]] = []
    at = 0
    while at < len(plain) or not terms:
        term = _TERM.match(plain, at)
        if term is None:
            raise Refused(f"{quoted(text)} is not a {quantity.name}", _cure(text, quantity))
        terms.append(term)
        gap = _GAP.match(plain, term.end())
        at = gap.end() if gap else term.end()
    return terms


def _number(term: re.Match[str], text: str, quantity: _Quantity) -> Fraction:
    if term["decimal"] is not None:
        return Fraction(term["decimal"])
    top, bottom = int(term["top"]), int(term["bottom"])
    if bottom == 0:
        raise Refused(f"{quoted(text)} divides by zero", f"write it as {quantity.example}")
    if term["whole"] is not None and top >= bottom:
        raise Refused(
            f"{quoted(text)} has a fraction of 1 or more after a whole number",
            "carry it into the whole number, as in 4 1/2",
        )
    return int(term["whole"] or 0) + Fraction(top, bottom)


def _unit(term: re.Match[str], text: str, quantity: _Quantity) -> Fraction:
    word = term["unit"]
    if word is None:
        number = term[0].strip()
        if number != text.strip().lstrip("-"):
            raise Refused(f"{quoted(text)}: {number} has no unit", _cure(text, quantity))
        offers = " or ".join(f'"{text.strip()} {unit}"' for unit in quantity.short)
        raise Refused(f"{text.strip()} has no unit", f"write {offers}")
    if word in quantity.units:
        return quantity.units[word]
    for other in _QUANTITIES:
        if word in other.units:
            raise Refused(
                f"{quoted(text)} is {other.name}, not {quantity.name}",
                f"write it as {quantity.example}",
            )
    raise Refused(f"{quoted(text)} has an unknown unit, {quoted(word)}", f"write it as {quantity.example}")


def _check_pair(amounts: list[tuple[Fraction, Fraction]], text: str, quantity: _Quantity) -> None:
    """Two numbers make one amount only as feet and inches or pounds and ounces, the first one whole."""
    units = tuple(unit for _, unit in amounts)
    if units != quantity.pair:
        raise Refused(f"{quoted(text)} is more than one {quantity.name}", f"write it as {quantity.example}")
    if amounts[0][0].denominator != 1:
        raise Refused(
            f"{quoted(text)} has a fraction before its smaller unit",
            f"give only the last number a fraction, as in {quantity.example}",
        )


def _cure(text: str, quantity: _Quantity) -> str:
    if "," in text:
        return f"use a point for decimals and no other commas, as in {quantity.example}"
    return f"write it as {quantity.example}"


def show_length(mm: float, show: Show) -> str:
    """Return a length as "24 ft 4 1/2 in" (to 1/16 in) or "7429.5 mm" (to 0.1 mm).

    What is shown reads back to within 1/32 in or 0.05 mm; a negative length has a leading minus.
    """
    if show == "mm":
        return f"{_digits(_finite(mm), 1)} mm"
    marks = round(_finite(mm) / MM_PER_INCH * _MARKS_PER_INCH)
    feet, rest = divmod(abs(marks), 12 * _MARKS_PER_INCH)
    inches, part = divmod(rest, _MARKS_PER_INCH)
    words = [f"{feet} ft"] if feet else []
    if inches or part or not feet:
        fraction = [str(Fraction(part, _MARKS_PER_INCH))] if part else []
        whole = [str(inches)] if inches or not part else []
        words.append(" ".join([*whole, *fraction, "in"]))
    return ("-" if marks < 0 else "") + " ".join(words)


def both_lengths(mm: float) -> str:
    """Return a length as "304.8 mm (1 ft)", for a refusal that does not know how the shop writes it."""
    return f"{mm:g} mm ({show_length(mm, 'ft-in')})" if math.isfinite(mm) else f"{mm:g} mm"


def show_volume(litres: float, show: Show) -> str:
    """Return a volume as "119.7 gal" or "453.1 L" (below one litre "584 ml")."""
    if show == "ft-in":
        return _measured(_finite(litres) / LITRES_PER_GALLON, "gal")
    return _measured(litres, "L") if abs(_finite(litres)) >= 1.0 else _measured(litres * 1000.0, "ml")


def show_mass(kg: float, show: Show) -> str:
    """Return a mass as "24.3 lb" (below one pound "7.5 oz") or "11 kg" (below one kg "213 g")."""
    if show == "ft-in":
        pounds = _finite(kg) / KG_PER_POUND
        return _measured(pounds, "lb") if abs(pounds) >= 1.0 else _measured(pounds * 16.0, "oz")
    return _measured(kg, "kg") if abs(_finite(kg)) >= 1.0 else _measured(kg * 1000.0, "g")


def show_angle(rad: float) -> str:
    """Return an angle as "31.4 deg"."""
    return f"{_digits(_finite(rad) / RAD_PER_DEGREE, 1)} deg"


def show_time(seconds: float) -> str:
    """Return a time as "45 s", "12 min" or "1 h 30 min", to the minute from two minutes on."""
    if abs(_finite(seconds)) < 120.0:
        return f"{round(seconds)} s"
    hours, minutes = divmod(round(abs(seconds) / 60.0), 60)
    words = [f"{hours} h"] if hours else []
    words += [f"{minutes} min"] if minutes or not hours else []
    return ("-" if seconds < 0.0 else "") + " ".join(words)


def clock(seconds: float) -> str:
    """Return a time of day, in s from midnight, as "08:05", with the seconds where there are any.

    The day after goes on counting: "26:10" is ten past two at night.
    """
    minutes, left = divmod(round(_finite(seconds)), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02}:{minutes:02}" + (f":{left:02}" if left else "")


def show_area(mm2: float, show: Show) -> str:
    """Return an area as "12.4 ft²" or "1.15 m²"."""
    if show == "ft-in":
        return _measured(_finite(mm2) / MM_PER_FOOT**2, "ft²")
    return _measured(_finite(mm2) / MM2_PER_M2, "m²")


def show_force(newtons: float, show: Show) -> str:
    """Return a force as "88.2 lbf" or "392 N"."""
    if show == "ft-in":
        return _measured(_finite(newtons) / NEWTONS_PER_POUND_FORCE, "lbf")
    return _measured(_finite(newtons), "N")


def show_force_along(newtons_a_metre: float, show: Show) -> str:
    """Return a force along a wall as "88.2 lbf a foot" or "1290 N a metre"."""
    if show == "ft-in":
        return f"{show_force(newtons_a_metre * MM_PER_FOOT / MM_PER_METRE, show)} a foot"
    return f"{show_force(newtons_a_metre, show)} a metre"


def show_pressure(pascals: float, show: Show) -> str:
    """Return a pressure as "107 lb/ft²" or "5.1 kPa"."""
    if show == "ft-in":
        foot_m2 = MM_PER_FOOT**2 / MM2_PER_M2
        return _measured(_finite(pascals) * foot_m2 / NEWTONS_PER_POUND_FORCE, "lb/ft²")
    return _measured(_finite(pascals) / 1000.0, "kPa")


def show_stress(megapascals: float, show: Show) -> str:
    """Return a stress as "251 psi" or "1.73 MPa"."""
    if show == "ft-in":
        newtons_an_inch2 = _finite(megapascals) * MM_PER_INCH**2
        return _measured(newtons_an_inch2 / NEWTONS_PER_POUND_FORCE, "psi")
    return _measured(_finite(megapascals), "MPa")


def _measured(value: float, unit: str) -> str:
    """Show three figures at least, and never less than a tenth."""
    size = abs(value)
    return f"{_digits(value, 1 if size >= 10.0 else 2 if size >= 1.0 else 3)} {unit}"


def _digits(value: float, decimals: int) -> str:
    """Return `value` rounded, without idle zeros and without a minus before nothing."""
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _finite(value: float) -> float:
    if not math.isfinite(value):
        raise Refused(f"{value} cannot be shown as a quantity", "give a finite number")
    return value


def radians_of(degrees: float) -> float:
    """Return an angle of so many degrees that, given in degrees again, is the same to the last digit."""
    return _of_so_many(degrees, RAD_PER_DEGREE)


def mm2_of(square_metres: float) -> float:
    """Return an area of so many m2 that, given in m2 again, is the same to the last digit."""
    return _of_so_many(square_metres, MM2_PER_M2)


def _of_so_many(told: float, per_unit: float) -> float:
    """Return a value that, divided by its unit again, is the same to the last digit.

    A product and a quotient are each rounded by half a unit in the last place, so that the value is one of
    the five numbers next to the product; where none is (no value is given as this number) the product.
    """
    product = told * per_unit
    up, down = math.nextafter(product, math.inf), math.nextafter(product, -math.inf)
    near = (product, up, down, math.nextafter(up, math.inf), math.nextafter(down, -math.inf))
    return next((value for value in near if value / per_unit == told), product)
