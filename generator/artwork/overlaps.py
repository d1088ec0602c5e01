"""Lines that lie partly on another: neither drawn twice nor joined, and no outline with them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import hypot
from typing import Protocol

from generator.base.errors import GeometryError
from generator.outline.contour import Point, Vertex

ON_MM = 1e-4
"""A line whose ends lie so near to another lies on it (chosen: finer than any drawing)."""
MOST = 2_000
"""So many lines are compared with each other (chosen: some seconds)."""


class Run(Protocol):
    """A run of lines and arcs."""

    def segments(self) -> Iterable[tuple[Vertex, Point]]:
        """Yield every segment as its start with bulge, and its end."""


def refuse_overlaps(chains: Sequence[Run], least_mm: float) -> None:
    """Return quietly unless a line lies on another for some way.

    Args:
        chains: what is drawn.
        least_mm: shorter ways are no matter.
    Raises: GeometryError: one does; names from where to where.
    """
    lines = [(Point(v.x, v.y), e) for c in chains for v, e in c.segments() if v.bulge == 0.0][:MOST]
    boxes = [(min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y)) for a, b in lines]
    order = sorted(range(len(lines)), key=lambda k: boxes[k][0])
    for n, i in enumerate(order):
        for j in order[n + 1 :]:
            if boxes[j][0] > boxes[i][2] + ON_MM:
                break
            if boxes[j][1] > boxes[i][3] + ON_MM or boxes[i][1] > boxes[j][3] + ON_MM:
                continue
            shared = _shared(lines[i], lines[j])
            if shared is not None and hypot(shared[1].x - shared[0].x, shared[1].y - shared[0].y) > least_mm + ON_MM:
                a, b = sorted(shared)
                raise GeometryError(
                    f"two lines lie on each other from ({a.x:.4f}, {a.y:.4f}) to ({b.x:.4f}, {b.y:.4f}): draw that "
                    "stretch once",
                    point_mm=Point((a.x + b.x) / 2.0, (a.y + b.y) / 2.0),
                )


def _shared(one: tuple[Point, Point], other: tuple[Point, Point]) -> tuple[Point, Point] | None:
    """Return the ends of the stretch that two lines share; None if they do not lie on each other."""
    if _length(*other) > _length(*one):
        one, other = other, one
    a, size = one[0], _length(*one)
    if size <= ON_MM:
        return None
    ux, uy = (one[1].x - a.x) / size, (one[1].y - a.y) / size
    if any(abs((p.x - a.x) * uy - (p.y - a.y) * ux) > ON_MM for p in other):
        return None
    along = sorted((p.x - a.x) * ux + (p.y - a.y) * uy for p in other)
    low, high = max(0.0, along[0]), min(size, along[1])
    return (Point(a.x + ux * low, a.y + uy * low), Point(a.x + ux * high, a.y + uy * high)) if low < high else None


def _length(a: Point, b: Point) -> float:
    return hypot(b.x - a.x, b.y - a.y)
