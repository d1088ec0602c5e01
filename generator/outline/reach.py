"""What a round cutter reaches of a region, what it leaves and how deep, and the largest cutter that leaves nothing.

A cutter of radius r that stays inside a region sweeps the region's opening by r. It leaves nothing exactly when r is
not larger than any arc that bends round it, nor than half of any neck, and when there is no corner for it to leave.
"""

from __future__ import annotations

from enum import Enum
from math import inf, pi
from typing import Final

import numpy as np

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL, Tolerance
from generator.outline.carrier import ALMOST_STRAIGHT
from generator.outline.combine import difference
from generator.outline.contour import Point
from generator.outline.distance import boundary_points, points_distance
from generator.outline.measure import area, bounds, length
from generator.outline.narrow import narrowest, necks, reversed_boundary
from generator.outline.nearness import boundary_points as vertices_and_middles
from generator.outline.offset import offset_region
from generator.outline.opening import closing, opening
from generator.outline.region import EMPTY, Region
from generator.outline.remembered import remembered
from generator.outline.separate import separated
from generator.outline.spans import Floats, Ints, Spans, spans_of

__all__ = [
    "LargestCutter",
    "Limit",
    "Loss",
    "largest_cutter",
    "loses_nothing",
    "losses",
    "losses_outside",
    "unreachable",
]

FINEST_MM: Final = 0.05
"""Radius of the finest cutter worth naming (our own choice); a corner that leaves room for less is sharp."""
_STEPS: Final = 24
_CLOSE_ENOUGH: Final = 1e-4
"""Share of the radius at which the search for it ends."""
_SAMPLES: Final = 24
"""Points along the length of what is left, at which it is measured how deep it is."""
_SMOOTH: Final = 1e-9
"""Turns (radians) at joints, and differences of radii (as a share), below this are none."""


class Limit(Enum):
    """What keeps a cutter from being larger."""

    SHARP = "a sharp inside corner"
    CORNER = "a blunt inside corner"
    ROUND = "an inside corner's radius"
    NECK = "the narrowest place"
    NOTHING = "nothing"


@frozen_record
class LargestCutter:
    """The largest cutter that loses nothing.

    Attributes:
        radius_mm: 0 where no round cutter does.
        at: the place that limits it.
        why: what does.
    """

    radius_mm: float
    at: Point
    why: Limit


@frozen_record
class Loss:
    """One place that a cutter does not reach.

    Attributes:
        region: what is left there.
        area_mm2: its area.
        depth_mm: how far it stands out from what is cut; inf where nothing is cut at all.
        at: its deepest point.
    """

    region: Region
    area_mm2: float
    depth_mm: float
    at: Point


# ------------------------------------------------------------------ what is left
def unreachable(region: Region, radius_mm: float, *, tol: Tolerance = MODEL) -> Region:
    """Return what a cutter of ``radius_mm`` that stays inside ``region`` leaves of it.

    Pieces that are on average narrower than ``tol.model_mm`` (2 x area / length) are rounding and left out. A slot as
    wide as the cutter, or a corner of its very radius, within ``tol.model_mm``, loses nothing. 0 leaves nothing.

    Raises:
        OffsetError: no result passed its checks.
    """
    if not region or radius_mm <= 0.0:
        return EMPTY
    return _left(region, opening(region, _going_in(region, radius_mm, tol), tol=tol), tol)


def _going_in(region: Region, radius_mm: float, tol: Tolerance) -> float:
    """Return the radius to reckon with: a trifle less where a slot or a corner has the cutter's very own.

    There the centres of the cutter have nowhere to go but one line, which an offset cannot hold.
    """
    bends, slack = _bends(spans_of(region)), tol.model_mm
    tight = bool((np.abs(bends.radius - radius_mm) <= slack).any())
    if not tight:
        near = necks(region, 2.0 * (radius_mm + slack), tol=tol)
        tight = any(n.width_mm >= 2.0 * (radius_mm - slack) for n in near)
    return max(radius_mm - slack, radius_mm / 2.0) if tight else radius_mm


@remembered
def loses_nothing(region: Region, radius_mm: float, *, tol: Tolerance = MODEL) -> bool:
    """Return True if a cutter inside the region reaches all of it, told from arcs, corners and necks alone.

    Exact, without an offset. An outline of many short pieces may be all but reached and still be answered by False;
    ``unreachable`` then says how little is left.
    """
    if not region or radius_mm <= 0.0:
        return True
    least, slack = radius_mm - tol.model_mm, tol.same_mm
    if (_bends(spans_of(region)).radius < least).any():
        return False
    return not necks(region, 2.0 * least - slack, tol=tol)


def _left(region: Region, reached: Region, tol: Tolerance) -> Region:
    if not reached:
        return region
    kept = [p for p in separated(difference(region, reached, tol=tol)) if 2.0 * area(p) >= tol.model_mm * length(p)]
    return Region.of(c for p in kept for c in p)


def losses(region: Region, radius_mm: float, *, tol: Tolerance = MODEL) -> tuple[Loss, ...]:
    """Return the places of ``region`` that a cutter inside it leaves, the largest first, each with figures.

    Raises:
        OffsetError: no result passed its checks.
    """
    if loses_nothing(region, radius_mm, tol=tol):
        return ()
    reached = opening(region, _going_in(region, radius_mm, tol), tol=tol)
    return _losses(_left(region, reached, tol), reached)


def losses_outside(region: Region, radius_mm: float, *, tol: Tolerance = MODEL) -> tuple[Loss, ...]:
    """Return what a cutter that goes round ``region`` outside it, and inside its holes, leaves standing at it.

    Raises:
        OffsetError: no result passed its checks.
    """
    around = reversed_boundary(region)
    if loses_nothing(around, radius_mm, tol=tol):
        return ()
    closed = closing(region, _going_in(around, radius_mm, tol), tol=tol)
    return _losses(_left(closed, region, tol), closed)


def _losses(left: Region, edge: Region) -> tuple[Loss, ...]:
    """Return the pieces of what is left with how deep they are: how far their points are from the edge of the cut."""
    out = []
    for piece in separated(left):
        along = boundary_points(piece, max(length(piece) / _SAMPLES, MODEL.same_mm))
        points = np.concatenate([vertices_and_middles(piece.contours), along])
        depths = points_distance(edge, points) if edge else np.full(len(points), inf)
        deepest = int(np.argmax(np.round(depths, 9))) if edge else 0
        at = Point(float(points[deepest, 0]), float(points[deepest, 1])) if edge else bounds(piece).centre
        out.append(Loss(piece, area(piece), float(depths[deepest]), at))
    return tuple(sorted(out, key=lambda loss: (-round(loss.area_mm2, 6), loss.at)))


# ------------------------------------------------------------------ the largest cutter
@frozen_record(eq=False)
class _Bends:
    """Where the boundary bends round the cutter: radius (0: a corner), turn in radians, and a point on it."""

    radius: Floats
    turn: Floats
    x: Floats
    y: Floats


def largest_cutter(
    region: Region, *, outside: bool = False, leaves_mm: float = MODEL.model_mm, tol: Tolerance = MODEL
) -> LargestCutter:
    """Return the largest cutter that leaves nothing deeper than ``leaves_mm``.

    With tangent-clean lines and arcs the answer is exact: the smallest arc that bends round the cutter, or half the
    narrowest neck. ``leaves_mm`` is for outlines of short straight pieces and for arcs of a few micrometres: a corner
    of turn t is left ``r (1 / cos(t / 2) - 1)`` deep. What many of them leave together is measured on the opening.

    Args:
        region: what is cut, or, with ``outside``, what is to stay.
        outside: the cutter goes round the region outside it; then the radius may be infinite.
        leaves_mm: how deep a place may be that counts as nothing.
        tol: named tolerances.

    Raises:
        GeometryError: the region is empty.
        OffsetError: no offset passed its checks.
    """
    if not region:
        raise GeometryError("an empty region has no largest cutter")
    side = reversed_boundary(region) if outside else region
    bends = _bends(spans_of(side))
    best = _least_bend(bends, leaves_mm) or LargestCutter(
        inf, Point(*region.contours[0].vertices[0][:2]), Limit.NOTHING
    )
    if best.why is Limit.SHARP:
        return best
    neck = narrowest(side, 2.0 * best.radius_mm, tol=tol)
    if neck is not None and neck.width_mm / 2.0 < best.radius_mm - tol.same_mm:
        best = LargestCutter(neck.width_mm / 2.0, neck.at, Limit.NECK)
    if not (bends.radius < best.radius_mm * (1.0 - _SMOOTH)).any():
        return best
    return _measured(_Search(region, outside, bends, tol), best, leaves_mm)


def _least_bend(bends: _Bends, leaves_mm: float) -> LargestCutter | None:
    """Return what the tightest bend by itself allows; None where nothing bends round the cutter."""
    if not len(bends.radius):
        return None
    limits = _limits(bends, leaves_mm)
    k = int(np.argmin(np.round(limits, 9)))
    at, limit, radius = Point(float(bends.x[k]), float(bends.y[k])), float(limits[k]), float(bends.radius[k])
    if limit < FINEST_MM and radius < limit:
        return LargestCutter(0.0, at, Limit.SHARP)
    return LargestCutter(limit, at, Limit.ROUND if radius >= limit else Limit.CORNER)


def _limits(bends: _Bends, leaves_mm: float) -> Floats:
    """Return the largest cutter that each bend allows by itself."""
    half = np.minimum(bends.turn / 2.0, pi / 2.0)
    with np.errstate(divide="ignore"):
        as_corner = leaves_mm * np.cos(half) / (2.0 * np.sin(half / 2.0) ** 2)
    limits: Floats = np.maximum(bends.radius, as_corner)
    return limits


@frozen_record
class _Search:
    """Asks how deep the deepest place is that a cutter leaves."""

    region: Region
    outside: bool
    bends: _Bends
    tol: Tolerance

    def deepest(self, radius_mm: float) -> tuple[float, Point]:
        """Return the depth (mm) and the place: the bends are asked how far they are from the cutter's centres."""
        centres = offset_region(self.region, radius_mm if self.outside else -radius_mm, tol=self.tol)
        points = np.column_stack([self.bends.x, self.bends.y])
        depths = points_distance(centres, points) - radius_mm if centres else np.full(len(points), inf)
        k = int(np.argmax(np.round(depths, 9)))
        return float(depths[k]), Point(float(points[k, 0]), float(points[k, 1]))


def _measured(search: _Search, best: LargestCutter, leaves_mm: float) -> LargestCutter:
    """Return the largest cutter whose loss is measured to be small enough: ``best`` or a smaller one, by bisection."""
    limit, tol = best.radius_mm, search.tol
    depth, at = search.deepest(max(limit - tol.model_mm, limit / 2.0))
    if depth <= leaves_mm + tol.same_mm:
        return best
    low, high = 0.0, limit
    for _ in range(_STEPS):
        if high - low <= _CLOSE_ENOUGH * high or high < FINEST_MM:
            break
        middle = (low + high) / 2.0
        depth, place = search.deepest(middle)
        low, high, at = (middle, high, at) if depth <= leaves_mm else (low, middle, place)
    return LargestCutter(low, at, Limit.CORNER) if high >= FINEST_MM else LargestCutter(0.0, at, Limit.SHARP)


def _bends(s: Spans) -> _Bends:
    """Return the corners and arcs that bend round a cutter inside; arcs in one go along one circle are one."""
    s = s.take(np.flatnonzero((s.tx0 != 0.0) | (s.ty0 != 0.0)))
    previous = np.arange(len(s)) - 1
    starts = np.flatnonzero(np.diff(s.contour, prepend=-1) != 0)
    previous[starts] = np.append(starts[1:], len(s)) - 1
    ux, uy = s.tx1[previous], s.ty1[previous]
    turn = np.arctan2(ux * s.ty0 - uy * s.tx0, ux * s.tx0 + uy * s.ty0)
    corners = np.flatnonzero(turn > _SMOOTH)
    arcs = _arcs(s, previous, turn)
    return _Bends(
        radius=np.concatenate([np.zeros(len(corners)), arcs.radius]),
        turn=np.concatenate([turn[corners], arcs.turn]),
        x=np.concatenate([s.x0[corners], arcs.x]),
        y=np.concatenate([s.y0[corners], arcs.y]),
    )


def _arcs(s: Spans, previous: Ints, turn: Floats) -> _Bends:
    rows = np.flatnonzero(s.bulge >= ALMOST_STRAIGHT)
    radius, sweep = 1.0 / s.curvature[rows], 4.0 * np.arctan(s.bulge[rows])
    # the middle of an arc lies bulge x half chord to the right of its chord
    dx, dy, b = s.x1[rows] - s.x0[rows], s.y1[rows] - s.y0[rows], s.bulge[rows]
    x, y = (s.x0[rows] + s.x1[rows] + b * dy) / 2.0, (s.y0[rows] + s.y1[rows] - b * dx) / 2.0
    whole = sweep.copy()
    number = {int(row): k for k, row in enumerate(rows)}
    for k, row in enumerate(rows):
        before = number.get(int(previous[row]))
        smooth = before is not None and abs(turn[row]) <= _SMOOTH
        if before is not None and smooth and abs(radius[k] - radius[before]) <= 1e-6 * radius[k]:
            whole[k] = max(whole[k], sweep[k] + whole[before])
            whole[before] = whole[k]
    return _Bends(radius, np.minimum(whole, 2.0 * pi), x, y)
