"""The one value type of the plane: a closed contour of lines and circular arcs.

Conventions, stated here once: millimetres, y up, radians. A contour is a tuple of vertices; vertex ``i`` carries the
*bulge* of the segment from vertex ``i`` to vertex ``i + 1`` (the last vertex joins the first). The bulge is
``tan(sweep / 4)``: 0 for a straight line, positive when the arc turns counter-clockwise, ±1 for a half circle.
No segment sweeps more than 180 degrees (|bulge| ≤ 1), so a full circle is two half arcs. Material lies to the left
of travel: outer contours run counter-clockwise, holes clockwise, and a positive signed area means an outer contour.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from functools import cached_property
from math import atan, hypot
from typing import TYPE_CHECKING, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record

if TYPE_CHECKING:
    from generator.outline.measure import Bounds
    from generator.outline.spans import Spans
    from generator.outline.validity import Problem

Rows = TypeVar("Rows", bound=np.generic)


def next_rows(a: NDArray[Rows]) -> NDArray[Rows]:
    """Return the array with every row replaced by the next one round, many times quicker than ``np.roll``."""
    return np.concatenate((a[1:], a[:1]))


def last_rows(a: NDArray[Rows]) -> NDArray[Rows]:
    """Return the array with every row replaced by the one before it round."""
    return np.concatenate((a[-1:], a[:-1]))


class Point(NamedTuple):
    """A point of the plane, mm."""

    x: float
    y: float


class Vertex(NamedTuple):
    """Start of a segment (mm) and the segment's bulge."""

    x: float
    y: float
    bulge: float = 0.0


class Arc(NamedTuple):
    """A circular arc: centre and radius in mm; start angle and signed sweep in radians (positive counter-clockwise)."""

    cx: float
    cy: float
    radius: float
    start: float
    sweep: float


@frozen_record
class Segment:
    """One line or arc, from ``start`` to ``end`` with ``bulge`` (see the module's head)."""

    start: Point
    end: Point
    bulge: float

    @property
    def is_arc(self) -> bool:
        """Return True unless the segment is a straight line."""
        return self.bulge != 0.0

    @property
    def chord_mm(self) -> float:
        """Return the straight distance from start to end, mm."""
        return hypot(self.end.x - self.start.x, self.end.y - self.start.y)

    @property
    def sweep(self) -> float:
        """Return the signed sweep in radians; 0 for a line."""
        return 4.0 * atan(self.bulge)

    @property
    def radius_mm(self) -> float:
        """Return the radius in mm; infinite for a line. ``r = c (1 + b²) / (4 |b|)`` with chord c and bulge b."""
        b = abs(self.bulge)
        return self.chord_mm * (1.0 + b * b) / (4.0 * b) if b else float("inf")

    @property
    def centre(self) -> Point:
        """Return the arc's centre; raises ZeroDivisionError for a line."""
        b = self.bulge
        k = (1.0 - b * b) / (4.0 * b)
        dx, dy = self.end.x - self.start.x, self.end.y - self.start.y
        return Point((self.start.x + self.end.x) / 2.0 - k * dy, (self.start.y + self.end.y) / 2.0 + k * dx)


@frozen_record
class Contour:
    """A closed chain of segments, compared by value.

    Construction does not judge; ask ``predicates.explain_contour`` whether it is closed, simple and not degenerate.
    """

    vertices: tuple[Vertex, ...]

    @classmethod
    def of(cls, vertices: Iterable[tuple[float, ...]]) -> Contour:
        """Return the contour through ``(x, y)`` or ``(x, y, bulge)`` tuples, mm."""
        return cls(tuple(Vertex(float(v[0]), float(v[1]), float(v[2]) if len(v) > 2 else 0.0) for v in vertices))

    def __len__(self) -> int:
        return len(self.vertices)

    def __hash__(self) -> int:
        return self._hash  # asked for again and again where answers are remembered

    @cached_property
    def _hash(self) -> int:
        return hash(self.vertices)

    @cached_property
    def fingerprint(self) -> str:
        """Return a text that two contours share only if they are equal to the last bit."""
        return hashlib.sha256(self.array.tobytes()).hexdigest()

    @cached_property
    def array(self) -> NDArray[np.float64]:
        """Return the vertices as a read-only array of shape (n, 3): x, y, bulge."""
        a = np.array(self.vertices, dtype=np.float64).reshape(-1, 3)
        a.flags.writeable = False
        return a

    @cached_property
    def signed_area_mm2(self) -> float:
        """Return the area: positive for counter-clockwise travel, negative for clockwise; reckoned once."""
        from generator.outline.measure import area_within

        return area_within(self.array)

    @cached_property
    def box(self) -> Bounds:
        """Return the smallest upright box, mm, of a contour that has vertices; reckoned once."""
        from generator.outline.measure import box_of

        return box_of(self.array)

    @cached_property
    def spans(self) -> Spans:
        """Return the segments as arrays, see ``spans.spans_of``; put together once."""
        from generator.outline.spans import put_together

        return put_together((self,))

    @cached_property
    def problem(self) -> Problem | None:
        """Return what ``validity.explain_contour`` says of it to the model's tolerance; judged once."""
        from generator.outline.validity import first_problem

        return first_problem(self)

    def segments(self) -> Iterator[Segment]:
        """Yield the segments in order of travel."""
        vs = self.vertices
        for i, v in enumerate(vs):
            w = vs[(i + 1) % len(vs)]
            yield Segment(Point(v.x, v.y), Point(w.x, w.y), v.bulge)

    def reversed(self) -> Contour:
        """Return the same contour travelled the other way."""
        vs = self.vertices
        n = len(vs)
        # the segment that led from i-1 to i now leads from i to i-1
        return Contour(tuple(Vertex(vs[i].x, vs[i].y, -vs[i - 1].bulge) for i in range(n - 1, -1, -1)))
