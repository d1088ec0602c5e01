"""A part cut along a plane: where it runs, and the area that is cut, exact wherever walls are upright.

The plane stands upright along x or along y; it may step once from one level to another, so that it goes through a bolt
and through an inlay pocket that lies beside it. The step lies where both levels cut the same heights: the cut area
shows no line there, as ISO 128-3 has it (from memory). Sloping walls are straight between the heights of their slab.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.outline.chords import chords
from generator.outline.combine import union
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.region import Region
from generator.part.part import Slab

__all__ = ["Plane", "Run", "cut_region", "stretches"]

X, Y = "x", "y"
LEAST_MM: Final = 1e-9


@frozen_record
class Run:
    """A stretch of a plane: from ``start`` to ``end`` along it, at one ``level``, mm."""

    start: float
    end: float
    level: float


@frozen_record
class Plane:
    """An upright plane along ``x`` or ``y``: its runs, one after the other; the first and the last are endless."""

    along: str
    runs: tuple[Run, ...]

    @classmethod
    def at(cls, along: str, level: float) -> Plane:
        """Return the straight plane at one level."""
        return cls(along, (Run(-inf, inf, level + 0.0),))

    @property
    def direction(self) -> tuple[float, float]:
        """Return the unit vector along the plane."""
        return (1.0, 0.0) if self.along == X else (0.0, 1.0)

    def point(self, s: float, level: float) -> Point:
        """Return the point of the part's plane at ``s`` along and ``level`` across."""
        return Point(s, level) if self.along == X else Point(level, s)

    def coordinates(self, p: Point) -> tuple[float, float]:
        """Return how far along and how far across a point of the part's plane lies."""
        return (p.x, p.y) if self.along == X else (p.y, p.x)


def stretches(region: Region, plane: Plane) -> list[tuple[float, float]]:
    """Return where a plane runs through a region, along the plane, mm."""
    out: list[tuple[float, float]] = []
    for run in plane.runs:
        for c in chords(region, plane.point(0.0, run.level), plane.direction):
            a, b = max(c.start, run.start), min(c.end, run.end)
            if b - a > LEAST_MM:
                out.append((a, b))
    return out


def cut_region(slabs: Sequence[Slab], plane: Plane) -> Region:
    """Return the area that a plane cuts: x along the plane, y the height above the bottom face, mm.

    Raises: GeometryError, OffsetError: the pieces cannot be united.
    """
    pieces = [piece for slab in slabs for piece in _pieces(slab, plane)]
    return union(*(Region((p,)) for p in pieces))


def _pieces(slab: Slab, plane: Plane) -> Iterator[Contour]:
    """Yield the cut pieces of one slab, four corners each."""
    low, high = slab.z_from_mm, slab.z_to_mm
    lower, upper = stretches(slab.lower, plane), stretches(slab.upper, plane)
    if len(lower) != len(upper):  # a slope that ends in between: what both heights have
        lower = upper = lower if len(lower) < len(upper) else upper
    for (a, b), (c, d) in zip(lower, upper, strict=True):
        yield Contour((Vertex(a, low), Vertex(b, low), Vertex(d, high), Vertex(c, high)))
