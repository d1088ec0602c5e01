"""What an outer shape must leave a wall round, how thick the wall is that it leaves, and the smallest shape that does.

A shape is drawn in a frame of its own: its centre is the origin, its direction an axis. ``Keep`` holds pocket and seats
in that frame. A shape that may grow is a function of one size, each outline lying inside the next larger one; then
:func:`smallest` finds the least size that keeps the wall, and the wall is measured, not trusted.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations
from math import hypot, inf
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.units import MODEL
from generator.outline.contour import Contour, Point
from generator.outline.create import circle
from generator.outline.distance import boundary_distance, boundary_points, points_distance
from generator.outline.measure import Bounds, bounds, signed_area
from generator.outline.region import Region
from generator.outline.transform import moved, turned
from generator.outline.winding import winding_numbers
from generator.shapes.outer.around import farthest_point
from generator.shapes.shape import Context

LARGEST_MM = 20_000.0
"""No outer shape is looked for beyond this size."""
BLOATED = 0.2
"""Share of half the longest extent by which the least wall may be thicker than the margin, where a smaller shape cannot
be drawn (chosen by eye)."""
_SAMPLES = 128
"""About so many points on pocket and seats are asked first; the last word has the exact distance."""
_TELLING = 24
"""So many of them, those with the least wall, are asked about every size."""
_EXCHANGES = 10
_ROUNDS = 60
_FINE = 1.1
_SPARE = 1.1

Make = Callable[[float], Contour]
"""Draws the shape of a size (mm), each inside the next larger one; raises GeometryError where there is none."""


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


@dataclass(frozen=True, eq=False)
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
def _walls(outer: Contour, points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the distance from each point to the shape's edge; negative where one sticks out, mm."""
    distance = points_distance(outer, points)
    return np.where(winding_numbers(outer, points) > 0, distance, -distance)


def rough_wall(outer: Contour, keep: Keep) -> float:
    """Return the least distance from the sampled points to the shape's edge; negative where one sticks out, mm."""
    return float(_walls(outer, keep.points).min())


def wall(outer: Contour, keep: Keep) -> float:
    """Return the wall that the shape leaves round pocket and seats, mm; negative, and rough, where one sticks out."""
    return _least_wall(outer, keep)[0]


def _least_wall(outer: Contour, keep: Keep) -> tuple[float, Point]:
    """Return the wall, mm, and the place on pocket or seat where it is.

    An edge that runs clear of theirs goes round each of them, or round none of it: one point of each says which.
    """
    gap = boundary_distance(outer, keep.inner)
    starts = np.array([c.vertices[0][:2] for c in keep.inner])
    if gap.distance_mm > 0.0 and (winding_numbers(outer, starts) > 0).all():
        return gap.distance_mm, gap.on_b
    walls = _walls(outer, keep.points)
    worst = int(walls.argmin())
    if walls[worst] >= 0.0:  # they cross between the points
        return 0.0, gap.on_b
    return float(walls[worst]), Point(*(float(v) for v in keep.points[worst]))


def keeps(outer: Contour, keep: Keep) -> bool:
    """Return True when the shape leaves the margin everywhere."""
    return wall(outer, keep) >= keep.margin - MODEL.same_mm


# ------------------------------------------------------------------ the smallest that keeps it
def smallest(make: Make, keep: Keep, low: float, *, step: float = 0.0) -> float:
    """Return the least size from ``low`` up at which the shape keeps the wall.

    Args:
        make: draws the shape of a size.
        keep: what it goes round.
        low: no smaller size is tried.
        step: how far the first larger one is looked for; 0: the margin.

    Raises: GeometryError: no size below 20 m does, or the first that can be drawn is much too large; says why.
    """
    gauge = _Gauge(make, keep)
    low_lack = gauge.lack(low)
    if low_lack >= 0.0:
        return _settled(gauge, low)
    # most shapes gain a wall of about what they grow by
    stride = -_SPARE * low_lack if low_lack > -inf else step or keep.margin
    span = _bracket(gauge.lack, low, low_lack, stride, 2.0)
    if span is None and not gauge.able:  # nothing could be drawn: sizes that can may lie between those tried
        first = max(low, keep.margin, keep.half_mm / 4.0) * (_FINE - 1.0)
        span = _bracket(gauge.lack, low, low_lack, first, _FINE, most=2.0 * keep.half_mm)
    if span is None:
        raise GeometryError(_never(keep) if gauge.able else gauge.why)
    size = _settled(gauge, _crossing(gauge.lack, span, _spare(keep)))
    if gauge.why:
        refuse_bloated(make(size), keep, gauge.why)
    return size


def _never(keep: Keep) -> str:
    return f"however large the rest of it, it does not keep the margin of {keep.margin:g} mm"


class _Gauge:
    """Measures a shape of many sizes at the few places on pocket and seats that have told most so far.

    Attributes:
        able: whether any size could be drawn.
        why: why the first one that could not be drawn could not.
    """

    def __init__(self, make: Make, keep: Keep) -> None:
        self.keep = keep
        self.able, self.why = False, ""
        self._make = make
        self._telling: NDArray[np.float64] | None = None

    def lack(self, size: float) -> float:
        """Return by how much the wall at the telling places is thicker than the margin; -inf: cannot be drawn."""
        drawn = self._drawn(size)
        if drawn is None:
            return -inf
        if self._telling is None:
            walls = _walls(drawn, self.keep.points)
            self._telling = self.keep.points[walls.argsort(kind="stable")[:_TELLING]]
        else:
            walls = _walls(drawn, self._telling)
        return float(walls.min()) - self.keep.margin + MODEL.same_mm / 2.0

    def whole_lack(self, size: float) -> float:
        """Return the same of the exact wall anywhere; the place of the least one will tell from now on."""
        drawn = self._drawn(size)
        if drawn is None:
            return -inf
        left, place = _least_wall(drawn, self.keep)
        if self._telling is not None:
            self._telling = np.vstack([self._telling, place])
        return left - self.keep.margin + 0.75 * MODEL.same_mm

    def _drawn(self, size: float) -> Contour | None:
        try:
            drawn = self._make(size)
        except (GeometryError, ArithmeticError) as error:
            self.why = self.why or (str(error) if isinstance(error, GeometryError) else "its numbers are too far apart")
            return None
        self.able = True
        return drawn


def refuse_bloated(outer: Contour, keep: Keep, why: str) -> None:
    """Refuse a shape that had to grow far beyond its margin until it could be drawn at all.

    Raises: GeometryError: its wall is much thicker than the margin; says ``why`` and the wall.
    """
    left = rough_wall(outer, keep)
    if left > keep.margin + _spare(keep):
        raise GeometryError(
            f"{why}: there is room only with a wall of {left:.3g} mm, and the margin is {keep.margin:g} mm"
        )


def _spare(keep: Keep) -> float:
    """Return by how much the wall may be thicker than the margin where no smaller shape can be drawn, mm."""
    return BLOATED * keep.half_mm


class _Span(NamedTuple):
    """A size at which the wall lacks, one at which it does not, and what lacks (negative) or is spare there."""

    low: float
    high: float
    low_lack: float
    high_lack: float


def _bracket(
    lack: Callable[[float], float], low: float, low_lack: float, stride: float, growth: float, most: float = LARGEST_MM
) -> _Span | None:
    """Return sizes on both sides of the least one, or None; the strides grow to ``most``."""
    while stride <= most:
        high = low + stride
        high_lack = lack(high)
        if high_lack >= 0.0:
            return _Span(low, high, low_lack, high_lack)
        if high_lack == -inf < low_lack:
            return _before(lack, low, low_lack, stride)
        low, low_lack = high, high_lack
        stride *= growth
    return None


def _before(lack: Callable[[float], float], low: float, low_lack: float, stride: float) -> _Span | None:
    """Return sizes on both sides of the least one where ``low + stride`` is too large to be drawn, or None."""
    while stride > MODEL.same_mm:
        stride /= 2.0
        high_lack = lack(low + stride)
        if high_lack >= 0.0:
            return _Span(low, low + stride, low_lack, high_lack)
        if high_lack > -inf:
            low, low_lack = low + stride, high_lack
    return None


def _crossing(lack: Callable[[float], float], span: _Span, spare: float) -> float:
    """Return the size at which nothing lacks any more; roughly, if even there far more than ``spare`` is to spare.

    Source: false position with the kept end halved (the Illinois rule; Dowell and Jarratt 1971, from memory).
    """
    low, high, low_lack, high_lack = span
    side = 0
    for _ in range(_ROUNDS):
        if high - low <= MODEL.same_mm / 10.0 or high_lack <= MODEL.same_mm / 4.0:
            break
        if low_lack == -inf and (high - low <= MODEL.model_mm <= high_lack or high - low < high_lack / 4.0 - spare):
            break  # nothing smaller can be drawn
        share = 0.5 if low_lack == -inf else low_lack / (low_lack - high_lack)
        size = low + min(max(share, 0.02), 0.98) * (high - low)
        found = lack(size)
        if found >= 0.0:
            high, high_lack = size, found
            low_lack = low_lack / 2.0 if side == 1 else low_lack
            side = 1
        else:
            low, low_lack = size, found
            high_lack = high_lack / 2.0 if side == -1 else high_lack
            side = -1
    return high


def _settled(gauge: _Gauge, size: float) -> float:
    """Return the least size from ``size`` up at which the exact wall is there.

    The place where it lacks most joins those that tell, and the size follows (the exchange that minimax fits are found
    by; Remez 1934, from memory). Should that not end, the exact wall itself is followed, which must.

    Raises: GeometryError: no larger size keeps the wall.
    """
    for k in range(_EXCHANGES + 1):
        short = gauge.whole_lack(size)
        if short >= 0.0:
            return size
        lack = gauge.lack if k < _EXCHANGES else gauge.whole_lack
        span = _bracket(lack, size, short, -_SPARE * short, 2.0)
        if span is None:
            raise GeometryError(_never(gauge.keep))
        size = _crossing(lack, span, _spare(gauge.keep))
    return size
