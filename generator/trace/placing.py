"""Where a footprint lies in its own frame: one rule for origin and orientation, the same for every part.

1. x runs along an axis of symmetry that was found: the one along which the outline is longest.
2. Without one, along the straight edges if they make up a third of the outline: in the direction that holds most of
   them, the longer side of the outline along x.
3. Else along the line through the two holes that are farthest apart, else as scanned.

The origin is where axes of symmetry cross; with one axis it is on it, beside the middle of the holes' box; without,
it is the middle of the holes' box (of the outline's box where there are no holes). Of both ways round, the footprint
lies as in the first picture, turned by no more than a quarter.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, cos, hypot, pi, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.measure import bounds
from generator.outline.transform import turned
from generator.trace.primitives import CIRCLE, LINE, Primitive
from generator.trace.reading_equations import Joint
from generator.trace.relating import Solved
from generator.trace.relations import MIRROR

Floats = NDArray[np.float64]

STRAIGHT_SHARE: Final = 1.0 / 3.0


@frozen_record
class Placement:
    """Where the footprint's frame lies in the first picture's, by the true scale.

    Attributes:
        angle: of its x axis, rad.
        x, y: its origin, mm.
        rule: sentence on how both were chosen.
    """

    angle: float
    x: float
    y: float
    rule: str = ""

    def point(self, x: float, y: float) -> tuple[float, float]:
        """Return a point of the picture's frame in the footprint's, mm."""
        c, s = cos(self.angle), sin(self.angle)
        dx, dy = x - self.x, y - self.y
        return c * dx + s * dy, c * dy - s * dx

    def back(self, x: float, y: float) -> tuple[float, float]:
        """Return a point of the footprint's frame in the picture's, mm."""
        c, s = cos(self.angle), sin(self.angle)
        return self.x + c * x - s * y, self.y + s * x + c * y

    def primitive(self, p: Primitive) -> Primitive:
        """Return a primitive in the footprint's frame."""
        if p.kind == LINE:
            angle = p.values[0] - self.angle
            off = p.values[1] - cos(p.values[0]) * self.x - sin(p.values[0]) * self.y
            return Primitive(p.kind, p.side, (atan2(sin(angle), cos(angle)), off), p.loop)
        return Primitive(p.kind, p.side, (*self.point(*p.values[:2]), p.values[2]), p.loop)

    def joint(self, j: Joint) -> Joint:
        """Return a joint in the footprint's frame."""
        return Joint(j.before, j.after, self.point(*j.near), j.touching)


def placement(solved: Solved, outline: Contour) -> Placement:
    """Return where the footprint's frame lies; see the module's head.

    Args:
        solved: what was traced.
        outline: its outer contour in the picture's frame.
    """
    primitives = solved.primitives
    holes = np.array([p.values[:2] for p in primitives if p.kind == CIRCLE and p.loop > 0]).reshape(-1, 2)
    axes = _axes(solved)
    if axes:
        angles = [normal + pi / 2.0 for normal, _ in axes]
        best = max(range(len(axes)), key=lambda i: (round(_length(outline, angles[i]), 3), -i))
        angle = _as_scanned(angles[best])
        origin, rule = _on_axes(axes, best, angle, holes, outline)
        return Placement(angle, *origin, rule)
    straight = _straight(outline)
    if straight is not None:
        angle, rule = straight, "x along the straight edges, the outline's longer side"
    elif len(holes) > 1:
        i, k = _farthest(holes)
        angle = atan2(holes[k][1] - holes[i][1], holes[k][0] - holes[i][0])
        rule = "x along the line through the two holes that are farthest apart"
    else:
        angle, rule = 0.0, "x as in the first picture"
    angle = _as_scanned(angle)
    where = "the middle of the holes' box" if len(holes) else "the middle of the outline's box"
    return Placement(angle, *_middle(angle, holes, outline), f"{rule}; the origin is {where}")


def _axes(solved: Solved) -> list[tuple[float, float]]:
    """Return the axes of symmetry that hold: angle of the normal and distance."""
    held = sorted({r.axis for r in solved.relations if r.kind == MIRROR})
    start = solved.layout.model.axis_start
    x = solved.found.x
    return [(float(x[start + 2 * n]), float(x[start + 2 * n + 1])) for n in held]


def _length(outline: Contour, angle: float) -> float:
    return bounds(turned(outline, -angle)).width_mm


def _as_scanned(angle: float) -> float:
    """Return the direction or its opposite, whichever turns the picture less."""
    turn = atan2(sin(angle), cos(angle))
    return turn - pi if turn > pi / 2.0 + 1e-6 else turn + pi if turn <= -pi / 2.0 + 1e-6 else turn


def _on_axes(
    axes: Sequence[tuple[float, float]], best: int, angle: float, holes: Floats, outline: Contour
) -> tuple[tuple[float, float], str]:
    """Return the origin on the best axis: where it crosses another one, else beside the holes."""
    normal, distance = axes[best]
    others = [a for i, a in enumerate(axes) if i != best and abs(sin(a[0] - normal)) > 0.1]
    if others:
        (b, e) = others[0]
        det = cos(normal) * sin(b) - sin(normal) * cos(b)
        x = (distance * sin(b) - e * sin(normal)) / det
        y = (e * cos(normal) - distance * cos(b)) / det
        return (x, y), "x along the longest axis of symmetry; the origin is where the axes cross"
    x, y = _middle(angle, holes, outline)
    off = cos(normal) * x + sin(normal) * y - distance
    box = "holes'" if len(holes) else "outline's"
    rule = f"x along the axis of symmetry; the origin is on it, beside the middle of the {box} box"
    return (x - off * cos(normal), y - off * sin(normal)), rule


def _straight(outline: Contour) -> float | None:
    """Return the direction of most straight edges, the outline's longer side along it; None if most of it is round."""
    lines = [(s.chord_mm, atan2(s.end.y - s.start.y, s.end.x - s.start.x)) for s in outline.segments() if not s.is_arc]
    whole = sum(s.chord_mm if not s.is_arc else abs(s.sweep) * s.radius_mm for s in outline.segments())
    if sum(length for length, _ in lines) < STRAIGHT_SHARE * whole:
        return None
    # four times the angle: directions that differ by quarter turns support each other
    longest = max(lines, key=lambda e: e[0])[1]
    near = [(w, a) for w, a in lines if abs(sin(2.0 * (a - longest))) < 0.02]
    turn = atan2(sum(w * sin(4.0 * a) for w, a in near), sum(w * cos(4.0 * a) for w, a in near)) / 4.0
    box = bounds(turned(outline, -turn))
    return turn if box.width_mm >= box.height_mm else turn + pi / 2.0


def _farthest(points: Floats) -> tuple[int, int]:
    pairs = [
        (round(hypot(*(points[i] - points[k])), 3), -i, -k)
        for i in range(len(points))
        for k in range(i + 1, len(points))
    ]
    _, i, k = max(pairs)
    return -i, -k


def _middle(angle: float, holes: Floats, outline: Contour) -> tuple[float, float]:
    """Return the middle of the holes' box, or of the outline's, in the picture's frame; boxes lie along the angle."""
    c, s = cos(angle), sin(angle)
    if len(holes):
        turned_holes = holes @ np.array([[c, -s], [s, c]])
        u, v = (turned_holes.min(axis=0) + turned_holes.max(axis=0)) / 2.0
    else:
        u, v = bounds(turned(outline, -angle)).centre
    return float(c * u - s * v), float(s * u + c * v)
