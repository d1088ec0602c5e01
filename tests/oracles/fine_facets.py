"""An oracle for offsets and booleans: very fine facets and an integer polygon clipper, no carriers, no refit.

Shares no code with the kernel but the clipper itself, and uses another part of that: its own polygon offset.
Facets are inscribed with chord error ``e``; areas are then right to a few ``e`` times the perimeter.
"""

from __future__ import annotations

from math import acos, atan, ceil, cos, pi, sin

import numpy as np
import pyclipr

from generator.outline.contour import Contour
from generator.outline.region import Region

SCALE = 1e7


def polygon(contour: Contour, e: float) -> np.ndarray:
    """Return the contour as a polygon inscribed with chord error e (mm)."""
    points: list[tuple[float, float]] = []
    for s in contour.segments():
        points.append((s.start.x, s.start.y))
        if not s.bulge or s.chord_mm == 0.0:
            continue
        b = s.bulge
        k = (1.0 - b * b) / (4.0 * b)
        cx = (s.start.x + s.end.x) / 2.0 - k * (s.end.y - s.start.y)
        cy = (s.start.y + s.end.y) / 2.0 + k * (s.end.x - s.start.x)
        r = s.chord_mm * (1.0 + b * b) / (4.0 * abs(b))
        sweep = 4.0 * atan(b)
        n = max(1, ceil(abs(sweep) / (2.0 * acos(1.0 - min(e / r, 0.5)))))
        for i in range(1, n):
            a, (dx, dy) = sweep * i / n, (s.start.x - cx, s.start.y - cy)
            points.append((cx + dx * cos(a) - dy * sin(a), cy + dx * sin(a) + dy * cos(a)))
    return np.array(points)


def signed_area(p: np.ndarray) -> float:
    x, y = p[:, 0] - p[0, 0], p[:, 1] - p[0, 1]
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0


def perimeter(p: np.ndarray) -> float:
    step = np.roll(p, -1, axis=0) - p
    return float(np.hypot(step[:, 0], step[:, 1]).sum())


class Answer:
    """Polygons without slivers, their area, how far it may be off, their number; and the area of the slivers."""

    def __init__(self, polygons: list[np.ndarray], e: float) -> None:
        kept = [p for p in polygons if len(p) > 2 and abs(signed_area(p)) > 4.0 * e * perimeter(p)]
        self.area = sum(signed_area(p) for p in kept)
        self.slivers = sum(abs(signed_area(p)) for p in polygons if len(p) > 2) - sum(abs(signed_area(p)) for p in kept)
        self.bound = 4.0 * e * sum(perimeter(p) for p in polygons) + 1e-9
        self.loops = len(kept)


def offset(region: Region, distance_mm: float, e: float) -> Answer:
    engine = pyclipr.ClipperOffset()
    engine.scaleFactor = SCALE
    engine.arcTolerance = e * SCALE
    engine.addPaths([polygon(c, e) for c in region], pyclipr.JoinType.Round, pyclipr.EndType.Polygon)
    return Answer([np.asarray(p) for p in engine.execute(distance_mm)], e)


_TYPES = {
    "union": pyclipr.Union,
    "difference": pyclipr.Difference,
    "intersection": pyclipr.Intersection,
    "exclusive": pyclipr.Xor,
}


def combine(a: Region, b: Region, how: str, e: float) -> Answer:
    engine = pyclipr.Clipper()
    engine.scaleFactor = SCALE
    engine.addPaths([polygon(c, e) for c in a], pyclipr.Subject)
    engine.addPaths([polygon(c, e) for c in b], pyclipr.Clip)
    return Answer([np.asarray(p) for p in engine.execute(_TYPES[how], pyclipr.FillRule.NonZero)], e)


def full_turn(radius: float) -> float:
    return 2.0 * pi * radius
