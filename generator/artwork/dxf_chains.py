"""One DXF entity turned into chains of lines and arcs, mm.

Entities with an extrusion of (0, 0, -1) are drawn looking from below: their x and the sense of their arcs are
reversed. Any other tilt cannot be an outline and is refused.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import atan2, cos, hypot, isfinite, pi, sin, tan
from typing import Any, Final

from generator.artwork.chain import Chain
from generator.artwork.dxf_curves import ellipse_chain, spline_chain
from generator.base.errors import GeometryError
from generator.base.units import MODEL
from generator.outline.contour import Point, Vertex

FLAT_MM: Final = 1e-3
"""Heights within one entity may differ by this."""
LARGEST_MM: Final = 10_000.0
"""Coordinates beyond this are no bracket (ten metres; chosen)."""


def chain_of(entity: Any, scale: float) -> list[Chain]:
    """Return what one entity draws; nothing if it has no length.

    Args:
        entity: of one of the kinds in ``DRAWN``.
        scale: mm per drawing unit.
    Raises: GeometryError: it is tilted, not flat, not finite or far away; names its kind.
    """
    kind = entity.dxftype()
    try:
        chains = DRAWN[kind](entity, scale)
    except GeometryError as error:
        raise GeometryError(f"{named(entity)}: {error}", point_mm=error.point_mm) from error
    except (ValueError, TypeError, KeyError, IndexError, ArithmeticError) as error:
        raise GeometryError(f"{named(entity)} is damaged: {error}") from error
    for chain in chains:
        _refuse_far(chain, kind)
    return [c for c in (_without_points(c) for c in chains) if c is not None]


def named(entity: Any) -> str:
    """Return the kind with the handle; of a copy, that of what is in the block."""
    origin = entity if entity.dxf.handle else entity.origin_of_copy
    if origin is None or not origin.dxf.handle:
        return f"{entity.dxftype()} in a block"
    return f"{entity.dxftype()} (handle {origin.dxf.handle})"


def _refuse_far(chain: Chain, kind: str) -> None:
    for v in chain.vertices:
        if not all(isfinite(n) for n in v):
            raise GeometryError(f"{kind}: a coordinate is not a finite number")
        if max(abs(v.x), abs(v.y)) > LARGEST_MM:
            raise GeometryError(f"{kind} at ({v.x:g}, {v.y:g}) mm lies more than {LARGEST_MM:g} mm away: wrong unit?")


def _without_points(chain: Chain) -> Chain | None:
    """Return the chain without segments of no length; None if nothing is left."""
    kept = tuple(v for v, e in chain.segments() if _arc_length(v, e) > MODEL.same_mm)
    if not kept or (chain.end is None and len(kept) < 2):
        return None
    return Chain(kept, chain.end)


def _arc_length(v: Vertex, e: Point) -> float:
    """Return the length of a segment, mm; as good as exact for the short arcs and lines that matter here."""
    chord = hypot(e.x - v.x, e.y - v.y)
    return chord * (1.0 + v.bulge * v.bulge)  # an arc is at most π/2 and at least 1 / 1.28 of this


# ------------------------------------------------------------------ where it lies
def mirror_of(entity: Any) -> float:
    """Return 1 for an entity seen from above, -1 for one drawn from below."""
    x, y, z = entity.dxf.get("extrusion", (0.0, 0.0, 1.0))
    if hypot(x, y) > 1e-9 * abs(z) or z == 0.0:
        raise GeometryError(f"it lies in a tilted plane (extrusion {x:g}, {y:g}, {z:g}): draw the outline flat")
    return 1.0 if z > 0.0 else -1.0


def _refuse_steep(heights: Iterable[float], scale: float) -> None:
    zs = [z * scale for z in heights]
    if zs and max(zs) - min(zs) > FLAT_MM:
        raise GeometryError(f"it climbs by {max(zs) - min(zs):g} mm: draw the outline flat")


def _refuse_remote(rows: Iterable[Iterable[float]], scale: float) -> None:
    """Raise if a number of a curve is so large that working with it makes no sense, mm."""
    most = max((abs(float(n)) * scale for row in rows for n in row), default=0.0)
    if not most <= LARGEST_MM:
        raise GeometryError(f"it reaches {most:g} mm, more than {LARGEST_MM:g}: wrong unit?")


# ------------------------------------------------------------------ kinds
def _line(entity: Any, scale: float) -> list[Chain]:
    a, b = entity.dxf.start, entity.dxf.end
    _refuse_steep((a.z, b.z), scale)
    return [Chain((Vertex(a.x * scale, a.y * scale),), Point(b.x * scale, b.y * scale))]


def _circle(entity: Any, scale: float) -> list[Chain]:
    side, c, r = mirror_of(entity), entity.dxf.center, _radius(entity, scale)
    x, y = side * c.x * scale, c.y * scale
    return [Chain((Vertex(x - r, y, 1.0), Vertex(x + r, y, 1.0)))]


def _arc(entity: Any, scale: float) -> list[Chain]:
    side, c, r = mirror_of(entity), entity.dxf.center, _radius(entity, scale)
    first = entity.dxf.start_angle * pi / 180.0
    sweep = (entity.dxf.end_angle - entity.dxf.start_angle) % 360.0 * pi / 180.0
    if sweep == 0.0:
        return _circle(entity, scale)
    pieces = 1 if sweep <= pi else 2
    at = [
        Point(
            side * (c.x * scale + r * cos(first + sweep * k / pieces)),
            c.y * scale + r * sin(first + sweep * k / pieces),
        )
        for k in range(pieces + 1)
    ]
    bulge = side * tan(sweep / pieces / 4.0)
    return [Chain(tuple(Vertex(p.x, p.y, bulge) for p in at[:-1]), at[-1])]


def _radius(entity: Any, scale: float) -> float:
    r = float(entity.dxf.radius) * scale
    if not r > 0.0:
        raise GeometryError(f"radius {r:g} is not more than 0")
    return r


def _lwpolyline(entity: Any, scale: float) -> list[Chain]:
    side = mirror_of(entity)
    rows = [(side * x * scale, y * scale, side * b) for x, y, b in entity.get_points("xyb")]
    return _polyline_of(rows, bool(entity.closed))


def _polyline(entity: Any, scale: float) -> list[Chain]:
    if entity.is_polygon_mesh or entity.is_poly_face_mesh:
        raise GeometryError("it is a mesh, not an outline")
    side = 1.0 if entity.is_3d_polyline else mirror_of(entity)
    frame = 16  # vertex flag of the control frame of a fitted curve, which is not drawn
    points = [v.dxf for v in entity.vertices if not v.dxf.get("flags", 0) & frame]
    if entity.is_3d_polyline:
        _refuse_steep((p.location.z for p in points), scale)
    rows = [(side * p.location.x * scale, p.location.y * scale, side * p.get("bulge", 0.0)) for p in points]
    return _polyline_of(rows, bool(entity.is_closed))


def _polyline_of(rows: list[tuple[float, float, float]], closed: bool) -> list[Chain]:
    """Return a polyline's vertices as they are; arcs of more than a half circle are cut in two."""
    if len(rows) < 2:
        return []
    count = len(rows) if closed else len(rows) - 1
    vertices: list[Vertex] = []
    for i in range(count):
        (x, y, b), (ex, ey, _) = rows[i], rows[(i + 1) % len(rows)]
        vertices += _at_most_half(x, y, b, ex, ey)
    return [Chain(tuple(vertices), None if closed else Point(rows[-1][0], rows[-1][1]))]


def _at_most_half(x: float, y: float, b: float, ex: float, ey: float) -> list[Vertex]:
    if abs(b) <= 1.0:
        return [Vertex(x, y, b)]
    # the middle of the arc lies b half chords beside the middle of the chord, to the right for a positive bulge
    mx, my = (x + ex) / 2.0 + b * (ey - y) / 2.0, (y + ey) / 2.0 - b * (ex - x) / 2.0
    half = tan(_quarter(b) / 2.0)
    return [Vertex(x, y, half), Vertex(mx, my, half)]


def _quarter(b: float) -> float:
    return atan2(b, 1.0)


def _ellipse(entity: Any, scale: float) -> list[Chain]:
    mirror_of(entity)
    size = hypot(entity.dxf.major_axis.x, entity.dxf.major_axis.y)
    _refuse_remote(((entity.dxf.center.x, entity.dxf.center.y, size),), scale)
    return [ellipse_chain(entity, scale)]


def _spline(entity: Any, scale: float) -> list[Chain]:
    _refuse_remote((*entity.control_points, *entity.fit_points), scale)
    _refuse_steep((float(p[2]) for p in [*entity.control_points, *entity.fit_points]), scale)
    return [spline_chain(entity, scale)]


def is_wide(entity: Any) -> bool:
    """Return whether a polyline is drawn as a band, of which only the middle line is read."""
    return entity.dxftype() in ("LWPOLYLINE", "POLYLINE") and bool(entity.has_width)


DRAWN: Final[dict[str, Callable[[Any, float], list[Chain]]]] = {
    "LINE": _line,
    "ARC": _arc,
    "CIRCLE": _circle,
    "LWPOLYLINE": _lwpolyline,
    "POLYLINE": _polyline,
    "ELLIPSE": _ellipse,
    "SPLINE": _spline,
}
"""Kinds of entities that are outlines, and how each is read."""
