"""What all emblems share: corners rounded for a cutter, and the promise that the cutter gets everywhere.

An emblem is first drawn with sharp corners. Then every corner, inside or outside, is rounded by the corner radius, and
the result is measured: a disc of that radius must touch every point of the outline from within and from without,
without covering anything else of it. So a round cutter of that radius can clear the emblem as a pocket, and can clear
all round it when it is left standing; no stroke and no gap is narrower than the cutter.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import sin
from typing import Any, Final

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.units import MODEL
from generator.outline.carrier import tangents
from generator.outline.contour import Contour, Segment, Vertex
from generator.outline.crossings import refuse_crossings
from generator.outline.distance import boundary_distance
from generator.outline.predicates import explain_contour
from generator.outline.region import Region
from generator.outline.rounding import can_be_rounded, rounded
from generator.shapes.emblems.remedy import UnfitError, remedies

Sharp = Callable[[Any], Sequence[Contour]]
"""Draws an emblem with sharp corners from its params."""

SHARP_MM: Final = 1e-3
"""A corner radius below this is no radius: the model itself is no finer."""
LARGEST_MM: Final = 2000.0
"""Emblems are no larger than this (chosen)."""


def size(help: str, **more: Any) -> Any:
    """Declare the key that says how large an emblem is."""
    return f.length(help, at_least=1, at_most=LARGEST_MM, example=40, **more)


def corner_radius() -> Any:
    """Declare the key that says which cutter must get everywhere."""
    return f.length(
        "Radius of every corner, inside and outside. A cutter of this radius gets everywhere, into the emblem and all "
        "round it: no stroke and no gap is narrower than twice this. 0 leaves corners sharp and promises nothing.",
        default=0.5,
        at_least=0,
        at_most=200,
        example=0.5,
    )


def rounding_of(params: Any) -> float:
    """Return the radius that corners are rounded by, 0 when they stay sharp, mm."""
    radius: float = params.corner_radius
    return radius if radius >= SHARP_MM else 0.0


def finished(params: Any, sharp: Sharp) -> Region:
    """Return the emblem with its corners rounded by ``params.corner_radius``.

    Raises: GeometryError: a value leaves no room for another, or a cutter of that radius does not get everywhere;
        names the smallest change of one key that mends it.
    """

    def works(changed: Any) -> bool:
        try:
            return _made(changed, sharp) is not None
        except GeometryError:
            return False

    try:
        region = _made(params, sharp)
    except GeometryError as error:
        first = error if isinstance(error, UnfitError) else None
        raise GeometryError(f"{error}; {remedies(params, works, first)}") from None
    if region is None:
        why = f"a cutter of radius {params.corner_radius:g} does not get into every corner and gap of it"
        why = why if rounding_of(params) else "the outline runs into itself"
        raise GeometryError(f"{why}; {remedies(params, works)}")
    return region


def _made(params: Any, sharp: Sharp) -> Region | None:
    """Return the region with rounded corners; None when it cannot be cut, or runs into itself."""
    contours, radius = sharp(params), rounding_of(params)
    if not radius:
        return Region.of(contours) if _sound(contours) else None
    if not all(can_be_rounded(c, radius) for c in contours):
        return None
    region = Region.of(rounded(c, radius) for c in contours)
    # contours that cross, or run into themselves, come nearer to each other than the radius
    return Region.of(_without_specks(c) for c in region) if cutter_reaches(region, radius) else None


def _without_specks(contour: Contour) -> Contour:
    """Return the contour without lines that are shorter than the model is exact: the arc before takes their length."""
    kept = [
        Vertex(s.start.x, s.start.y, s.bulge) for s in contour.segments() if s.is_arc or s.chord_mm > MODEL.model_mm
    ]
    return contour if len(kept) in (0, 1, len(contour)) else Contour(tuple(kept))


def _sound(contours: Sequence[Contour]) -> bool:
    if any(explain_contour(c) is not None for c in contours):
        return False
    try:
        refuse_crossings(list(contours), MODEL)
    except GeometryError:
        return False
    return True


def cutter_reaches(region: Region, radius_mm: float) -> bool:
    """Return True when a disc of the radius can touch all of the boundary from within and from without.

    The region's joints must be smooth. The disc's centre runs on the boundary shifted by the radius; wherever that way
    comes nearer to the boundary than the radius, the disc covers what it must not.
    """
    for side in (1.0, -1.0):
        ways = []
        for contour in region:
            way = _shifted(contour, side * radius_mm)
            if way is None:
                return False
            ways += [way] if len(way) > 1 else []
        if ways and boundary_distance(Region(tuple(ways)), region).distance_mm < radius_mm - MODEL.same_mm:
            return False
    return True


def _shifted(contour: Contour, left_mm: float) -> Contour | None:
    """Return the smooth contour shifted to the left; None when an arc is tighter than that."""
    out: list[Vertex] = []
    for s in contour.segments():
        radius = s.radius_mm - left_mm if s.bulge > 0.0 else s.radius_mm + left_mm
        if radius < -MODEL.same_mm:
            return None
        if radius > MODEL.same_mm:
            out.append(_start_shifted(s, left_mm))
    return Contour(tuple(out))


def _start_shifted(s: Segment, left_mm: float) -> Vertex:
    u = tangents(s)[0]
    return Vertex(s.start.x - left_mm * u.y, s.start.y + left_mm * u.x, s.bulge)


def tip_beyond(half_angle_rad: float, radius_mm: float) -> float:
    """Return how far the sharp tip lies beyond the rounded one: ``r (1 / sin a - 1)`` for half the angle of the tip."""
    return radius_mm * (1.0 / sin(half_angle_rad) - 1.0)
