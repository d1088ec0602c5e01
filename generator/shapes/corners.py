"""Corners of polygons: sharp, rounded or cut off."""

from __future__ import annotations

from collections.abc import Sequence

from generator.base.errors import ContourError, GeometryError
from generator.outline import create
from generator.outline.carrier import towards
from generator.outline.contour import Contour, Point
from generator.outline.measure import signed_area
from generator.outline.rounding import rounded


def cornered(points: Sequence[Point], *, radii: Sequence[float], chamfers: Sequence[float]) -> Contour:
    """Return the polygon through ``points``, counter-clockwise, each corner rounded or chamfered.

    Args:
        points: in order, either way round, mm.
        radii: radius of each corner, 0 for none.
        chamfers: how far each corner is cut off along both its edges, 0 for none.

    Raises:
        GeometryError: a corner is to be both, a chamfer or radius does not fit, or two points coincide.
    """
    _refuse_twins(points)
    create.polygon(points)  # refuses what encloses no area
    if signed_area(Contour.of(points)) < 0.0:
        points, radii, chamfers = points[::-1], radii[::-1], chamfers[::-1]
    corners: list[Point] = []
    radius_of: list[float] = []
    for i, (r, c) in enumerate(zip(radii, chamfers, strict=True)):
        if r and c:
            raise GeometryError(f"corner {i + 1} has a radius and a chamfer: give only one", point_mm=points[i])
        ends = _chamfer(points, chamfers, i) if c else [points[i]]
        corners += ends
        radius_of += [r] * len(ends)
    return rounded(Contour.of(corners), radius_of)


def round_every_corner(contour: Contour, radius_mm: float) -> Contour:
    """Return the contour with every sharp corner rounded; 0 gives it back as it is."""
    return rounded(contour, radius_mm) if radius_mm else contour


def _refuse_twins(points: Sequence[Point]) -> None:
    for i, p in enumerate(points):
        if p == points[i - 1]:
            n = len(points)
            raise ContourError(
                f"point {(i - 1) % n + 1} and point {i + 1} are the same, ({p.x:g}, {p.y:g}): leave one of them out",
                segment=(i - 1) % n,
                point_mm=p,
            )


def _chamfer(points: Sequence[Point], chamfers: Sequence[float], i: int) -> list[Point]:
    """Return the two ends of the chamfer at corner ``i``."""
    n, p, c = len(points), points[i], chamfers[i]
    out = []
    for j in ((i - 1) % n, (i + 1) % n):
        q = points[j]
        room = ((q.x - p.x) ** 2 + (q.y - p.y) ** 2) ** 0.5 - chamfers[j]
        if c > room:
            raise ContourError(
                f"chamfer {c:g} at corner {i + 1}, ({p.x:g}, {p.y:g}), does not fit on its edge: at most {room:.6g}",
                segment=i,
                point_mm=p,
            )
        u = towards(p, q)
        out.append(Point(p.x + c * u.x, p.y + c * u.y))
    return out
