"""Sloping walls as triangles: a strip over every run of the lower ring, from front to front.

Every front of the solved wall is a band between its edge below and its edge above; its sides are the joints with its
neighbours, which stop half way up where a front vanishes. A band is triangulated by the shortest cross lines, so that
a cone's run from rim to rim.
"""

from __future__ import annotations

from math import ceil, sqrt

import numpy as np

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.mesh.floors import Level
from generator.mesh.mesh import Floats, Ints
from generator.mesh.rings import Rings, edges
from generator.outline.measure import signed_area
from generator.part.fronts import Front, Joint, solve_taper
from generator.part.part import Slab, Wall
from generator.part.runs import Loop, Plane, loop_of

__all__ = ["sloping_wall"]

Corner = tuple[int, int, int]

_DEAR = 1e12
"""More than any length in lines of the grid."""


def sloping_wall(wall: Wall, slab: Slab, rings: Rings, bottom: Level, top: Level, chord_mm: float) -> Ints:
    """Return a sloping wall as triangles (m, 3, 3) of whole numbers.

    Args:
        wall: of ``slab``.
        slab: gives its heights.
        rings: of the part.
        bottom: points put into its lower edges.
        top: points put into its upper edges.
        chord_mm: how far a chord may leave a curved joint, mm.

    Raises:
        GeometryError: see ``part.fronts.solve_taper``.
    """
    low = _Rim(rings.ring[wall.lower], rings.height(slab.z_from_mm), bottom)
    high = _Rim(rings.ring[wall.upper], rings.height(slab.z_to_mm), top)
    plane = Plane.empty()
    lower, upper = loop_of(wall.lower, plane), loop_of(wall.upper, plane)
    if lower is None or upper is None:
        raise GeometryError("a tapered wall tapers to nothing")
    if lower.runs[0].is_whole_circle and upper.runs[0].is_whole_circle:
        grows = signed_area(wall.upper) > signed_area(wall.lower)
        return _triangles(*_all_round(low, high), -1.0 if grows else 1.0)
    taper = solve_taper(lower, upper, plane)
    way = _Way(slab, taper.distance_mm, rings, plane, chord_mm)
    feet, heads = _shares(lower, low, rings, plane), _shares(upper, high, rings, plane)
    bands = [_band(front, feet, heads, way, low, high) for front in taper.fronts]
    return np.concatenate([_triangles(foot, head, taper.side) for foot, head in bands])


# ------------------------------------------------------------------ rims
class _Rim:
    """A ring at a height with all points put into it, as corners."""

    def __init__(self, ring: Ints, z: int, level: Level) -> None:
        spots = [p for a, b in edges([ring]).tolist() for p in (tuple(a), *level.between(a, b))]
        self.points: list[Corner] = [(x, y, z) for x, y in spots]
        self._flat = np.array(spots, dtype=np.int64)

    def nearest(self, x: int, y: int) -> int:
        """Return the number of the point nearest to a place."""
        return int(np.hypot(*(self._flat - (x, y)).T).argmin())

    def stretch(self, start: int, end: int) -> list[Corner]:
        """Return the points from one number on to another, both included; all round if they are one."""
        n = len(self.points)
        many = (end - start) % n or n
        return [self.points[(start + k) % n] for k in range(many + 1)]


def _shares(loop: Loop, rim: _Rim, rings: Rings, plane: Plane) -> list[list[Corner]]:
    """Return each run's share of a rim."""
    starts = [rim.nearest(*rings.on_grid(*plane.corners[run.start])) for run in loop]
    following = [*starts[1:], starts[0]]
    return [
        [rim.points[a]] if a == b and len(loop) > 1 else rim.stretch(a, b)
        for a, b in zip(starts, following, strict=True)
    ]


def _all_round(low: _Rim, high: _Rim) -> tuple[list[Corner], list[Corner]]:
    """Return both rims once round from points that face each other."""
    x, y, _ = low.points[0]
    start = high.nearest(x, y)
    return [*low.points, low.points[0]], high.stretch(start, start)


# ------------------------------------------------------------------ bands
@frozen_record(eq=False)
class _Way:
    """How the joints go up: a shift of the fronts from 0 to ``distance_mm`` is the way from bottom to top."""

    slab: Slab
    distance_mm: float
    rings: Rings
    plane: Plane
    chord_mm: float

    def corner(self, x_mm: float, y_mm: float, t: float) -> Corner:
        """Return a place that the fronts have reached after moving by ``t``."""
        low, high = self.slab.z_from_mm, self.slab.z_to_mm
        z = low + (high - low) * t / self.distance_mm
        return (*self.rings.on_grid(x_mm, y_mm), self.rings.height(z))

    def joint(self, joint: Joint) -> list[Corner]:
        """Return the corners of a joint from its first node to its last; a bent one has some between."""
        # chords divide the bow by the square of their number
        many = max(1, ceil(sqrt(joint.bow_mm / self.chord_mm))) if joint.bow_mm > self.chord_mm / 4.0 else 1
        shares = [k / many for k in range(1, many)]
        times = [joint.t + share * (joint.end_t - joint.t) for share in shares]
        bends = [(p, t) for t in times if (p := joint.position(t)) is not None]
        first, last = self.plane.corners[joint.corner], self.plane.corners[joint.end_corner]
        nodes = [(first, joint.t), *bends, (last, joint.end_t)]
        return [self.corner(p.x, p.y, t) for p, t in nodes]

    def side(self, joints: list[Joint]) -> list[Corner]:
        """Return the corners along the joints of one side of a front, going up."""
        out: list[Corner] = []
        for joint in joints:
            out += self.joint(joint)
        return out


def _band(
    front: Front, feet: list[list[Corner]], heads: list[list[Corner]], way: _Way, low: _Rim, high: _Rim
) -> tuple[list[Corner], list[Corner]]:
    """Return the two chains round a front's band, from its lower start to its upper end: over its foot, over its head.

    Ends of joints at a rim are the rim's own points.
    """
    foot = feet[front.lower] if front.lower >= 0 else []
    head = heads[front.upper] if front.upper >= 0 else []
    left = [_on_rims(c, low, high) for c in way.side(front.left)]
    right = [_on_rims(c, low, high) for c in way.side(front.right)]
    return _once([*foot, *right]), _once([*left, *head])


def _on_rims(corner: Corner, low: _Rim, high: _Rim) -> Corner:
    """Return the corner, or the rim's nearest point if it lies at a rim's height."""
    for rim in (low, high):
        if corner[2] == rim.points[0][2]:
            return rim.points[rim.nearest(corner[0], corner[1])]
    return corner


def _once(chain: list[Corner]) -> list[Corner]:
    """Return a chain without points that are equal to the one before."""
    return [p for k, p in enumerate(chain) if k == 0 or p != chain[k - 1]]


def _triangles(below: list[Corner], above: list[Corner], side: float) -> Ints:
    """Return the triangles between two chains that share their ends or run beside each other, cross lines shortest.

    Of all ways to go along both chains the one of least total length is taken (dynamic programming). What would lie
    flat in a rim, or turned over as seen from above, costs more than any length.

    Args:
        below: chain along the foot.
        above: chain along the head.
        side: +1 if the wall goes up to the left of travel, -1 to the right.
    """
    p, q = np.array(below, dtype=np.float64), np.array(above, dtype=np.float64)
    n, m = len(p), len(q)
    span = np.sqrt(((p[:, None, :] - q[None, :, :]) ** 2).sum(axis=2))
    along_foot = span[1:] + _refused(p[:-1, None], p[1:, None], q[None], side)
    along_head = span[:, 1:] + _refused(p[:, None], q[None, 1:], q[None, :-1], side)
    cost = np.zeros((n, m))
    cost[1:, 0] = np.cumsum(along_foot[:, 0])
    cost[0, 1:] = np.cumsum(along_head[0])
    for d in range(2, n + m - 1):  # cells of one diagonal do not depend on each other
        i = np.arange(max(1, d - m + 1), min(n - 1, d - 1) + 1)
        j = d - i
        cost[i, j] = np.minimum(cost[i - 1, j] + along_foot[i - 1, j], cost[i, j - 1] + along_head[i, j - 1])
    return _way_back(below, above, cost, along_foot)


def _refused(a: Floats, b: Floats, c: Floats, side: float) -> Floats:
    """Return what triangles cost beyond their length: 0 for those that slope and face the right way."""
    u, v = b - a, c - a
    turned = side * (u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0]) < 0.0
    flat = (u[..., 2] == 0.0) & (v[..., 2] == 0.0)
    return np.where(turned | flat, _DEAR, 0.0)


def _way_back(below: list[Corner], above: list[Corner], cost: Floats, along_foot: Floats) -> Ints:
    """Return the triangles along the cheapest way, from its end."""
    out: list[tuple[Corner, Corner, Corner]] = []
    i, j = len(below) - 1, len(above) - 1
    while i or j:
        if j == 0 or (i and cost[i, j] == cost[i - 1, j] + along_foot[i - 1, j]):
            out.append((below[i - 1], below[i], above[j]))
            i -= 1
        else:
            out.append((below[i], above[j], above[j - 1]))
            j -= 1
    return np.array(out, dtype=np.int64).reshape(-1, 3, 3)
