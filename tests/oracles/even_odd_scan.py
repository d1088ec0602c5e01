"""An oracle for areas: a region, or any polygons, as a picture of pixels, row by row; even-odd, centres of pixels.

Shares no code with the kernel but the facets of `fine_facets`.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from generator.outline.region import Region
from tests.oracles.fine_facets import polygon


def picture(polygons: Iterable[np.ndarray], width: int, height: int) -> np.ndarray:
    """Return which pixels have their centre inside an odd number of polygons, given in pixels, y down."""
    flips = np.zeros((height, width + 1), dtype=np.int64)
    for p in polygons:
        q = np.roll(p, -1, axis=0)
        low, high = np.minimum(p[:, 1], q[:, 1]), np.maximum(p[:, 1], q[:, 1])
        first = np.clip(np.ceil(low - 0.5), 0, height).astype(int)
        count = np.clip(np.ceil(high - 0.5), 0, height).astype(int) - first
        edge = np.repeat(np.arange(len(p)), count)
        row = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count) + first[edge]
        a, b = p[edge], q[edge]
        x = a[:, 0] + (row + 0.5 - a[:, 1]) * (b[:, 0] - a[:, 0]) / (b[:, 1] - a[:, 1])
        np.add.at(flips, (row, np.clip(np.ceil(x - 0.5), 0, width).astype(int)), 1)
    return np.asarray(np.cumsum(flips, axis=1)[:, :width] % 2 == 1)


def picture_of(region: Region, top_mm: float, per_mm: float, width: int, height: int) -> np.ndarray:
    """Return a region in mm, y up, as a picture whose upper left corner lies at (0, ``top_mm``)."""
    facets = [polygon(c, 0.05 / per_mm) for c in region]
    return picture([np.column_stack([f[:, 0], top_mm - f[:, 1]]) * per_mm for f in facets], width, height)


def agreement(a: np.ndarray, b: np.ndarray) -> float:
    """Return the intersection of two pictures as a share of their union."""
    return float((a & b).sum() / max(1, (a | b).sum()))
