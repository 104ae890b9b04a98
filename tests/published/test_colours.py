"""Colours that are told apart, on a grey copy too, and without red or green cones.

Web Content Accessibility Guidelines 2.1 (W3C, 2018), success criteria 1.4.3 and 1.4.11. IEC 61966-2-1 and CIE
15:2004 for lightness. G. Vienot, H. Brettel, J. Mollon, Color Res. Appl. 24 (1999) 243-252, for what is not seen.
"""

from __future__ import annotations

import numpy as np
import pytest
from oracles.colours import WITHOUT, contrast, lab, lightness

from fitcheck.draw import ink
from fitcheck.questions.chart.draw import LOOKS


def test_words_stand_out_from_their_ground_on_a_grey_copy_too() -> None:
    # Success criteria 1.4.3 (words, 4.5) and 1.4.11 (lines that carry meaning, 3) of the same guidelines.
    for colour in (ink.INK, ink.FAINT, ink.SURFACE, ink.WARNING, ink.CARE):
        assert contrast(colour, ink.PAPER) >= 4.5
    for colour in (ink.GO, ink.WARNING, ink.CARE, ink.UNKNOWN):
        assert contrast("#ffffff", colour) >= 4.5
    for one, two in (
        (ink.SURFACE, ink.LIQUID),
        (ink.INK, ink.METAL),
        (ink.INK, ink.WALL),
        (ink.INK, ink.BLOCK),
    ):
        assert contrast(one, two) >= 3.0
    assert contrast(ink.METAL, ink.LIQUID) >= 1.8


# Grounds that lie beside each other in a picture, and what must be told apart in it.
BESIDE = (
    ("PAPER", "LIQUID"),
    ("LIQUID", "AIR"),
    ("LIQUID", "METAL"),
    ("AIR", "METAL"),
    ("LIQUID", "WALL"),
    ("WALL", "METAL"),
    ("PAPER", "WALL"),
    ("PAPER", "AIR"),
    ("BLOCK", "METAL"),
)


@pytest.mark.parametrize(("one", "other"), BESIDE)
def test_grounds_differ_on_a_grey_copy_and_without_red_or_green(one: str, other: str) -> None:
    a, b = getattr(ink, one), getattr(ink, other)
    # A step of 2 of L* is just told where two greys touch; an outline stands between all of these.
    assert abs(lightness(a) - lightness(b)) >= 4.0
    for seen in WITHOUT.values():
        assert np.linalg.norm(lab(a, seen) - lab(b, seen)) >= 8.0


def test_words_read_on_every_field_of_the_chart() -> None:
    for ground, colour, _ in LOOKS.values():
        # WCAG 2.1, 1.4.3 asks for a contrast of 4.5; dark on light that is about 45 of L*.
        assert lightness(ground) - lightness(colour) >= 45.0
