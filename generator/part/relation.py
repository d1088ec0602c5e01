"""How two regions of a plan lie to each other. Boxes, discs and regions that lie apart are told without more ado.

The exact answers of ``outline.predicates`` cut every segment; a plan asks some hundred such questions, and
nearly always the boundaries do not even touch: then one point of each contour decides.
"""

from __future__ import annotations

from functools import lru_cache
from math import hypot
from typing import NamedTuple

from generator.base.units import MODEL
from generator.outline.contour import Point
from generator.outline.distance import Gap, boundary_distance, point_distance
from generator.outline.measure import Bounds, bounds
from generator.outline.predicates import contains_region, overlaps, winding_numbers
from generator.outline.region import Region

__all__ = ["Disc", "apart", "box_of", "boxes_touch", "covers", "disc_of", "gap_between", "meets"]

REMEMBERED = 1024
"""Answers kept: slabs, layers and checks ask the same questions of the same regions."""


class Disc(NamedTuple):
    """A round region: centre and radius, mm."""

    centre: Point
    radius_mm: float


@lru_cache(maxsize=REMEMBERED)
def box_of(region: Region) -> Bounds:
    """Return the smallest upright box round a region."""
    return bounds(region)


def disc_of(region: Region) -> Disc | None:
    """Return the disc that a region is if it was made as one: a single contour of two half arcs; else None."""
    if len(region) != 1 or len(region.contours[0]) != 2:
        return None
    a, b = region.contours[0].vertices
    if a.bulge != 1.0 or b.bulge != 1.0:
        return None
    return Disc(Point((a.x + b.x) / 2.0, (a.y + b.y) / 2.0), hypot(b.x - a.x, b.y - a.y) / 2.0)


@lru_cache(maxsize=REMEMBERED)
def covers(outer: Region, inner: Region) -> bool:
    """Return True if the inner region lies in the outer one, whose boundary it may touch."""
    if outer == inner or not inner:
        return True
    a, b = box_of(outer), box_of(inner)
    if b.xmin < a.xmin or b.xmax > a.xmax or b.ymin < a.ymin or b.ymax > a.ymax:
        return contains_region(outer, inner) if _nearly_within(a, b) else False
    p, q = disc_of(outer), disc_of(inner)
    if p and q:
        return _between(p, q) + q.radius_mm <= p.radius_mm + MODEL.same_mm
    if gap_between(outer, inner).distance_mm <= MODEL.same_mm:
        return contains_region(outer, inner)
    return all(_starts_in(outer, inner)) and not any(_starts_in(inner, outer))


@lru_cache(maxsize=REMEMBERED)
def meets(a: Region, b: Region) -> bool:
    """Return True if two regions share area; touching is not meeting."""
    if not boxes_touch(box_of(a), box_of(b)):
        return False
    p, q = disc_of(a), disc_of(b)
    if p and q:
        return _between(p, q) < p.radius_mm + q.radius_mm - MODEL.same_mm
    if gap_between(a, b).distance_mm <= MODEL.same_mm:
        return overlaps(a, b)
    return any(_starts_in(a, b)) or any(_starts_in(b, a))


def apart(a: Region, b: Region) -> bool:
    """Return True if the boundaries of two regions share no point."""
    return not boxes_touch(box_of(a), box_of(b)) or gap_between(a, b).distance_mm > MODEL.same_mm


@lru_cache(maxsize=REMEMBERED)
def gap_between(a: Region, b: Region) -> Gap:
    """Return the least distance between the boundaries of two regions, even if one lies inside the other, mm.

    Raises: GeometryError: a region is empty.
    """
    if (disc := disc_of(b)) and (gap := _gap_to_disc(a, disc)):
        return gap
    if (disc := disc_of(a)) and (gap := _gap_to_disc(b, disc)):
        return Gap(gap.distance_mm, gap.on_b, gap.on_a)
    return boundary_distance(a, b)


def boxes_touch(a: Bounds, b: Bounds) -> bool:
    """Return True if two boxes share a point."""
    return a.xmin <= b.xmax and b.xmin <= a.xmax and a.ymin <= b.ymax and b.ymin <= a.ymax


def _between(a: Disc, b: Disc) -> float:
    """Return the distance of two discs' centres, mm."""
    return hypot(b.centre.x - a.centre.x, b.centre.y - a.centre.y)


def _nearly_within(a: Bounds, b: Bounds) -> bool:
    """Return True if box b reaches over box a by rounding only."""
    over = max(a.xmin - b.xmin, b.xmax - a.xmax, a.ymin - b.ymin, b.ymax - a.ymax)
    return over <= MODEL.same_mm


def _gap_to_disc(region: Region, disc: Disc) -> Gap | None:
    """Return the gap from a region's boundary to a disc's, or None if the boundary comes inside the disc."""
    near = point_distance(region, disc.centre)
    gap = near.distance_mm - disc.radius_mm
    if gap <= MODEL.same_mm:
        return None
    share = disc.radius_mm / near.distance_mm
    (cx, cy), (x, y) = disc.centre, near.point
    return Gap(gap, near.point, Point(cx + share * (x - cx), cy + share * (y - cy)))


def _starts_in(region: Region, other: Region) -> list[bool]:
    """Return for every contour of ``other`` whether its first point lies inside ``region``."""
    return [_is_inside(region, Point(*c.vertices[0][:2])) for c in other]


def _is_inside(region: Region, point: Point) -> bool:
    """Return True if a point that is not on the boundary lies inside the region."""
    box = box_of(region)
    if not (box.xmin <= point.x <= box.xmax and box.ymin <= point.y <= box.ymax):
        return False
    if disc := disc_of(region):
        return hypot(point.x - disc.centre.x, point.y - disc.centre.y) < disc.radius_mm
    return bool(winding_numbers(region, [point])[0] > 0)
