"""Faces of tapered walls: planes over lines, cones over arcs, joined along lines or conics."""

from __future__ import annotations

from math import atan2, hypot, pi

from generator.base.errors import GeometryError
from generator.part.fronts import ASIDE_MM, Front, Joint, apart, solve_taper
from generator.part.runs import TURN, Loop, turned_into
from generator.solid.brep import KERNEL_MM, Coedge, Edge, Patch, Shop
from generator.solid.conic import conic_edge
from generator.solid.level import Ring
from generator.solid.slope import Cone, Slope, slant_plane

Rings = dict[tuple[int, int], Ring]


def taper_faces(
    z_from_mm: float, z_to_mm: float, lower: Loop, upper: Loop, bottom: Rings, top: Rings, shop: Shop
) -> list[Patch]:
    """Return the faces of a tapered wall between two loops; ``bottom`` and ``top`` hold the pieces of its edges.

    Raises:
        GeometryError: see ``part.fronts.solve_taper``.
    """
    if lower.runs[0].is_whole_circle and upper.runs[0].is_whole_circle:
        return [_round_face(z_from_mm, z_to_mm, lower, upper, bottom, top, shop)]
    taper = solve_taper(lower, upper, shop.plane)
    slope = Slope(z_from_mm, z_to_mm, taper.distance_mm, taper.side)
    makers = _Joints(slope, shop)
    faces = []
    for front in taper.fronts:
        low = bottom[lower.key, front.lower] if front.lower >= 0 else ()
        high = top[upper.key, front.upper] if front.upper >= 0 else ()
        faces.append(_front_face(front, slope, low, high, makers, shop))
    return faces


class _Joints:
    """The edges along the joints, made once."""

    def __init__(self, slope: Slope, shop: Shop) -> None:
        self.slope, self.shop = slope, shop
        self._edges: dict[Joint, Edge | None] = {}
        self._cones: dict[Front, Cone] = {}

    def cone(self, front: Front) -> Cone:
        if front not in self._cones:
            assert front.circle is not None
            self._cones[front] = Cone(front.circle, front.growth, self.slope)
        return self._cones[front]

    def edge(self, joint: Joint) -> Edge | None:
        """Return the joint's edge from bottom to top, None if it has no length."""
        if joint not in self._edges:
            self._edges[joint] = self._make(joint)
        return self._edges[joint]

    def _make(self, joint: Joint) -> Edge | None:
        z0, z1 = self.slope.z(joint.t), self.slope.z(joint.end_t)
        if z0 == z1 or joint.end_t - joint.t < 1e-12:
            return None
        start, end = self.shop.vertex(joint.corner, z0), self.shop.vertex(joint.end_corner, z1)
        if not joint.is_straight:
            return conic_edge(joint, self.slope, self.shop, start, end)
        a, b = self.shop.plane.corners[joint.corner], self.shop.plane.corners[joint.end_corner]
        edge = self.shop.straight(start, end, hypot(b.x - a.x, b.y - a.y, z1 - z0))
        self.shop.loosen(edge, joint.off_mm + joint.bow_mm)
        return edge


def _front_face(front: Front, slope: Slope, low: Ring, high: Ring, joints: _Joints, shop: Shop) -> Patch:
    bottom = [shop.flat(p.run, p.twin, slope.z_from_mm) for p in low]
    top = [shop.flat(p.run, p.twin, slope.z_to_mm) for p in high]
    right = [(j, e) for j in front.right if (e := joints.edge(j)) is not None]
    left = [(j, e) for j in front.left if (e := joints.edge(j)) is not None]
    back = [Coedge(c.edge, not c.forward) for c in reversed(top)]
    up = [Coedge(e, True) for _, e in right]
    down = [Coedge(e, False) for _, e in reversed(left)]
    if front.circle is None:
        for coedge in top:
            shop.loosen(coedge.edge, max(front.left[-1].off_mm, front.right[-1].off_mm))
        return shop.face(slant_plane(front, slope), [[*bottom, *up, *back, *down]], outward=True)
    cone = joints.cone(front)
    low_angle = _low_angle(front)
    first, last = [], []
    if front.circle.radius_mm == 0.0:
        first = [_apex(front, cone, low_angle, front.left[0].corner, slope.z_from_mm, shop)]
    if front.vanished_at_centre:
        j = front.right[-1]
        tip = _apex(front, cone, low_angle, j.end_corner, slope.z(j.end_t), shop)
        last = [Coedge(tip.edge, not tip.forward)]
    ring = [*first, *bottom, *up, *last, *back, *down]
    face = shop.face(cone.surface, [ring], outward=front.way > 0.0)
    for coedges, z in ((bottom, slope.z_from_mm), (top, slope.z_to_mm)):
        for coedge in coedges:
            cone.trace_arc(coedge, low_angle, z, shop)
    for coedge in top:
        shop.loosen(coedge.edge, cone.off(coedge.edge, slope.z_to_mm))
    for j, edge in (*left, *right):
        angles = _angles_of(j, front, low_angle, shop)
        if j.is_straight and abs(angles[1] - angles[0]) * cone.radius <= KERNEL_MM:
            cone.trace_line(edge, angles[0], slope.z(j.t), shop)
        else:
            shop.project(edge, cone.surface, cone.u(low_angle + front.sweep / 2.0))
    return face


def _low_angle(front: Front) -> float:
    """Return the smaller end of the front's angles in [0, 2π)."""
    assert front.circle is not None
    centre = front.circle.centre
    if front.circle.radius_mm == 0.0:
        joint = front.left[0] if front.way > 0.0 else front.right[0]
        assert joint.drift is not None
        return turned_into(atan2(joint.drift.y, joint.drift.x), 0.0)
    start = atan2(front.start.y - centre.y, front.start.x - centre.x)
    return turned_into(start if front.way > 0.0 else start - front.sweep, 0.0)


def _angles_of(joint: Joint, front: Front, low: float, shop: Shop) -> tuple[float, float]:
    """Return the angles about the front's centre at which a straight joint begins and ends on its cone."""
    assert front.circle is not None
    (cx, cy), _ = front.circle
    ends = [shop.plane.corners[joint.corner], shop.plane.corners[joint.end_corner]]
    reach = [hypot(p.x - cx, p.y - cy) for p in ends]
    middle = low + front.sweep / 2.0
    angles = [turned_into(atan2(p.y - cy, p.x - cx), middle - pi) for p in ends]
    tip = min((0, 1), key=lambda k: reach[k])
    if reach[tip] <= 2.0 * shop.plane.corners.same_mm:  # the tip of the cone has no angle of its own
        return angles[1 - tip], angles[1 - tip]
    return angles[0], angles[1]


def _apex(front: Front, cone: Cone, low: float, corner: int, z: float, shop: Shop) -> Coedge:
    """Return the edge without length at the cone's tip, in the direction of travel."""
    turn = (cone.u(0.0), cone.v_apex)
    return Coedge(shop.point_edge(corner, z, cone.surface, turn, cone.up, low, low + front.sweep), front.way > 0.0)


def _round_face(
    z_from_mm: float, z_to_mm: float, lower: Loop, upper: Loop, bottom: Rings, top: Rings, shop: Shop
) -> Patch:
    """Return the one cone between two whole circles about the same centre."""
    low, high = lower.runs[0], upper.runs[0]
    assert low.circle is not None
    assert high.circle is not None
    if apart(low.circle.centre, high.circle.centre) > ASIDE_MM or low.sweep * high.sweep < 0.0:
        raise GeometryError("a tapered hole's circles are not about one axis", point_mm=low.circle.centre)
    grown = high.circle.radius_mm - low.circle.radius_mm
    way = 1.0 if low.sweep > 0.0 else -1.0
    slope = Slope(z_from_mm, z_to_mm, abs(grown), -way if grown > 0.0 else way)
    cone = Cone(low.circle, grown, slope)
    below = [shop.flat(p.run, p.twin, z_from_mm) for p in bottom[lower.key, 0]]
    above = [shop.flat(p.run, p.twin, z_to_mm) for p in top[upper.key, 0]]
    seam = shop.straight(
        shop.vertex(low.start, z_from_mm), shop.vertex(high.start, z_to_mm), hypot(grown, z_to_mm - z_from_mm)
    )
    back = [Coedge(c.edge, not c.forward) for c in reversed(above)]
    face = shop.face(cone.surface, [[*below, Coedge(seam, True), *back, Coedge(seam, False)]], outward=way > 0.0)
    for coedges, z in ((below, z_from_mm), (above, z_to_mm)):
        for coedge in coedges:
            cone.trace_arc(coedge, 0.0, z, shop)
    v = cone.v(z_from_mm)
    shop.trace_seam(seam, cone.surface, (cone.u(TURN), v), (cone.u(0.0), v), cone.up)
    return face
