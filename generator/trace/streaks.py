"""Brushed metal nearly as bright as what it lies on: streaks of it that were taken for openings, or for the sheet."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from generator.base.errors import GeometryError
from generator.trace.edge_points import evenly
from generator.trace.surround import LEAST_LOOP_MM, Coarse, Image, find_parts, shoelace

Floats = NDArray[np.float64]

UNEVEN: Final = 0.12
"""Scatter of the metal as a share of its contrast, from which its streaks reach halfway to the surroundings (four
standard deviations)."""
CLEAR: Final = 0.75
"""Beside a true edge the light comes this near to the surroundings' (share of the contrast; beside streaks 0.65 at
most in simulated scans, 0.9 beside edges in their shadow)."""
BESIDE_MM: Final = 1.0
"""How far outside an edge it must: farther than usual shadows reach."""
MOST_MM: Final = 1.5
"""A shorter stretch within streaks is a scratch or dust (chosen)."""

_REMEDY: Final = "scan it on a sheet of another shade: black card behind bright metal, white paper behind dark"


def within_streaks(light: Image, part: Coarse, mm_per_px: float) -> float:
    """Return the length, mm, of a part's outlines outside of which there is more metal, as light tells.

    Args:
        light: linear light of the picture.
        part: as it was found there.
        mm_per_px: size of a pixel.
    """
    if part.unevenness < UNEVEN:
        return 0.0
    at = np.arange(0.0, BESIDE_MM / mm_per_px + 1.0)
    smooth = ndimage.uniform_filter(light[slice(*part.rows), slice(*part.columns)], 3, output=np.float32)
    corner = np.array([part.columns[0], part.rows[0]])
    length = 0.0
    for i, loop in enumerate((part.outer, *part.inner)):
        area = shoelace(loop)
        if i and abs(area) * mm_per_px**2 < np.pi / 4.0 * LEAST_LOOP_MM**2:  # not traced either
            continue
        points, normals = evenly(loop, 1.0)
        normals = normals * ((-1.0 if area > 0.0 else 1.0) * (1.0 if i == 0 else -1.0))
        u, v = ((points - corner)[:, k, None] + normals[:, k, None] * at for k in (0, 1))
        beside = ndimage.map_coordinates(smooth, [v, u], order=1, mode="nearest", output=np.float64)
        share = ((beside - part.level) / (part.surround - part.level)).max(axis=1)
        length += float((share < CLEAR).sum()) * mm_per_px
    return length


def without_streaks(light: Image, part: Coarse, number: int, mm_per_px: float) -> tuple[Coarse, str]:
    """Return a part of a picture with bright streaks of its metal counted as metal, and a sentence if there were any.

    Args:
        light: linear light of the picture.
        part: as it was found there.
        number: which part of the picture it is, 1 for the largest.
        mm_per_px: size of a pixel.

    Raises: GeometryError: streaks are still taken for openings or for the sheet.
    """
    lost = within_streaks(light, part, mm_per_px)
    if lost < MOST_MM:
        return part, ""
    parts = find_parts(light, streaked=True)
    again = parts[number - 1] if number <= len(parts) else part
    rest = within_streaks(light, again, mm_per_px)
    if rest >= MOST_MM:
        raise GeometryError(
            f"part and surroundings cannot be told apart: the metal's own streaks are as bright as what it lies on, "
            f"and {rest:.0f} mm of the outline found run through them; {_REMEDY}"
        )
    return again, (
        f"the metal has streaks nearly as bright as what it lies on; {lost:.0f} mm of outline along them were left "
        f"out. Compare the overlay with the part, and rather {_REMEDY}"
    )
