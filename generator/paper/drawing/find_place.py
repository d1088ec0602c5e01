"""Free places for short texts in and round a view: near what they are about, on no line and on no other text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import cos, dist, hypot, pi, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.paper.box import Box
from generator.paper.collisions import boxes_hit, segments_of_items
from generator.paper.drawing.block import ink_box
from generator.paper.sheet import Item, Letters

__all__ = ["Obstacles", "Ring", "find_place"]

Floats = NDArray[np.float64]
CLEAR_MM: Final = 0.4
DIRECTIONS: Final = 24
DISTANCES: Final = (1.0, 2.0, 3.5, 5.0, 7.0, 9.5, 12.5, 16.0, 20.0, 25.0, 31.0, 38.0, 46.0, 56.0, 68.0, 82.0, 98.0)
STRAIGHT_MM: Final = 3.5
"""A leader shorter than this is left out: the text stands beside its thing …"""
PLAINLY_MM: Final = 2.5
"""… and nearer to it, by this, than to anything that it could be taken for."""
LEAST_LEADER_MM: Final = 2.5
"""A shorter line is not seen to be a leader where there are others round about."""

Ring = tuple[float, float, float]
"""Middle and radius of something round, mm."""


class Obstacles:
    """What a text may not lie on."""

    def __init__(self, items: Iterable[Item], boxes: Sequence[Box] = ()) -> None:
        rows = list(items)
        self._segments = segments_of_items(rows)
        self._boxes = _texts(rows) + list(boxes)

    def add(self, items: Sequence[Item]) -> None:
        """Take more items."""
        self._segments = np.vstack((self._segments, segments_of_items(items)))
        self._boxes += _texts(items)

    def free(self, box: Box) -> bool:
        """Return True if nothing lies in a box."""
        grown = box.grown(CLEAR_MM)
        return not any(grown.overlaps(b) for b in self._boxes) and not bool(boxes_hit(self._segments, grown).any())

    def crosses_text(self, a: tuple[float, float], b: tuple[float, float]) -> bool:
        """Return True if a straight line runs through a text."""
        row = np.array([[a[0], a[1], b[0], b[1]]])
        return any(bool(boxes_hit(row, box.grown(CLEAR_MM)).any()) for box in self._boxes)

    def lines_crossed(self, a: tuple[float, float], b: tuple[float, float]) -> int:
        """Return how many lines a straight line crosses."""
        s = self._segments
        ux, uy = b[0] - a[0], b[1] - a[1]
        vx, vy = s[:, 2] - s[:, 0], s[:, 3] - s[:, 1]
        sides = [(s[:, k] - a[0]) * uy - (s[:, k + 1] - a[1]) * ux for k in (0, 2)]
        apart = sides[0] * sides[1] < 0.0
        ends = [(x - s[:, 0]) * vy - (y - s[:, 1]) * vx for x, y in (a, b)]
        return int((apart & (ends[0] * ends[1] < 0.0)).sum())


def find_place(
    obstacles: Obstacles,
    anchor: tuple[float, float],
    size: tuple[float, float],
    *,
    start_mm: float = 0.0,
    room: Box | None = None,
    toward: float | None = None,
    rivals: Sequence[Ring] = (),
) -> tuple[Box, tuple[tuple[float, float], tuple[float, float]] | None] | None:
    """Return a free box for a text of ``size`` and its leader (None where it stands close by); None if there is none.

    Args:
        obstacles: what may not be covered.
        anchor: what the text is about, mm.
        size: of the text, mm.
        start_mm: so far round the anchor belongs to the thing itself, such as the radius of a hole.
        room: the text stays within.
        toward: direction (radians) that is tried first.
        rivals: what the text could be taken for, were it nearer to one of them.
    """
    first = pi / 4.0 if toward is None else toward
    for d in DISTANCES:
        best: tuple[int, int, Box, tuple[tuple[float, float], tuple[float, float]] | None] | None = None
        for k in range(DIRECTIONS):
            turn = first + (k + 1) // 2 * (1 if k % 2 else -1) * 2.0 * pi / DIRECTIONS
            box = _box_at(anchor, size, start_mm + d, turn)
            if (room is not None and not box.within(room)) or not obstacles.free(box):
                continue
            plain = _is_plain(box, (*anchor, start_mm), rivals)
            leader = None if d <= STRAIGHT_MM and plain else _leader(anchor, start_mm, box)
            if not plain and (leader is None or dist(*leader) < LEAST_LEADER_MM):
                continue
            crossed = 0
            if leader is not None:
                if obstacles.crosses_text(*leader):
                    continue
                crossed = obstacles.lines_crossed(*leader)
            if best is None or (crossed, k) < best[:2]:
                best = (crossed, k, box, leader)
        if best is not None:
            return best[2], best[3]
    return None


def _texts(items: Iterable[Item]) -> list[Box]:
    """Return the boxes that no leader may run through: texts, and balloons round theirs."""
    return [ink_box([i]) for i in items if isinstance(i, Letters) or getattr(i, "name", "") == "balloon"]


def _is_plain(box: Box, own: Ring, rivals: Sequence[Ring]) -> bool:
    """Return True if a text's box is plainly nearer to its own thing than to any other."""
    near = _gap(box, own) + PLAINLY_MM
    return all(_gap(box, r) > near for r in rivals)


def _gap(box: Box, ring: Ring) -> float:
    """Return how far a box is from something round."""
    x, y, r = ring
    return max(0.0, hypot(max(box.left - x, 0.0, x - box.right), max(box.bottom - y, 0.0, y - box.top)) - r)


def _box_at(anchor: tuple[float, float], size: tuple[float, float], away: float, turn: float) -> Box:
    """Return the box that touches the circle of radius ``away`` round the anchor from outside."""
    w, h = size
    c, s = cos(turn), sin(turn)
    x = anchor[0] + c * away + (w / 2.0) * _sign(c)
    y = anchor[1] + s * away + (h / 2.0) * _sign(s)
    return Box(x - w / 2.0, y - h / 2.0, x + w / 2.0, y + h / 2.0)


def _sign(v: float) -> float:
    """Return -1 to 1, softly near nothing, so that a text straight above its thing stands over its middle."""
    return max(-1.0, min(1.0, v * 2.5))


def _leader(
    anchor: tuple[float, float], start_mm: float, box: Box
) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Return the line from the thing to the nearest point of the text's box, a little off it."""
    end = (min(max(anchor[0], box.left), box.right), min(max(anchor[1], box.bottom), box.top))
    far = hypot(end[0] - anchor[0], end[1] - anchor[1])
    if far <= start_mm + 1.0:
        return None
    k, m = start_mm / far, (far - 2.0 * CLEAR_MM) / far
    dx, dy = end[0] - anchor[0], end[1] - anchor[1]
    return (anchor[0] + k * dx, anchor[1] + k * dy), (anchor[0] + m * dx, anchor[1] + m * dy)
