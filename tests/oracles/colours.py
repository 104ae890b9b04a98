"""How colours are seen: contrast, lightness, and by who lacks red or green cones."""

from __future__ import annotations

import numpy as np


def luminance(colour: str) -> float:
    """Relative luminance: Web Content Accessibility Guidelines 2.1 (W3C, 2018), definition."""
    parts = [int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, two: str) -> float:
    """Contrast ratio, the same source."""
    low, high = sorted((luminance(one), luminance(two)))
    return (high + 0.05) / (low + 0.05)


def lightness(colour: str) -> float:
    """Return CIE L* of an sRGB colour (IEC 61966-2-1 and CIE 15:2004)."""
    channels = [int(colour[k : k + 2], 16) / 255.0 for k in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    y = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    return 116.0 * y ** (1.0 / 3.0) - 16.0 if y > 216.0 / 24389.0 else y * 24389.0 / 27.0


# Seen by somebody without red or without green cones: linear RGB, G. Vienot, H. Brettel, J. Mollon, Digital
# video colourmaps for checking the legibility of displays by dichromats, Color Res. Appl. 24 (1999) 243-252.
WITHOUT = {
    "red": np.array([[0.11238, 0.88762, 0.0], [0.11238, 0.88762, 0.0], [0.00401, -0.00401, 1.0]]),
    "green": np.array([[0.29275, 0.70725, 0.0], [0.29275, 0.70725, 0.0], [-0.02234, 0.02234, 1.0]]),
}


def lab(colour: str, seen: np.ndarray | None = None) -> np.ndarray:
    """Return CIE L*a*b* (D65) of a colour, as seen through a matrix."""
    channels = np.array([int(colour[k : k + 2], 16) / 255.0 for k in (1, 3, 5)])
    linear = np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)
    linear = linear if seen is None else np.clip(seen @ linear, 0.0, 1.0)
    to_xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
    x, y, z = to_xyz @ linear / np.array([0.9505, 1.0, 1.089])
    f = [
        v ** (1.0 / 3.0) if v > 216.0 / 24389.0 else v * 24389.0 / 27.0 / 116.0 + 16.0 / 116.0
        for v in (x, y, z)
    ]
    return np.array([116.0 * f[1] - 16.0, 500.0 * (f[0] - f[1]), 200.0 * (f[1] - f[2])])
