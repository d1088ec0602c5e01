"""Rings woven into each other, over and under in turn."""

from __future__ import annotations

from math import acos, atan2, cos, pi, sin, tan
from typing import NamedTuple

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.region import Region
from generator.shapes.emblems.around import arc, each_turned, polar
from generator.shapes.emblems.finish import corner_radius, finished, size
from generator.shapes.emblems.remedy import demand
from generator.shapes.shape import Context, Shape


@frozen_record(kw_only=True)
class InterlacedRings:
    """Rings whose middles stand evenly on a circle; each is woven with its two neighbours."""

    size: float = size("Diameter of the circle round them.")
    rings: int = f.count("Number of rings.", default=3, at_least=2, at_most=12, example=3)
    band: float | None = f.length(
        "Width of a ring; without it 0.075 of the size, less where there are many rings.",
        default=None,
        above=0,
        at_most=500,
        example=2.8,
    )
    gap: float | None = f.length(
        "Gap on both sides of a ring that passes over another; without it 0.03 of the size, or as the corner radius "
        "asks.",
        default=None,
        above=0,
        at_most=100,
        example=1.2,
    )
    corner_radius: float = corner_radius()


class _Weave(NamedTuple):
    """What one ring and its neighbour look like: radius of the middle, half band, gap, distance of their centres."""

    radius: float
    half: float
    gap: float
    apart: float

    def angle(self, edge: float, other: float) -> float:
        """Return the angle, from the direction to the neighbour, at which two circles round the two centres meet."""
        return acos(self._cosine(edge, other))

    def meets(self, edge: float, other: float) -> bool:
        """Return True when those circles meet."""
        return abs(self._cosine(edge, other)) < 1.0

    def _cosine(self, edge: float, other: float) -> float:
        return (edge * edge + self.apart * self.apart - other * other) / (2.0 * edge * self.apart)


class _Cut(NamedTuple):
    """Where a ring passes under a neighbour.

    ``direction`` leads from its centre to the neighbour's; ``side`` is +1 for the crossing beyond it, where the ring,
    counter-clockwise, leaves the neighbour's inside, and -1 for the one before, where it enters it.
    """

    direction: float
    side: int = 1


def draw(params: InterlacedRings, context: Context) -> Region:
    """Return the rings, cut where they pass under others.

    Raises: GeometryError: the band, gap or corner radius do not fit; says what would.
    """
    return finished(params, _sharp)


def _sharp(params: InterlacedRings) -> list[Contour]:
    n = params.rings
    band, gap = _band(params), _gap(params)
    key, value = ("band", band) if band > gap else ("gap", gap)
    demand(_fits(params, band, gap), key, value, "leaves no room for the weave")
    weave = _weave(params, band, gap)
    away = params.size / 2.0 - band / 2.0 - weave.radius
    contours = []
    for chain in _pieces(n, weave):
        moved = [Vertex(v.x + away, v.y, v.bulge) for v in chain]
        contours += each_turned(moved, n, pi / 2.0)
    return contours


def _band(params: InterlacedRings) -> float:
    share = 0.075 if params.rings <= 3 else 0.17 / params.rings
    return share * params.size if params.band is None else params.band


def _weave(params: InterlacedRings, band: float, gap: float) -> _Weave:
    share = _radius_share(params.rings)
    away = (params.size - band) / 2.0 / (1.0 + share)
    return _Weave(share * away, band / 2.0, gap, 2.0 * away * sin(pi / params.rings))


def _fits(params: InterlacedRings, band: float, gap: float) -> bool:
    """Return True when every ring crosses its neighbours, and only them, with something left between the crossings."""
    if band >= 0.5 * params.size:
        return False
    n, w = params.rings, _weave(params, band, gap)
    near, far = w.radius - w.half - gap, w.radius + w.half + gap
    if near <= 0.0 or not all(w.meets(e, o) for e in (w.radius - w.half, w.radius + w.half) for o in (near, far)):
        return False
    if n > 3 and 2.0 * w.apart * cos(pi / n) <= 2.0 * w.radius + band:  # the next but one
        return False
    return all(_span(w, *pair) > 0.0 for pair in _cut_pairs(n, w))


def _gap(params: InterlacedRings) -> float:
    return max(0.03 * params.size, 2.1 * params.corner_radius) if params.gap is None else params.gap


def _radius_share(n: int) -> float:
    """Return a ring's radius over the distance of its centre: well across its neighbours, well clear of the others."""
    if n <= 3:
        return {2: 1.6, 3: 1.5}[n]
    return (sin(pi / n) + sin(2.0 * pi / n)) / 2.0


def _pieces(n: int, w: _Weave) -> list[list[Vertex]]:
    """Return the pieces of the ring on the +x axis about its own centre, as closed chains.

    A ring passes under the next one at their inner crossing and under the one before at their outer crossing, so that
    it goes over and under in turn and all rings are alike. Three rings go round the middle: there a ring comes to the
    inner crossing of the one before first, and passes under that one twice. Two rings have one crossing each.
    """
    return [_piece(w, *pair) for pair in _cut_pairs(n, w)]


def _cut_pairs(n: int, w: _Weave) -> list[tuple[_Cut, _Cut]]:
    """Return for every piece of a ring the cut behind it and the cut before it."""
    lean = pi / 2.0 + pi / n
    cuts = {2: [_Cut(lean)], 3: [_Cut(-lean, -1), _Cut(-lean)]}.get(n, [_Cut(-lean), _Cut(lean)])
    return [(cuts[k - 1], cuts[k]) for k in range(len(cuts))]


def _angles(w: _Weave, after: _Cut, before: _Cut) -> tuple[list[float], list[float]]:
    """Return where the piece between two cuts starts and ends, at its outer and its inner edge."""
    inner, outer = w.radius - w.half, w.radius + w.half
    near, far = inner - w.gap, outer + w.gap  # the neighbour's band, widened
    left, entered = (far, near) if after.side > 0 else (near, far), (near, far) if before.side > 0 else (far, near)
    starts = [after.direction + after.side * w.angle(e, left[0]) for e in (outer, inner)]
    ends = [before.direction + before.side * w.angle(e, entered[0]) for e in (outer, inner)]
    once = 2.0 * pi if before <= after else 0.0
    return starts, [a + once for a in ends]


def _span(w: _Weave, after: _Cut, before: _Cut) -> float:
    """Return the least angle that the piece between two cuts spans."""
    starts, ends = _angles(w, after, before)
    return min(e - s for s, e in zip(starts, ends, strict=True))


def _piece(w: _Weave, after: _Cut, before: _Cut) -> list[Vertex]:
    """Return the piece from behind one cut, counter-clockwise, to the next one."""
    starts, ends = _angles(w, after, before)
    out = arc(w.radius + w.half, starts[0], ends[0])
    back = arc(w.radius - w.half, ends[1], starts[1])
    out[-1] = out[-1]._replace(bulge=_cap(out[-1], back[0], polar(w.apart, before.direction)))
    back[-1] = back[-1]._replace(bulge=_cap(back[-1], out[0], polar(w.apart, after.direction)))
    return [*out, *back]


def _cap(a: Vertex, b: Vertex, centre: Vertex | Point) -> float:
    """Return the bulge of the short arc from a to b round a centre."""
    ax, ay, bx, by = a.x - centre.x, a.y - centre.y, b.x - centre.x, b.y - centre.y
    return tan(atan2(ax * by - ay * bx, ax * bx + ay * by) / 4.0)


SHAPE = Shape("interlaced_rings", InterlacedRings, draw, "Rings woven into each other, over and under in turn.")
