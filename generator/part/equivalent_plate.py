"""The disc or rectangle that a clamped plate of any outline counts as, never stiffer than the plate itself.

A clamped plate gives less than any plate that encloses it (the work of a point load is the greatest over all
deflections that are 0 beyond the edge: those of the smaller plate are among those of the larger). So it gives no more
than the rectangle or the disc round it. A third figure is for outlines that fill neither: by the largest disc that goes
in, of diameter d, and the area A, as the rectangle of d x A / d, or between disc and square where A < d². It is right
for discs and rectangles, grows with d and with A, hence with the plate, and is raised so that no solved plate of the
tests gives more. The least of the three counts.
"""

from __future__ import annotations

from functools import lru_cache
from math import atan2, ceil, cos, pi, sin, sqrt

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.formulas import plates
from generator.outline.contour import Contour, Point
from generator.outline.distance import boundary_points, points_depth
from generator.outline.measure import Bounds, box_of, centroid, signed_area
from generator.outline.region import Region

__all__ = ["Equivalent", "deepest", "equivalent"]

Floats = NDArray[np.float64]

RAISED = 1.1
"""The third figure is raised by this, the most by which it fell short of solved plates (L, T; our own reckoning)."""
REMEMBERED = 4096
"""Answers kept: three checks ask for every letter of a long text."""
NODES = 32
"""Along an outline's box, in the search for the largest disc that goes in."""
ROUNDS = 6
"""Of refining it, each to a third."""
HOPEFUL = 24
"""Squares that are followed up in a round, at most; more lie only along ridges that are equally deep."""
AS_DEEP = 0.999
"""A middle that is this nearly the deepest place counts as it."""
TURNS = 18
"""Directions over a right angle in which boxes are tried, besides those of the longest straight sides."""
LONGEST = 12
ON_EDGE = 200


@frozen_record
class Equivalent:
    """A clamped plate that stands for another.

    Attributes:
        short_mm, long_mm: sides of the rectangle; both the diameter where it is a disc.
        is_disc: whether it is.
        at: where the plate gives most: the middle of the largest disc that goes in.
    """

    short_mm: float
    long_mm: float
    is_disc: bool
    at: Point

    @property
    def gives(self) -> float:
        """Return the deflection under a load in the middle, times stiffness over load, mm²."""
        if self.is_disc:
            return plates.disc_under_load(1.0, 0.5 * self.short_mm, 1.0, 1.0) * plates.stiffness(1.0, 1.0)
        return plates.rectangle_under_load(1.0, self.short_mm, self.long_mm, 1.0, 1.0) * plates.stiffness(1.0, 1.0)


@lru_cache(maxsize=REMEMBERED)
def equivalent(contour: Contour) -> Equivalent:
    """Return what the plate within a contour counts as; holes in it are not known here."""
    deep, at = deepest(contour)
    size = abs(signed_area(contour))
    return min(_rectangle_round(contour, at), _disc_round(contour, at), _by_area(deep, size, at), key=lambda e: e.gives)


def _by_area(deep: float, size: float, at: Point) -> Equivalent:
    """Return the third figure's plate: the depth of the deepest place (mm) and the area (mm²) are known."""
    across, more = 2.0 * deep, sqrt(RAISED)
    long = size / across
    if long >= across:
        return Equivalent(across * more, long * more, False, at)
    disc = Equivalent(across, across, True, at)
    square = Equivalent(across, across, False, at)
    share = max(long / across - pi / 4.0, 0.0) / (1.0 - pi / 4.0)
    diameter = across * more * sqrt(1.0 + share * (square.gives / disc.gives - 1.0))
    return Equivalent(diameter, diameter, True, at)


def _rectangle_round(contour: Contour, at: Point) -> Equivalent:
    """Return the enclosing rectangle that gives least."""
    boxes = [_turned_box(contour, angle) for angle in _directions(contour)]
    sides = [sorted((box.width_mm, box.height_mm)) for box in boxes]
    return min((Equivalent(short, long, False, at) for short, long in sides), key=lambda e: e.gives)


def _directions(contour: Contour) -> list[float]:
    """Return angles of boxes worth trying, radians: of the longest straight sides, and evenly all round."""
    straight = sorted((s for s in contour.segments() if not s.bulge), key=lambda s: -s.chord_mm)[:LONGEST]
    sides = (atan2(s.end.y - s.start.y, s.end.x - s.start.x) % (pi / 2.0) for s in straight)
    return sorted({round(a, 9) for a in sides} | {k * pi / 2.0 / TURNS for k in range(TURNS)})


def _turned_box(contour: Contour, angle: float) -> Bounds:
    rows, c, s = contour.array, cos(angle), sin(angle)
    return box_of(np.column_stack([c * rows[:, 0] + s * rows[:, 1], c * rows[:, 1] - s * rows[:, 0], rows[:, 2]]))


def _disc_round(contour: Contour, at: Point) -> Equivalent:
    """Return the disc about the centroid that just encloses the contour."""
    middle = centroid(contour)
    edge = np.vstack([boundary_points(contour, contour.box.diagonal_mm / ON_EDGE), contour.array[:, :2]])
    diameter = 2.0 * float(np.hypot(edge[:, 0] - middle.x, edge[:, 1] - middle.y).max())
    return Equivalent(diameter, diameter, True, at)


def deepest(contour: Contour) -> tuple[float, Point]:
    """Return radius and middle of the largest disc that goes in, mm; the centroid where that is as good.

    Squares whose middles cannot be beaten from within them are dropped, the others cut in nine, again and again.
    """
    region = Region((contour if signed_area(contour) > 0.0 else contour.reversed(),))
    box, middle = contour.box, centroid(contour)
    step = max(box.width_mm, box.height_mm) / NODES
    across, up = (ceil(0.5 * side / step) for side in (box.width_mm, box.height_mm))
    x, y = (step * np.arange(-n, n + 1, dtype=np.float64) for n in (across, up))
    points = _grid(x, y) + box.centre
    deep = points_depth(region, points)
    for _ in range(ROUNDS):
        hopeful = np.flatnonzero(deep + step * sqrt(0.5) >= deep.max())
        best = hopeful[np.argsort(-deep[hopeful], kind="stable")[:HOPEFUL]]
        step /= 3.0
        thirds = np.array([-step, 0.0, step])
        points = (points[best][:, None, :] + _grid(thirds, thirds)[None, :, :]).reshape(-1, 2)
        deep = points_depth(region, points)
    there, k = float(points_depth(region, [middle])[0]), int(deep.argmax())
    at = Point(float(points[k, 0]), float(points[k, 1]))
    return max(float(deep[k]), there), middle if there >= AS_DEEP * deep[k] else at


def _grid(x: Floats, y: Floats) -> Floats:
    return np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
