"""Colours of materials under light."""

from __future__ import annotations

from typing import Final

__all__ = ["LIGHT", "hex_of", "luminance", "rgb_of", "shaded"]

Rgb = tuple[float, float, float]

LIGHT: Final = (-0.50, 0.62, 0.61)
"""Unit direction towards the light: from the upper left, as drawings have shaded since long."""


def rgb_of(colour: str) -> Rgb:
    """Return ``#rrggbb`` as three shares from 0 to 1."""
    return int(colour[1:3], 16) / 255.0, int(colour[3:5], 16) / 255.0, int(colour[5:7], 16) / 255.0


def hex_of(rgb: Rgb) -> str:
    """Return three shares from 0 to 1 as ``#rrggbb``; what lies outside is clipped."""
    return "#" + "".join(f"{round(255 * min(1.0, max(0.0, c))):02x}" for c in rgb)


def luminance(colour: str) -> float:
    """Return how bright a colour is, 0 to 1 (weights of ITU-R BT.709, on the stored values)."""
    r, g, b = rgb_of(colour)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def shaded(colour: str, factor: float) -> str:
    """Return a colour darkened (factor below 1) or lightened towards white (above 1; 2 is white)."""
    r, g, b = rgb_of(colour)
    if factor <= 1.0:
        return hex_of((r * factor, g * factor, b * factor))
    k = factor - 1.0
    return hex_of((r + (1 - r) * k, g + (1 - g) * k, b + (1 - b) * k))
