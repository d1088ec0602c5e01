"""Upright boxes on a sheet, y up: what keeps texts and lines apart."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

__all__ = ["Box"]


class Box(NamedTuple):
    """An upright box, mm, y up."""

    left: float
    bottom: float
    right: float
    top: float

    @classmethod
    def around(cls, points: Iterable[tuple[float, float]]) -> Box:
        """Return the smallest box that holds every point.

        Raises: ValueError: no point is given.
        """
        rows = list(points)
        xs, ys = [p[0] for p in rows], [p[1] for p in rows]
        return cls(min(xs), min(ys), max(xs), max(ys))

    @property
    def width(self) -> float:
        """Return the width, mm."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Return the height, mm."""
        return self.top - self.bottom

    @property
    def centre(self) -> tuple[float, float]:
        """Return the middle."""
        return (self.left + self.right) / 2.0, (self.bottom + self.top) / 2.0

    def grown(self, by: float) -> Box:
        """Return the box larger by ``by`` (mm) on every side."""
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def moved(self, dx: float, dy: float) -> Box:
        """Return the box at another place."""
        return Box(self.left + dx, self.bottom + dy, self.right + dx, self.top + dy)

    def joined(self, other: Box) -> Box:
        """Return the smallest box that holds both."""
        return Box(
            min(self.left, other.left),
            min(self.bottom, other.bottom),
            max(self.right, other.right),
            max(self.top, other.top),
        )

    def overlaps(self, other: Box) -> bool:
        """Return True if the two share more than a border."""
        return (
            self.left < other.right and other.left < self.right and self.bottom < other.top and other.bottom < self.top
        )

    def within(self, other: Box) -> bool:
        """Return True if no part of this box lies outside ``other``."""
        return (
            other.left <= self.left
            and self.right <= other.right
            and other.bottom <= self.bottom
            and self.top <= other.top
        )
