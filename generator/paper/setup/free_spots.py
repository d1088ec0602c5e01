"""Where a mark finds room in a picture: beside a place without touching a line, or inside a region."""

from __future__ import annotations

from collections.abc import Iterable
from math import cos, pi, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.outline.distance import points_depth
from generator.outline.region import Region
from generator.paper.box import Box
from generator.paper.collisions import boxes_hit, segments_of_items
from generator.paper.letters import letters_box
from generator.paper.sheet import Item, Letters

__all__ = ["beside", "inside", "lines_of"]

Floats = NDArray[np.float64]
AWAY_MM: Final = (0.8, 1.6, 2.8, 4.0, 6.0, 8.5)
"""How far from the rim of its place a label is tried."""
TURNS: Final = 16
GRID: Final = 24
"""Places inside a region are tried on a grid of so many by so many."""


def lines_of(items: Iterable[Item]) -> Floats:
    """Return what is drawn as rows x0, y0, x1, y1; texts as the borders and a diagonal of their boxes."""
    rows = list(items)
    boxes = [i.box for i in rows if isinstance(i, Letters)]
    sides = [
        side
        for b in boxes
        for side in (
            (b.left, b.bottom, b.right, b.bottom),
            (b.left, b.top, b.right, b.top),
            (b.left, b.bottom, b.left, b.top),
            (b.right, b.bottom, b.right, b.top),
            (b.left, b.bottom, b.right, b.top),
        )
    ]
    drawn = segments_of_items(rows)
    return np.vstack((drawn, np.array(sides))) if sides else drawn


def beside(
    text: str, at: tuple[float, float], rim_mm: float, height_mm: float, lines: Floats, room: Box, *, bold: bool
) -> tuple[float, float] | None:
    """Return where the middle of a text's baseline stands beside a place and free of lines; None if nowhere near."""
    own = letters_box(text, (0.0, 0.0), height_mm, anchor="middle", turn_deg=0.0, bold=bold)
    half_x, half_y = own.width / 2.0, own.height / 2.0
    middle = own.centre
    for away in AWAY_MM:
        for k in range(TURNS):
            angle = pi / 4.0 + 2.0 * pi * k / TURNS
            # so far that the box clears the rim in this direction
            reach = rim_mm + away + min(half_x / max(abs(cos(angle)), 1e-9), half_y / max(abs(sin(angle)), 1e-9))
            x, y = at[0] + reach * cos(angle), at[1] + reach * sin(angle)
            box = Box(x - half_x, y - half_y, x + half_x, y + half_y).grown(0.5)
            if box.within(room) and not boxes_hit(lines, box).any():
                return x - middle[0], y - middle[1]
    return None


def inside(region: Region, radius_mm: float, lines: Floats) -> tuple[float, float] | None:
    """Return the place inside a region (mm on the sheet) that is farthest from any line, if a disc has room there."""
    box = Box.around((v.x, v.y) for c in region for v in c.vertices)
    if min(box.width, box.height) < 2.0 * radius_mm:
        return None
    xs = np.linspace(box.left + radius_mm, box.right - radius_mm, GRID)
    ys = np.linspace(box.bottom + radius_mm, box.top - radius_mm, GRID)
    points = np.array([(x, y) for y in ys for x in xs])
    depth = points_depth(region, points)
    points = points[depth >= radius_mm]
    if not len(points):
        return None
    near = lines[_near(lines, box)]
    clear = _clearance(points, near)
    k = int(np.argmax(np.round(clear, 3)))
    return (float(points[k, 0]), float(points[k, 1])) if clear[k] >= radius_mm else None


def _near(lines: Floats, box: Box) -> NDArray[np.bool_]:
    low_x, high_x = np.minimum(lines[:, 0], lines[:, 2]), np.maximum(lines[:, 0], lines[:, 2])
    low_y, high_y = np.minimum(lines[:, 1], lines[:, 3]), np.maximum(lines[:, 1], lines[:, 3])
    near: NDArray[np.bool_] = (low_x <= box.right) & (high_x >= box.left) & (low_y <= box.top) & (high_y >= box.bottom)
    return near


def _clearance(points: Floats, lines: Floats) -> Floats:
    """Return how far each point is from the nearest of the lines."""
    if not len(lines):
        return np.full(len(points), np.inf)
    a, d = lines[:, :2], lines[:, 2:] - lines[:, :2]
    squares = np.maximum((d * d).sum(1), 1e-18)
    rows = []
    for p in points:
        t = np.clip(((p - a) * d).sum(1) / squares, 0.0, 1.0)
        off = p - a - t[:, None] * d
        rows.append(float(np.sqrt((off * off).sum(1).min())))
    return np.array(rows)
