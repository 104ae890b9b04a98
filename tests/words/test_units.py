"""Quantities as people write them, in and out."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from fitcheck.words import units
from fitcheck.words.errors import Refused
from fitcheck.words.units import Show

# NIST Handbook 44, Appendix C (General tables of units of measurement): 1 in = 25.4 mm exactly,
# 1 ft = 304.8 mm exactly, 1 US gallon = 231 in3 = 3.785 411 784 L exactly, 1 lb = 453.592 37 g exactly,
# 1 oz = 28.349 523 125 g exactly. The inch and the pound: international agreement of 1959.
LENGTHS = {
    "1 in": 25.4,
    "1 ft": 304.8,
    "24 ft 4 1/2 in": 7429.5,
    "24'-4 1/2\"": 7429.5,
    "24' - 4 1/2\"": 7429.5,
    "24ft 4.5in": 7429.5,
    "24′ 4½″": 7429.5,
    "24'4½''": 7429.5,
    "24 feet 4 1/2 inches": 7429.5,
    "10-1/2 in": 266.7,
    "10–1/2 in": 266.7,
    "10 1⁄2 in": 266.7,
    "5/16 in": 7.9375,
    '⅝"': 15.875,
    ".5 in": 12.7,
    "24.5 ft": 7467.6,
    "1 FT 4 IN": 406.4,
    "7315 mm": 7315.0,
    "7315mm": 7315.0,
    "73.2 cm": 732.0,
    "1.2 m": 1200.0,
    "1 metre": 1000.0,
    "-3/4 in": -19.05,
    "−24 ft 4 1/2 in": -7429.5,
    "0 in": 0.0,
}


@pytest.mark.parametrize(("text", "mm"), LENGTHS.items())
def test_lengths_are_read_as_people_write_them(text: str, mm: float) -> None:
    assert units.read_length(text) == pytest.approx(mm, rel=1e-15, abs=0.0)


@pytest.mark.parametrize(
    ("read", "text", "value"),
    [
        (units.read_volume, "1 gal", 3.785411784),
        (units.read_volume, "90 gal", 340.68706056),
        (units.read_volume, "340 L", 340.0),
        (units.read_volume, "340 l", 340.0),
        (units.read_volume, "500 ml", 0.5),
        (units.read_volume, "500 mL", 0.5),
        (units.read_mass, "1 lb", 0.45359237),
        (units.read_mass, "8 oz", 8 * 0.028349523125),
        (units.read_mass, "3 lb 8 oz", 3.5 * 0.45359237),
        (units.read_mass, "11 kg", 11.0),
        (units.read_mass, "250 g", 0.25),
        (units.read_angle, "30 deg", math.pi / 6),
        (units.read_angle, "-22 1/2°", -math.pi / 8),
        (units.read_density, "2700 kg/m3", 2.7),
        (units.read_density, "2700 kg/m³", 2.7),
        (units.read_density, "2.7 g/cm3", 2.7),
        # NIST Handbook 44, Appendix C has no density; from its pound and inch: 0.453 592 37 / 0.016 387 064.
        (units.read_density, "1 lb/in3", 27.679904710),
        (units.read_density, "62.4 lb/ft3", 62.4 * 0.45359237 / 28.316846592),
    ],
)
def test_other_quantities_are_read(read: Callable[[str], float], text: str, value: float) -> None:
    assert read(text) == pytest.approx(value, rel=1e-10)


REFUSED = {
    "": "empty",
    "   ": "empty",
    "30": "no unit",
    "4 1/2": "no unit",
    "nan": "not a length",
    "nan mm": "not a length",
    "inf in": "not a length",
    "30 cubits": "cubits",
    "1e3 mm": "not a length",
    "1/0 in": "zero",
    "4 0/0 in": "zero",
    "7,315 mm": "commas",
    "73,2 cm": "commas",
    "24' 4 1/2": "no unit",
    "5-6 in": "no unit",
    "10 - 1/2 in": "no unit",
    "1 1 in": "no unit",
    "24.5 ft 3 in": "fraction",
    "1 m 20 cm": "more than one",
    "4 in 2 ft": "more than one",
    "1 in 2 in": "more than one",
    "1 ft 2 in 3 in": "more than one",
    "4 4/3 in": "fraction of 1 or more",
    "1.5 1/2 in": "no unit",
    "6 lb": "mass",
    "30 deg": "angle",
    "4³ in": "not a length",
    "4 in³": "unknown unit",
    "⅟ in": "not a length",
    "① in": "not a length",
    "٣ mm": "not a length",
    "in": "not a length",
    "-": "not a length",
    "–": "not a length",
    "--3 in": "not a length",
    "3 in -": "not a length",
    "1 in x": "not a length",
    "1 ft\n2": "no unit",
    "9" * 12 + " m": "more than any shop",
    "1" * 50 + " mm": "too long",
    "x" * 100_000: "too long",
}


@pytest.mark.parametrize(("text", "word"), REFUSED.items(), ids=[repr(text[:20]) for text in REFUSED])
def test_what_is_not_a_length_is_refused_with_a_right_example(text: str, word: str) -> None:
    with pytest.raises(Refused) as caught:
        units.read_length(text)
    message = str(caught.value)
    assert word in message
    assert "\n" not in message
    assert len(message) < 200
    offered = re.findall(r'"([^"]*(?:in|mm))"', caught.value.cure) or re.findall(
        r"as in (.*)", caught.value.cure
    )
    assert offered


def test_the_example_in_every_cure_is_itself_read() -> None:
    for read in (units.read_length, units.read_volume, units.read_mass, units.read_angle, units.read_density):
        for bad in ("", "30", "3 furlongs"):
            with pytest.raises(Refused) as caught:
                read(bad)
            examples = re.findall(r'"([^"]+)"', caught.value.cure)
            assert examples
            assert all(read(shown) > 0.0 for shown in examples)


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        value = units.read_length(text)
    except Refused:
        return
    assert math.isfinite(value)
    assert re.search("[a-zA-Z'\"′″’”“‘]", text), "a length without a unit was let through"


WRITTEN = ["{ft} ft {n} {a}/{b} in", "{ft}'-{n} {a}/{b}\"", "{ft}ft {n}-{a}/{b}in", "{ft}′ - {n} {a}⁄{b}″"]


@given(st.integers(0, 9999), st.integers(0, 11), st.integers(0, 63), st.sampled_from(WRITTEN), st.booleans())
def test_every_way_to_write_feet_and_inches_means_the_same(
    feet: int, inches: int, part: int, written: str, below: bool
) -> None:
    sign = -1 if below else 1
    text = ("-" if below else "") + written.format(ft=feet, n=inches, a=part, b=64)
    exact = sign * (feet * 12 + inches + Fraction(part, 64)) * Fraction("25.4")
    assert units.read_length(text) == float(exact)


LENGTHS_MM = st.floats(-9e6, 9e6)


@given(LENGTHS_MM)
@example(-0.001)
@example(-25.4 / 32)
@example(25.4 * (12 - 1 / 64))
def test_feet_and_inches_read_back_to_a_32nd_of_an_inch(mm: float) -> None:
    shown = units.show_length(mm, "ft-in")
    assert "." not in shown
    assert re.fullmatch(r"-?(\d+ ft)?( ?(\d+ )?(\d+(/\d+)? )in)?", shown)
    # Half a sixteenth, and what a double of this size is rounded by.
    assert abs(units.read_length(shown) - mm) <= 25.4 / 32 + 1e-15 * abs(mm)


@given(LENGTHS_MM)
def test_millimetres_read_back_to_half_the_last_digit(mm: float) -> None:
    shown = units.show_length(mm, "mm")
    assert abs(units.read_length(shown) - mm) <= 0.05 + 1e-15 * abs(mm)


def half_a_digit(shown: str) -> float:
    """Half of the last place that a shown number may have: three figures at least, a tenth at most."""
    size = abs(float(shown.partition(" ")[0]))
    return 0.05 if size >= 10.0 else 0.005 if size >= 1.0 else 0.0005


@given(st.floats(-9e5, 9e5), st.sampled_from(["ft-in", "mm"]))
def test_volumes_and_masses_read_back_to_half_the_last_digit(value: float, show: Show) -> None:
    for read, shown in (
        (units.read_volume, units.show_volume(value, show)),
        (units.read_mass, units.show_mass(value, show)),
    ):
        one = read(f"1 {shown.split()[1]}")
        # A number that rounds up to 10 or to 1 is shown with the digits of the smaller one.
        assert abs(read(shown) - value) <= half_a_digit(shown) * one * (1.0 + 1e-9) + 1e-15 * abs(value)


@given(st.floats(-4.0, 4.0))
def test_angles_read_back_to_half_the_last_digit(rad: float) -> None:
    assert abs(units.read_angle(units.show_angle(rad)) - rad) <= math.radians(0.05) + 1e-15


@pytest.mark.parametrize(
    ("shown", "text"),
    [
        (units.show_length(7429.5, "ft-in"), "24 ft 4 1/2 in"),
        (units.show_length(7315.2, "ft-in"), "24 ft"),
        (units.show_length(7318.0, "ft-in"), "24 ft 1/8 in"),
        (units.show_length(304.7, "ft-in"), "1 ft"),
        (units.show_length(-114.3, "ft-in"), "-4 1/2 in"),
        (units.show_length(-7429.5, "ft-in"), "-24 ft 4 1/2 in"),
        (units.show_length(0.4, "ft-in"), "0 in"),
        (units.show_length(-0.4, "ft-in"), "0 in"),
        (units.show_length(-0.04, "mm"), "0 mm"),
        (units.show_length(7315.24, "mm"), "7315.2 mm"),
        (units.show_volume(453.1, "ft-in"), "119.7 gal"),
        (units.show_volume(0.012, "mm"), "12 ml"),
        (units.show_mass(0.2, "ft-in"), "7.05 oz"),
        (units.show_mass(20.06, "mm"), "20.1 kg"),
        (units.show_angle(math.pi / 6), "30 deg"),
        (units.show_area(92903.04, "ft-in"), "1 ft²"),
        (units.show_area(1.5e6, "mm"), "1.5 m²"),
        (units.show_force(444.822, "ft-in"), "100 lbf"),
        (units.show_force(392.27, "mm"), "392.3 N"),
    ],
)
def test_shown_as_a_shop_writes_it(shown: str, text: str) -> None:
    assert shown == text


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_not_shown(value: float) -> None:
    for show in (units.show_length, units.show_volume, units.show_mass, units.show_area, units.show_force):
        for unit in ("ft-in", "mm"):
            with pytest.raises(Refused):
                show(value, unit)  # type: ignore[arg-type]
    with pytest.raises(Refused):
        units.show_angle(value)


@given(st.floats(-10.0, 10.0))
def test_an_angle_in_degrees_is_read_back_as_the_same_degrees(angle_rad: float) -> None:
    degrees = angle_rad / units.RAD_PER_DEGREE
    again = units.radians_of(degrees)
    assert again / units.RAD_PER_DEGREE == degrees
    assert abs(again - angle_rad) <= 2.0 * math.ulp(angle_rad)
