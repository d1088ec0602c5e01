"""A pen that writes SVG path data with true arcs."""

from __future__ import annotations

from math import atan, hypot, pi, tan

from generator.base.units import decimal
from generator.outline.contour import Point
from generator.outline.pen import draw_region
from generator.outline.region import Region

__all__ = ["SvgPen", "path_data"]

_SPLIT = 2.0 * pi / 3.0
"""Arcs that sweep more are written as two: near the half circle a rounded radius would move the centre too far."""


class SvgPen:
    """Writes what it hears as SVG path data into ``value``.

    The y axis is taken as it comes: draw inside a group that turns y upwards. There an angle that grows
    counter-clockwise is SVG's positive one, so the sweep flag is set for a positive bulge.
    """

    def __init__(self, digits: int = 6) -> None:
        self._digits = digits
        self._at = Point(0.0, 0.0)
        self._parts: list[str] = []

    @property
    def value(self) -> str:
        """Return the path data so far."""
        return "".join(self._parts)

    def _say(self, letter: str, *numbers: float) -> None:
        self._parts.append(letter + " ".join(decimal(n, self._digits) for n in numbers))

    def move_to(self, point: Point) -> None:
        """Start a contour at ``point`` (mm)."""
        self._say("M", *point)
        self._at = point

    def line_to(self, point: Point) -> None:
        """Draw a straight line to ``point`` (mm)."""
        self._say("L", *point)
        self._at = point

    def arc_to(self, point: Point, bulge: float) -> None:
        """Draw an arc to ``point`` (mm); ``bulge`` = tan(sweep / 4), positive counter-clockwise."""
        if abs(4.0 * atan(bulge)) > _SPLIT:
            half = tan(atan(bulge) / 2.0)
            # the middle of an arc lies bulge × half chord to the right of its chord
            (ax, ay), (bx, by) = self._at, point
            middle = Point((ax + bx + bulge * (by - ay)) / 2.0, (ay + by - bulge * (bx - ax)) / 2.0)
            self._arc(middle, half)
            self._arc(point, half)
        else:
            self._arc(point, bulge)

    def _arc(self, point: Point, bulge: float) -> None:
        chord = hypot(point.x - self._at.x, point.y - self._at.y)
        radius = chord * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
        self._say("A", radius, radius, 0.0, 0.0, 1.0 if bulge > 0.0 else 0.0, *point)
        self._at = point

    def close(self) -> None:
        """End the contour."""
        self._parts.append("Z")


def path_data(region: Region, *, digits: int = 6) -> str:
    """Return SVG path data of every contour of ``region``, mm, y up, arcs as arcs."""
    pen = SvgPen(digits)
    draw_region(region, pen)
    return pen.value
