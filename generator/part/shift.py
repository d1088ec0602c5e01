"""How far one loop lies from another that is the same loop offset."""

from __future__ import annotations

from math import atan2, hypot

from generator.outline.contour import Point
from generator.part.inside import Inside
from generator.part.runs import TURN, Loop, Plane, Run, runs_area

__all__ = ["shift_between"]


def shift_between(lower: Loop, upper: Loop, plane: Plane) -> tuple[float, float]:
    """Return how far the upper loop lies from the lower one, mm, and +1 if to the left of travel, else -1."""
    longest = max(upper, key=plane.length)
    point = plane.at(longest, 0.5)
    distance = min(_distance(run, point, plane) for run in lower)
    inside = Inside([lower], plane)([point])[0]
    is_outer = runs_area(lower, plane) > 0.0
    return distance, 1.0 if inside == is_outer else -1.0


def _distance(run: Run, p: Point, plane: Plane) -> float:
    a, b = plane.corners[run.start], plane.corners[run.end]
    ends = min(hypot(p.x - a.x, p.y - a.y), hypot(p.x - b.x, p.y - b.y))
    if run.circle is None:
        u = plane.heading(run, 0.0)
        along = (p.x - a.x) * u.x + (p.y - a.y) * u.y
        return abs((p.x - a.x) * u.y - (p.y - a.y) * u.x) if 0.0 < along < plane.length(run) else ends
    (cx, cy), r = run.circle
    way = 1.0 if run.sweep > 0 else -1.0
    reached = way * (atan2(p.y - cy, p.x - cx) - run.angle) % TURN <= abs(run.sweep)
    return abs(hypot(p.x - cx, p.y - cy) - r) if reached else ends
