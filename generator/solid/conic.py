"""Edges where a plane and a cone, or two cones, of one slope meet: parabolas, hyperbolas and ellipses, exactly.

Two cones of equal slope about upright axes meet in a plane: with ``|p - c|² = (r + g t)²`` for both, the difference
is linear in p and t. So every such edge is the cut of a plane with a cone.
"""

from __future__ import annotations

from math import pi

from OCP.ElCLib import ElCLib
from OCP.Geom import Geom_Curve, Geom_Ellipse, Geom_Hyperbola, Geom_Line, Geom_Parabola
from OCP.gp import gp_Pln, gp_Pnt
from OCP.IntAna import IntAna_QuadQuadGeo, IntAna_ResultType
from OCP.TopoDS import TopoDS_Vertex

from generator.base.errors import GeometryError
from generator.part.fronts import Joint
from generator.part.runs import TURN
from generator.solid.brep import KERNEL_MM, Edge, Shop, frame
from generator.solid.slope import Cone, Slope, slant_plane

KIND = IntAna_ResultType
"""What a cut can be."""

ANGLE_TOL = 1e-9
"""Slopes that differ by less, radians, count as equal: the cut is a parabola."""


def conic_edge(joint: Joint, slope: Slope, shop: Shop, start: TopoDS_Vertex, end: TopoDS_Vertex) -> Edge:
    """Return the edge along a joint between a plane and a cone or two cones, from ``start`` to ``end``.

    Raises:
        GeometryError: no cut passes through both ends.
    """
    arc = joint.before if joint.before.circle is not None else joint.after
    assert arc.circle is not None
    cone = Cone(arc.circle, arc.growth, slope).surface.Cone()
    a = _point(joint.corner, slope.z(joint.t), shop)
    b = _point(joint.end_corner, slope.z(joint.end_t), shop)
    for curve, first, last in _curves(IntAna_QuadQuadGeo(_plane_of(joint, slope), cone, ANGLE_TOL, KERNEL_MM), a, b):
        off = max(curve.Value(first).Distance(a), curve.Value(last).Distance(b))
        if off > 10.0 * shop.plane.corners.same_mm:
            continue
        if first > last:
            first, last = curve.ReversedParameter(first), curve.ReversedParameter(last)
            curve = curve.Reversed()
        return shop.curved(curve, (start, end), (first, last), off)
    p = shop.plane.corners[joint.corner]
    raise GeometryError("a tapered wall's corner between a line and an arc or two arcs has no conic edge", point_mm=p)


def _plane_of(joint: Joint, slope: Slope) -> gp_Pln:
    """Return the plane of the edge: that of the line's front, or the one in which two cones meet."""
    for front in (joint.before, joint.after):
        if front.circle is None:
            return slant_plane(front, slope).Pln()
    a, b = joint.before, joint.after
    assert a.circle is not None
    assert b.circle is not None
    (ox, oy), k = joint.at, slope.distance_mm / (slope.z_to_mm - slope.z_from_mm)
    ax, ay, bx, by = a.circle.centre.x - ox, a.circle.centre.y - oy, b.circle.centre.x - ox, b.circle.centre.y - oy
    r, s = a.circle.radius_mm, b.circle.radius_mm
    n = (2.0 * (bx - ax), 2.0 * (by - ay), -2.0 * k * (a.growth * r - b.growth * s))
    rhs = (r - s) * (r + s) - (ax * ax + ay * ay) + (bx * bx + by * by)
    share = rhs / (n[0] ** 2 + n[1] ** 2 + n[2] ** 2)
    return gp_Pln(frame(ox + share * n[0], oy + share * n[1], slope.z_from_mm + share * n[2], n))


def _point(corner: int, z: float, shop: Shop) -> gp_Pnt:
    p = shop.plane.corners[corner]
    return gp_Pnt(p.x, p.y, z)


def _curves(cut: IntAna_QuadQuadGeo, a: gp_Pnt, b: gp_Pnt) -> list[tuple[Geom_Curve, float, float]]:
    """Return every branch of the cut with the parameters of both points on it."""
    if not cut.IsDone():
        return []
    found: list[tuple[Geom_Curve, float, float]] = []
    for n in range(1, cut.NbSolutions() + 1):
        if cut.TypeInter() == KIND.IntAna_Parabola:
            parabola = cut.Parabola(n)
            found.append((Geom_Parabola(parabola), ElCLib.Parameter_s(parabola, a), ElCLib.Parameter_s(parabola, b)))
        elif cut.TypeInter() == KIND.IntAna_Hyperbola:
            hyperbola = cut.Hyperbola(n)
            found.append(
                (Geom_Hyperbola(hyperbola), ElCLib.Parameter_s(hyperbola, a), ElCLib.Parameter_s(hyperbola, b))
            )
        elif cut.TypeInter() == KIND.IntAna_Ellipse:
            ellipse = cut.Ellipse(n)
            first, last = ElCLib.Parameter_s(ellipse, a), ElCLib.Parameter_s(ellipse, b)
            found.append((Geom_Ellipse(ellipse), *_shorter(first, last)))
        elif cut.TypeInter() == KIND.IntAna_Line:
            line = cut.Line(n)
            found.append((Geom_Line(line), ElCLib.Parameter_s(line, a), ElCLib.Parameter_s(line, b)))
    return found


def _shorter(first: float, last: float) -> tuple[float, float]:
    """Return the parameters of the shorter of the two ways round an ellipse."""
    way = (last - first) % TURN
    return first, first + (way if way <= pi else way - TURN)
