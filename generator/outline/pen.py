"""The one narrow interface to every writer: an outline says itself to a pen, and the pen makes of it what it likes.

Unlike the pens of font tools this one knows arcs, so that none is lost on the way to a file.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Protocol

from generator.outline.contour import Contour, Point
from generator.outline.region import Region


class Pen(Protocol):
    """What a writer must offer. Every contour is one ``move_to``, some ``line_to``/``arc_to``, one ``close``."""

    def move_to(self, point: Point) -> None:
        """Start a contour at ``point`` (mm)."""

    def line_to(self, point: Point) -> None:
        """Draw a straight line to ``point`` (mm)."""

    def arc_to(self, point: Point, bulge: float) -> None:
        """Draw an arc to ``point`` (mm); ``bulge`` = tan(sweep / 4), positive counter-clockwise."""

    def close(self) -> None:
        """End the contour; the last segment has already come back to its start."""


def draw_contour(contour: Contour, pen: Pen) -> None:
    """Say ``contour`` to ``pen``."""
    for i, seg in enumerate(contour.segments()):
        if i == 0:
            pen.move_to(seg.start)
        if seg.is_arc:
            pen.arc_to(seg.end, seg.bulge)
        else:
            pen.line_to(seg.end)
    pen.close()


def draw_region(region: Region, pen: Pen) -> None:
    """Say every contour of ``region`` to ``pen``, in the region's canonical order."""
    for contour in region:
        draw_contour(contour, pen)


@dataclass
class RecordingPen:
    """Keeps what it hears as plain tuples in ``value``."""

    value: list[tuple[str, tuple[float, ...]]] = field(default_factory=list)

    def move_to(self, point: Point) -> None:
        """Record the start of a contour."""
        self.value.append(("move_to", tuple(point)))

    def line_to(self, point: Point) -> None:
        """Record a line."""
        self.value.append(("line_to", tuple(point)))

    def arc_to(self, point: Point, bulge: float) -> None:
        """Record an arc."""
        self.value.append(("arc_to", (*point, bulge)))

    def close(self) -> None:
        """Record the end of a contour."""
        self.value.append(("close", ()))
