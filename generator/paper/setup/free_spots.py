"""Where a mark finds room in a picture: beside a place without touching a line, or inside a region."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import cos, pi, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.outline.distance import points_depth
from generator.outline.region import Region
from generator.paper.box import Box
from generator.paper.collisions import boxes_hit, segments_of_items
from generator.paper.sheet import Item, Letters

__all__ = ["FAR_MM", "NEAR_MM", "Ground", "Place", "Spot", "inside", "spots"]

Floats = NDArray[np.float64]
Place = tuple[float, float]
NEAR_MM: Final = (0.8, 1.6, 2.8, 4.0, 6.0, 8.5)
"""How far from the rim of its place a label is tried …"""
FAR_MM: Final = tuple(float(v) for v in range(4, 60, 3))
"""… and with a leader."""
WHITE_MM: Final = 0.5
TURNS: Final = 16
GRID: Final = 24
"""Places inside a region are tried on a grid of so many by so many."""


class Ground:
    """What is drawn already: lines as rows x0, y0, x1, y1, and the boxes of texts, which count as lines, too."""

    def __init__(self, items: Iterable[Item]) -> None:
        rows = list(items)
        self.lines: Floats = segments_of_items(rows)
        self.texts: list[Box] = []
        for item in rows:
            if isinstance(item, Letters):
                self.write(item)

    def write(self, letters: Letters) -> None:
        """Add a text: the borders and a diagonal of its box."""
        b = letters.box
        self.texts.append(b)
        sides = (
            (b.left, b.bottom, b.right, b.bottom),
            (b.left, b.top, b.right, b.top),
            (b.left, b.bottom, b.left, b.top),
            (b.right, b.bottom, b.right, b.top),
            (b.left, b.bottom, b.right, b.top),
        )
        self.lines = np.vstack((self.lines, np.array(sides)))

    def is_free(self, box: Box) -> bool:
        """Return True if nothing runs through a box."""
        return not boxes_hit(self.lines, box).any()

    def crosses_text(self, start: Place, end: Place) -> bool:
        """Return True if a straight line runs through a text."""
        row = np.array([(*start, *end)])
        return any(boxes_hit(row, b).any() for b in self.texts)


@frozen_record
class Spot:
    """Where a label's middle lies on the sheet, and its box with a little white."""

    middle: Place
    box: Box


def spots(size: tuple[float, float], at: Place, rim_mm: float, away: Iterable[float], room: Box) -> Iterator[Spot]:
    """Yield places for a label of a size round the rim of a place, the nearest first, all within a room; mm."""
    half_x, half_y = size[0] / 2.0, size[1] / 2.0
    for far in away:
        for k in range(TURNS):
            angle = pi / 4.0 + 2.0 * pi * k / TURNS
            # so far that the box clears the rim in this direction
            reach = rim_mm + far + min(half_x / max(abs(cos(angle)), 1e-9), half_y / max(abs(sin(angle)), 1e-9))
            x, y = at[0] + reach * cos(angle), at[1] + reach * sin(angle)
            box = Box(x - half_x, y - half_y, x + half_x, y + half_y).grown(WHITE_MM)
            if box.within(room):
                yield Spot((x, y), box)


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
