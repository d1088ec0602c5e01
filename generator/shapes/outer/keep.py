"""What an outer shape must leave a wall round, and how thick the wall is that it leaves.

A shape is drawn in a frame of its own: its centre is the origin, its direction an axis. ``Keep`` holds pocket and seats
in that frame.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations
from math import hypot, inf
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.contour import Contour, Point
from generator.outline.create import circle
from generator.outline.distance import boundary_distance, boundary_points, points_depth
from generator.outline.measure import Bounds, bounds, signed_area
from generator.outline.region import Region
from generator.outline.transform import moved, turned
from generator.outline.winding import winding_numbers
from generator.shapes.outer.around import farthest_point
from generator.shapes.shape import Context

_SAMPLES = 128
"""About so many points on pocket and seats are asked first; the last word has the exact distance."""
_ROUNDS = 60


class Frame(NamedTuple):
    """Where a shape's own origin lies (mm) and how its x axis is turned (radians)."""

    origin: Point
    turn: float

    def inwards(self, region: Region) -> Region:
        """Return a region as seen in the frame."""
        return turned(moved(region, -self.origin.x, -self.origin.y), -self.turn)

    def outwards(self, contour: Contour) -> Contour:
        """Return a contour that was drawn in the frame as it lies in the world."""
        return moved(turned(contour, self.turn), self.origin.x, self.origin.y)


@frozen_record(eq=False)
class Keep:
    """Pocket and seats in a shape's own frame.

    Attributes:
        inner: the pocket's outer contours and a circle for every seat; these may overlap, so it is only measured to.
        margin: least wall that must stay round them, mm.
        frame: where the frame lies.
        points: points on ``inner``.
        box: the smallest box round ``inner``, in the frame.
    """

    inner: Region
    margin: float
    frame: Frame
    points: NDArray[np.float64]
    box: Bounds

    @property
    def half_mm(self) -> float:
        """Return half the longer side of the box with the margin: nothing round it all is smaller."""
        return max(self.box.width_mm, self.box.height_mm) / 2.0 + self.margin

    def region(self, contour: Contour) -> Region:
        """Return a contour of the frame as the region that the shape hands back."""
        return Region((self.frame.outwards(contour),))


def margin_field() -> Any:
    """Declare the key ``margin``, the same for every outer shape."""
    return f.length("Least wall round the bottom pocket, and round every bolt seat.", above=0, at_most=500, example=6)


def keep_round(
    context: Context,
    margin: float,
    *,
    turn: float = 0.0,
    centre: tuple[float, float] | None = None,
    middle: Callable[[Region, float], Point],
) -> Keep:
    """Return what a shape must go round, in the frame with its origin at ``centre``.

    Args:
        context: holds pocket and seats.
        margin: least wall, mm.
        turn: of the frame, radians.
        centre: of the frame; None: ``middle`` says it.
        middle: :func:`box_middle` or :func:`circle_middle`.

    Raises: GeometryError: there is no pocket here, because the outline is not a cover's outer shape.
    """
    if context.pocket is None:
        raise GeometryError("there is no original to go round here: this shape is for `cover.outer` only")
    pocket = [c for c in context.pocket if signed_area(c) > 0.0]
    inner = Region((*pocket, *(circle(at, radius) for at, radius in context.seats)))
    frame = Frame(Point(*centre) if centre is not None else middle(inner, turn), turn)
    seen = frame.inwards(inner)
    box = bounds(seen)
    step = (box.width_mm + box.height_mm) * 2.0 / _SAMPLES
    return Keep(seen, margin, frame, boundary_points(seen, step), box)


def box_middle(inner: Region, turn: float) -> Point:
    """Return the middle of the box round ``inner``, the box turned by ``turn``."""
    middle = bounds(turned(inner, -turn)).centre
    v = turned(Contour.of([middle]), turn).vertices[0]
    return Point(v.x, v.y)


def circle_middle(inner: Region, _turn: float) -> Point:
    """Return the centre of the smallest circle round ``inner``, to the model's sameness.

    Source: the farthest point joins those that hold the circle, which is drawn anew round them, until none is left
    outside; few rounds, since at most three points hold a circle (Welzl 1991 proves the bound for points).
    """
    centre, radius = bounds(inner).centre, 0.0
    held: list[Point] = []
    for _ in range(_ROUNDS):
        far = farthest_point(inner, centre)
        if hypot(far.x - centre.x, far.y - centre.y) <= radius + MODEL.same_mm / 10.0:
            break
        centre, radius, held = _circle_round([*held, far])
    return Point(round(centre.x, 6) + 0.0, round(centre.y, 6) + 0.0)


def _circle_round(points: list[Point]) -> tuple[Point, float, list[Point]]:
    """Return centre and radius of the smallest circle round at most four points, and the points that hold it."""
    if len(points) == 1:
        return points[0], 0.0, points
    best: tuple[Point, float, list[Point]] | None = None
    for group in (*combinations(points, 2), *combinations(points, 3)):
        centre = _circumcentre(group)
        if centre is None:
            continue
        radius = hypot(group[0].x - centre.x, group[0].y - centre.y)
        holds_all = all(hypot(p.x - centre.x, p.y - centre.y) <= radius * (1.0 + 1e-12) + 1e-12 for p in points)
        if holds_all and (best is None or radius < best[1]):
            best = centre, radius, list(group)
    return best or (points[0], inf, points[:3])


def _circumcentre(group: tuple[Point, ...]) -> Point | None:
    a, b, c = group[0], group[1], group[-1]
    if len(group) == 2:
        return Point((a.x + b.x) / 2.0, (a.y + b.y) / 2.0)
    ux, uy, vx, vy = b.x - a.x, b.y - a.y, c.x - a.x, c.y - a.y
    cross = 2.0 * (ux * vy - uy * vx)
    if abs(cross) <= 1e-12 * (hypot(ux, uy) * hypot(vx, vy)):
        return None
    u, v = ux * ux + uy * uy, vx * vx + vy * vy
    return Point(a.x + (vy * u - uy * v) / cross, a.y + (ux * v - vx * u) / cross)


# ------------------------------------------------------------------ the wall
def walls_at(outer: Contour, points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the distance from each point to the shape's edge; negative where one sticks out, mm."""
    return points_depth(outer, points)


def rough_wall(outer: Contour, keep: Keep) -> float:
    """Return the least distance from the sampled points to the shape's edge; negative where one sticks out, mm."""
    return float(walls_at(outer, keep.points).min())


def wall(outer: Contour, keep: Keep) -> float:
    """Return the wall that the shape leaves round pocket and seats, mm; negative, and rough, where one sticks out."""
    return least_wall(outer, keep)[0]


def least_wall(outer: Contour, keep: Keep) -> tuple[float, Point]:
    """Return the wall, mm, and the place on pocket or seat where it is.

    An edge that runs clear of theirs goes round each of them, or round none of it: one point of each says which.
    """
    gap = boundary_distance(outer, keep.inner)
    starts = np.array([c.vertices[0][:2] for c in keep.inner])
    if gap.distance_mm > MODEL.same_mm and (winding_numbers(outer, starts) > 0).all():
        return gap.distance_mm, gap.on_b
    walls = walls_at(outer, keep.points)
    worst = int(walls.argmin())
    if walls[worst] >= 0.0:  # they cross between the points
        return 0.0, gap.on_b
    return float(walls[worst]), Point(*(float(v) for v in keep.points[worst]))
