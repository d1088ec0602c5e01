"""Edges finer than a pixel: brightness along the normals of an outline, and where it changes fastest."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from generator.base.frozen_record import frozen_record

Floats = NDArray[np.float64]
Image = NDArray[np.float32]

STEP_PX: Final = 0.25
"""Distance of samples along a normal."""
REACH_PX: Final = 6.0
"""How far a normal is looked along, either way, for the first search."""
SLOPE_SIGMA_PX: Final = 0.7
"""Width of the smoothing under which the slope is taken; below the blur of any scanner, so that it adds little."""


@frozen_record
class Edge:
    """Points on an edge, in order round a loop.

    Attributes:
        points: shape (n, 2): u, v in px.
        normals: unit normals away from the material, shape (n, 2).
        slope: steepness of the light at each point, per px (positive: light changes towards the surroundings).
    """

    points: Floats
    normals: Floats
    slope: Floats


class Ground:
    """A part's piece of the picture, ready to be sampled between pixels (cubic splines, Unser 1999)."""

    def __init__(self, light: Image, rows: tuple[int, int], columns: tuple[int, int]) -> None:
        self._corner = np.array([columns[0], rows[0]], dtype=np.float64)
        self._spline = ndimage.spline_filter(
            light[rows[0] : rows[1], columns[0] : columns[1]], order=3, output=np.float32, mode="nearest"
        )

    def profiles(self, points: Floats, normals: Floats, at: Floats) -> Floats:
        """Return the light along normals: shape (n, m) for n points and m distances in px."""
        start = points - self._corner
        u = start[:, 0, None] + normals[:, 0, None] * at
        v = start[:, 1, None] + normals[:, 1, None] * at
        light: Floats = ndimage.map_coordinates(
            self._spline, [v, u], order=3, mode="nearest", prefilter=False, output=np.float64
        )
        return light


def steepest(ground: Ground, loop: Floats, outward: float, contrast: float) -> Edge:
    """Return where the light changes fastest along the normals of a loop to the pixel.

    Args:
        ground: the picture.
        loop: closed polyline, shape (n, 2), px.
        outward: 1 where the normal away from the material lies to the right of travel as seen with v down, else -1.
        contrast: light of the surroundings less light of the part; only slopes of its sign are edges.
    """
    points, normals = evenly(loop, 1.0)
    normals = normals * outward
    at = np.arange(-REACH_PX, REACH_PX + STEP_PX / 2, STEP_PX)
    light = ground.profiles(points, normals, at)
    slope = ndimage.gaussian_filter1d(light, SLOPE_SIGMA_PX / STEP_PX, axis=1, order=1, mode="nearest") / STEP_PX
    slope *= np.sign(contrast)
    # nearer ones first: what lies further off must be clearly steeper
    weight = 1.0 - 0.5 * (at / REACH_PX) ** 2
    k = np.argmax((slope * weight)[:, 2:-2], axis=1) + 2
    rows = np.arange(len(k))
    below, here, above = slope[rows, k - 1], slope[rows, k], slope[rows, k + 1]
    bend = below - 2.0 * here + above
    shift = np.where(np.abs(bend) > 1e-12, 0.5 * (below - above) / np.where(bend == 0.0, 1.0, bend), 0.0)
    where = at[k] + np.clip(shift, -1.0, 1.0) * STEP_PX
    return Edge(points + normals * where[:, None], normals, here)


def evenly(loop: Floats, spacing_px: float) -> tuple[Floats, Floats]:
    """Return points evenly spaced along a smoothed closed polyline, and unit normals right of travel (v down)."""
    smooth = ndimage.gaussian_filter1d(loop, 2.0, axis=0, mode="wrap")
    closed = np.vstack([smooth, smooth[:1]])
    length = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    count = max(12, round(length[-1] / spacing_px))
    s = np.arange(count) * (length[-1] / count)
    points = np.column_stack([np.interp(s, length, closed[:, i]) for i in (0, 1)])
    ahead = ndimage.gaussian_filter1d(points, 2.0, axis=0, order=1, mode="wrap")
    ahead /= np.maximum(np.hypot(ahead[:, 0], ahead[:, 1]), 1e-12)[:, None]
    return points, np.column_stack([-ahead[:, 1], ahead[:, 0]])
