"""Yes or no, and why not: containment, overlap, validity, and what kind of contour it is."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from itertools import pairwise
from math import hypot, pi

import numpy as np
from numpy.typing import ArrayLike, NDArray

from generator.base.units import MODEL, Tolerance
from generator.outline.carrier import Circle
from generator.outline.contour import Contour, Point, Segment
from generator.outline.intersect import Apart, Overlap, direction_at, meet_segments, point_at
from generator.outline.measure import Outline, signed_area
from generator.outline.region import Region
from generator.outline.spans import near_pairs, spans_of
from generator.outline.validity import Fault, Problem, explain_contour, touching_points
from generator.outline.winding import sides, winding_numbers

__all__ = [
    "Circle",
    "Fault",
    "Problem",
    "Side",
    "contains_point",
    "contains_points",
    "contains_region",
    "corner_angles",
    "explain_contour",
    "is_ccw",
    "is_circle",
    "is_convex",
    "overlaps",
    "tangent_joints",
    "touching_points",
    "winding_numbers",
]


class Side(Enum):
    """Where a point lies with respect to a region."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    ON = "on"


_SIDES = np.array([Side.OUTSIDE, Side.INSIDE, Side.ON], dtype=object)


# ------------------------------------------------------------------ points
def contains_point(region: Outline, point: tuple[float, float], *, tol: Tolerance = MODEL) -> Side:
    """Return where a point lies; within ``tol.same_mm`` of the boundary it is ``ON``."""
    return contains_points(region, [point], tol=tol)[0]


def contains_points(region: Outline, points: ArrayLike, *, tol: Tolerance = MODEL) -> list[Side]:
    """Return where each of the points, shape (n, 2), lies with respect to a region.

    A lone contour counts as the area that it goes round, whichever way. The empty region contains nothing.
    """
    return [Side(s) for s in _SIDES[sides(region, points, tol.same_mm)]]


# ------------------------------------------------------------------ regions
def contains_region(outer: Region, inner: Region, *, tol: Tolerance = MODEL) -> bool:
    """Return True when ``inner`` lies wholly in ``outer``, whose boundary it may touch (within ``tol.same_mm``).

    The empty region lies in every region.
    """
    if not inner:
        return True
    codes, beside = _along(inner, outer, tol)
    if (codes == 0).any() or (beside == 0).any():
        return False
    return not bool((_along(outer, inner, tol)[0] == 1).any())


def overlaps(a: Region, b: Region, *, tol: Tolerance = MODEL) -> bool:
    """Return True when the interiors meet, by more than ``tol.same_mm``; touching is not overlapping."""
    for one, other in ((a, b), (b, a)):
        codes, beside = _along(one, other, tol)
        if (codes == 1).any() or (beside == 1).any():
            return True
    return False


def _along(a: Region, b: Region, tol: Tolerance) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return where a's boundary lies in b, and where it is on b's, where the material beside it lies.

    Codes: 0 out, 1 in, 2 on, -1 not asked. a's boundary is cut where it meets b's; three points of each piece
    are asked about.
    """
    points, material = [], []
    for segment, cuts in _cut(a, b, tol):
        for low, high in pairwise(cuts):
            for part in (0.25, 0.5, 0.75):
                share = low + part * (high - low)
                p, u = point_at(segment, share), direction_at(segment, share)
                points.append(p)
                material.append((p.x - 4.0 * tol.same_mm * u.y, p.y + 4.0 * tol.same_mm * u.x))
    codes = sides(b, points, tol.same_mm)
    beside, on = np.full(len(codes), -1), codes == 2
    if on.any():
        beside[on] = sides(b, np.array(material)[on], tol.same_mm)
    return codes, beside


def _cut(a: Region, b: Region, tol: Tolerance) -> Iterator[tuple[Segment, list[float]]]:
    """Yield each segment of a with the shares at which it meets b, ends included."""
    spans, others = spans_of(a), spans_of(b)
    cuts: dict[int, list[float]] = {}
    for i, j in zip(*near_pairs(spans, others, tol.same_mm), strict=True):
        meeting = meet_segments(spans.segment(int(i)), others.segment(int(j)), tol=tol)
        if isinstance(meeting, Apart):
            continue
        contacts = (meeting.first, meeting.last) if isinstance(meeting, Overlap) else meeting.contacts
        cuts.setdefault(int(i), []).extend(c.on_a for c in contacts)
    for row in range(len(spans)):
        segment = spans.segment(row)
        if segment.chord_mm > tol.same_mm:
            yield segment, sorted({0.0, 1.0, *cuts.get(row, [])})


# ------------------------------------------------------------------ kinds of contour
def is_ccw(contour: Contour) -> bool:
    """Return True for counter-clockwise travel (an outer contour). Means little if the contour crosses itself."""
    return signed_area(contour) > 0.0


def corner_angles(contour: Contour) -> NDArray[np.float64]:
    """Return by how much travel turns at each vertex, radians in (-π, π], left positive."""
    spans = spans_of(contour)
    ux, uy = np.roll(spans.tx1, 1), np.roll(spans.ty1, 1)
    turns: NDArray[np.float64] = np.arctan2(ux * spans.ty0 - uy * spans.tx0, ux * spans.tx0 + uy * spans.ty0)
    return turns


def tangent_joints(contour: Contour, *, angle_rad: float = 1e-6) -> NDArray[np.bool_]:
    """Return for each vertex whether the segments there run into each other without a corner."""
    smooth: NDArray[np.bool_] = np.abs(corner_angles(contour)) <= angle_rad
    return smooth


def is_convex(contour: Contour, *, angle_rad: float = 1e-9) -> bool:
    """Return True when the contour never turns against its direction and goes round once."""
    if len(contour) < 2:
        return False
    corners, sweeps = corner_angles(contour), 4.0 * np.arctan(contour.array[:, 2])
    total = float(corners.sum() + sweeps.sum())
    sign = 1.0 if total > 0.0 else -1.0
    one_way = bool((sign * corners >= -angle_rad).all() and (sign * sweeps >= -angle_rad).all())
    return one_way and abs(abs(total) - 2.0 * pi) < 1e-6


def is_circle(contour: Contour, *, tol: Tolerance = MODEL) -> Circle | None:
    """Return the circle that the contour is, if it is one: arcs of one centre and radius through a full turn."""
    spans = spans_of(contour)
    k = spans.curvature
    if len(spans) < 2 or (k == 0.0).any() or (np.sign(k) != np.sign(k[0])).any():
        return None
    radii = 1.0 / k
    cx, cy = spans.x0 - radii * spans.ty0, spans.y0 + radii * spans.tx0
    weight = np.abs(np.arctan(spans.bulge))
    centre = Point(float(np.average(cx, weights=weight)), float(np.average(cy, weights=weight)))
    radius = float(np.average(np.abs(radii), weights=weight))
    # a short arc fixes its own centre badly, so the question is asked of points on the arcs
    off = [abs(hypot(p.x - centre.x, p.y - centre.y) - radius) for p in _ends_and_middles(contour)]
    full = abs(4.0 * float(weight.sum()) - 2.0 * pi) <= tol.same_mm / radius + 1e-12
    return Circle(centre, radius) if full and max(off) <= tol.same_mm else None


def _ends_and_middles(contour: Contour) -> list[Point]:
    return [point_at(s, share) for s in contour.segments() for share in (0.0, 0.5)]
