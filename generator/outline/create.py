"""Make contours from dimensions: circle, rectangle, polygon, slot, ring. All outer contours, counter-clockwise.

Corners are rounded in ``rounding.py``; constructions with tangents are in ``tangent.py``.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from math import copysign, cos, hypot, isfinite, pi, sin, tan

from generator.base.errors import ContourError, GeometryError
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.measure import signed_area
from generator.outline.predicates import explain_contour
from generator.outline.region import Region
from generator.outline.rounding import rounded

__all__ = [
    "arc_slot",
    "circle",
    "polygon",
    "rectangle",
    "regular_polygon",
    "ring",
    "rounded",
    "sector",
    "slot",
]

ORIGIN = Point(0.0, 0.0)
_KEPT = 256
"""Circles at hand: holes and seats are asked for again by every check and variant."""


def _positive(**lengths_mm: float) -> None:
    for name, value in lengths_mm.items():
        if not isfinite(value) or value <= 0.0:
            raise GeometryError(f"{name.replace('_', ' ')} must be a positive number of mm, not {value:g}")


def _finite(*points: tuple[float, float]) -> None:
    for p in points:
        if not (isfinite(p[0]) and isfinite(p[1])):
            raise GeometryError(f"a point needs two finite coordinates, not ({p[0]:g}, {p[1]:g})")


def circle(centre: tuple[float, float] = ORIGIN, radius_mm: float = 1.0) -> Contour:
    """Return a circle as two half arcs, starting at its leftmost point.

    Raises:
        GeometryError: the radius is not a positive number.
    """
    _positive(radius=radius_mm)
    _finite(centre)
    cx, cy = float(centre[0]), float(centre[1])
    return _circle(cx, cy, radius_mm, (copysign(1.0, cx), copysign(1.0, cy)))


@lru_cache(maxsize=_KEPT)
def _circle(cx: float, cy: float, radius_mm: float, _signs: tuple[float, float]) -> Contour:
    """Return the circle; ``_signs`` tell 0 from -0, which are equal and not the same."""
    return Contour((Vertex(cx - radius_mm, cy, 1.0), Vertex(cx + radius_mm, cy, 1.0)))


def rectangle(xmin: float, ymin: float, xmax: float, ymax: float, corner_radius: float = 0.0) -> Contour:
    """Return an upright rectangle (mm), its corners rounded; a radius of half the width gives half circles.

    Raises:
        GeometryError: a side is not positive, or the radius is negative or does not fit.
    """
    _finite((xmin, ymin), (xmax, ymax))
    _positive(width=xmax - xmin, height=ymax - ymin)
    corners = Contour.of([(xmin, ymin), (xmax, ymin), (xmax, ymax), (xmin, ymax)])
    return rounded(corners, corner_radius)


def polygon(points: Iterable[tuple[float, float]]) -> Contour:
    """Return the polygon through the points (mm), turned counter-clockwise if need be.

    Raises:
        ContourError: there are fewer than three points, or they enclose no area.
    """
    contour = Contour.of((p[0], p[1]) for p in points)
    _finite(*((v.x, v.y) for v in contour.vertices))
    if len(contour) < 3:
        raise ContourError(f"a polygon needs at least 3 points, not {len(contour)}")
    size = signed_area(contour)
    if size == 0.0:
        problem = explain_contour(contour)
        why = f": {problem.message}" if problem else ""
        raise ContourError(f"the points of the polygon enclose no area{why}")
    return contour if size > 0.0 else contour.reversed()


def regular_polygon(
    centre: tuple[float, float], sides: int, across_flats_mm: float, *, turn_rad: float = 0.0
) -> Contour:
    """Return a regular polygon by its inscribed circle's diameter; ``turn_rad`` is the first corner's angle.

    Raises:
        GeometryError: fewer than three sides, or a size that is not positive.
    """
    _positive(across_flats=across_flats_mm)
    _finite(centre)
    if sides < 3:
        raise GeometryError(f"a polygon needs at least 3 sides, not {sides}")
    r = across_flats_mm / 2.0 / cos(pi / sides)
    angles = (turn_rad + 2.0 * pi * k / sides for k in range(sides))
    return Contour.of((centre[0] + r * cos(a), centre[1] + r * sin(a)) for a in angles)


def slot(start: tuple[float, float], end: tuple[float, float], width_mm: float) -> Contour:
    """Return the obround round two centres (mm); a circle when they are the same point.

    Raises:
        GeometryError: the width is not positive.
    """
    _positive(width=width_mm)
    _finite(start, end)
    dx, dy = end[0] - start[0], end[1] - start[1]
    d = hypot(dx, dy)
    if d == 0.0:
        return circle(start, width_mm / 2.0)
    nx, ny = dy / d * width_mm / 2.0, -dx / d * width_mm / 2.0
    return Contour(
        (
            Vertex(start[0] + nx, start[1] + ny),
            Vertex(end[0] + nx, end[1] + ny, 1.0),
            Vertex(end[0] - nx, end[1] - ny),
            Vertex(start[0] - nx, start[1] - ny, 1.0),
        )
    )


def arc_slot(
    centre: tuple[float, float], radius_mm: float, start_rad: float, sweep_rad: float, width_mm: float
) -> Contour:
    """Return a slot of constant width along an arc round ``centre``, its ends half circles.

    Args:
        centre: of the middle line, mm.
        radius_mm: of the middle line.
        start_rad: angle of the first end's centre.
        sweep_rad: to the second end's centre, counter-clockwise positive.
        width_mm: across the slot.

    Raises:
        GeometryError: a size is not positive, the slot is wider than its diameter, or its ends meet.
    """
    _positive(radius=radius_mm, width=width_mm)
    _finite(centre, (start_rad, sweep_rad))
    half = width_mm / 2.0
    if half >= radius_mm:
        raise GeometryError(f"slot width {width_mm:g} is too large: less than {2.0 * radius_mm:.6g}")
    first, sweep = (start_rad, sweep_rad) if sweep_rad >= 0.0 else (start_rad + sweep_rad, -sweep_rad)
    gap = 2.0 * radius_mm * sin(max(0.0, 2.0 * pi - sweep) / 2.0) if sweep > pi else width_mm + 1.0
    if sweep == 0.0 or sweep >= 2.0 * pi or gap <= width_mm:
        raise GeometryError(f"a slot along an arc of {sweep:g} rad is empty or its ends meet; use a ring")

    def at(r: float, angle: float) -> Point:
        return Point(centre[0] + r * cos(angle), centre[1] + r * sin(angle))

    pieces = 1 if sweep <= pi else 2
    step, bulge = sweep / pieces, tan(sweep / pieces / 4.0)
    outer = [Vertex(*at(radius_mm + half, first + k * step), bulge) for k in range(pieces)]
    inner = [Vertex(*at(radius_mm - half, first + sweep - k * step), -bulge) for k in range(pieces)]
    return Contour(
        (
            *outer,
            Vertex(*at(radius_mm + half, first + sweep), 1.0),
            *inner,
            Vertex(*at(radius_mm - half, first), 1.0),
        )
    )


def sector(centre: tuple[float, float], radius_mm: float, start_rad: float, sweep_rad: float) -> Contour:
    """Return the slice of a disc between two radii (angles in radians, counter-clockwise positive).

    Raises:
        GeometryError: the radius is not positive, or the sweep is 0 or a full turn or more.
    """
    _positive(radius=radius_mm)
    _finite(centre, (start_rad, sweep_rad))
    first, sweep = (start_rad, sweep_rad) if sweep_rad >= 0.0 else (start_rad + sweep_rad, -sweep_rad)
    if sweep == 0.0 or sweep >= 2.0 * pi:
        raise GeometryError(f"a sector sweeps more than nothing and less than a full turn, not {sweep:g} rad")
    pieces = 1 if sweep <= pi else 2
    bulge = tan(sweep / pieces / 4.0)
    angles = [first + k * sweep / pieces for k in range(pieces + 1)]
    rim = [
        Vertex(centre[0] + radius_mm * cos(a), centre[1] + radius_mm * sin(a), bulge if k < pieces else 0.0)
        for k, a in enumerate(angles)
    ]
    return Contour((Vertex(float(centre[0]), float(centre[1])), *rim))


def ring(centre: tuple[float, float], outer_radius_mm: float, inner_radius_mm: float) -> Region:
    """Return the region between two concentric circles.

    Raises:
        GeometryError: a radius is not positive, or the inner one is not the smaller.
    """
    _positive(outer_radius=outer_radius_mm, inner_radius=inner_radius_mm)
    if inner_radius_mm >= outer_radius_mm:
        raise GeometryError(f"inner radius {inner_radius_mm:g} must be less than the outer radius {outer_radius_mm:g}")
    return Region.of([circle(centre, outer_radius_mm), circle(centre, inner_radius_mm).reversed()])
