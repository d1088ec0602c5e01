"""An outer shape with a scalloped rim: even waves along a band stretched round the original."""

from __future__ import annotations

from bisect import bisect_right
from functools import partial
from itertools import accumulate
from math import atan2, cos, pi, sin
from typing import NamedTuple

import numpy as np

from generator.base import fields as f
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.region import Region
from generator.outline.spans import Floats
from generator.outline.tangent import swept_arc
from generator.shapes.outer.keep import Keep, circle_middle, keep_round, margin_field
from generator.shapes.outer.rounds import Rounds, band_round, grown, side_lengths
from generator.shapes.outer.sizes import Sizes, fitted
from generator.shapes.outer.smallest import refuse_bloated, smallest
from generator.shapes.shape import OUTER, Context, Shape

OUT, IN = "outward", "inward"
USUAL_MM = 18.0
"""Length of a scallop where no count is given (chosen by eye)."""
DEEP = 0.22
"""Depth as a share of a scallop's length, where it is not given (chosen by eye)."""
SHALLOWER = (1.0, 0.7, 0.5, 0.35, 0.25, 0.15, 0.1)
"""Where few scallops of this depth do not go round the corners, they are made shallower by these."""
FEWEST = 6
LEAST_MM = 0.2
"""Of a belly or tip no less may be left between the hollows beside it."""
_HALVINGS = 40


@frozen_record(kw_only=True)
class Scalloped:
    """Scallops of equal length all round; where they meet, they are rounded."""

    margin: float = margin_field()
    count: int | None = f.count(
        "Number of scallops; without it, as many as come out about 18 mm long.",
        default=None,
        at_least=4,
        at_most=120,
        example=24,
    )
    scallops: str = f.word(
        "`outward`: round bellies with narrow hollows between them; `inward`: round bites with narrow tips between "
        "them.",
        (OUT, IN),
        default=OUT,
        example=IN,
    )
    depth: float | None = f.length(
        "From the outermost to the innermost point of a scallop on a straight side; without it, a good fifth of its "
        "length.",
        default=None,
        above=0,
        at_most=200,
        example=3,
    )
    edge_radius: float = f.length(
        "Radius of the narrow hollows or tips; for hollows at least that of the cutter.",
        default=2.0,
        above=0,
        at_most=200,
        example=1.5,
    )
    direction: float = f.angle(
        "The first scallop has its middle here, so that a symmetric original gets a symmetric rim.",
        default=pi / 2.0,
        example=90,
    )


def draw(params: Scalloped, context: Context) -> Region:
    """Return the scalloped band, grown until its innermost points keep the margin.

    Raises: GeometryError: depth and radius do not go together; says the smallest change that does.
    """
    keep = keep_round(context, params.margin, turn=params.direction, middle=circle_middle)
    return fitted(params, keep, _outline, Sizes(("count", "depth"), ("count", "depth", "edge_radius")))


def _outline(params: Scalloped, keep: Keep) -> Contour:
    band = grown(band_round(keep), keep.margin)
    path = _Path.along(band)
    count = params.count or max(FEWEST, round(path.length / USUAL_MM))
    shares = [1.0] if params.depth is not None else SHALLOWER
    for share in shares:
        scalloped = partial(_rim, params, band, path.on_axis(), count, DEEP * share)
        try:
            # on a curved band the innermost points lie farther out, so that less than the margin may be enough
            outer = scalloped(smallest(scalloped, keep, -keep.margin, step=keep.margin))
            refuse_bloated(outer, keep, "so few scallops reach far beyond the corners that they go round")
            return outer
        except GeometryError:
            if share == shares[-1]:
                raise
    raise AssertionError("there is a share")


def _rim(params: Scalloped, band: Rounds, first: _Place, count: int, deep: float, by: float) -> Contour:
    """Return scallops whose innermost points lie on the band grown by ``by`` where it is straight."""
    path = _Path.along(grown(band, by))
    step = path.length / count
    half = step / 2.0
    depth = params.depth if params.depth is not None else deep * step
    if depth > half:
        raise GeometryError(f"a scallop {step:.4g} mm long can be {half:.4g} mm deep at most, not {depth:g} mm")
    # circles one step apart, joined by arcs: both radii together follow from the depth, (h² + d²) / 2d
    both = (half * half + depth * depth) / (2.0 * depth)
    if params.edge_radius >= both:
        raise GeometryError(
            f"an edge radius of {params.edge_radius:g} mm leaves nothing of scallops {depth:.4g} mm deep"
        )
    belly, bite = both - params.edge_radius, params.edge_radius
    start = path.reach(first)
    if params.scallops == IN:
        belly, bite = bite, belly
        start += half
    out = bite - (half * half - depth * depth) / (2.0 * depth)
    widest = pi if params.scallops == IN else 1.5 * pi
    return _chain([path.beside(start + step * k, out) for k in range(count)], belly, bite, widest)


class _Place(NamedTuple):
    """A place on a ring that keeps its meaning when the ring grows: round, outward direction, mm on along the side."""

    number: int
    angle: float
    past: float


class _Path(NamedTuple):
    """A ring of rounds to walk along: where each round begins, the length of its arc, and of it all, mm."""

    rounds: Rounds
    begins: list[float]
    length: float

    @classmethod
    def along(cls, rounds: Rounds) -> _Path:
        """Return the path along a ring of rounds."""
        if any(r.radius <= 0.0 for r in rounds):
            raise GeometryError("the original leaves no room for scallops inside of the margin")
        steps = [r.radius * r.sweep + side for r, side in zip(rounds, side_lengths(rounds), strict=True)]
        ends = list(accumulate(steps))
        return cls(rounds, [0.0, *ends[:-1]], ends[-1])

    def place(self, along: float) -> _Place:
        """Return the place so far along."""
        along %= self.length
        i = bisect_right(self.begins, along) - 1
        r, on = self.rounds[i], along - self.begins[i]
        arc = r.radius * r.sweep
        return _Place(i, r.first + min(on, arc) / r.radius, max(on - arc, 0.0))

    def reach(self, place: _Place) -> float:
        """Return how far along a place is."""
        r = self.rounds[place.number]
        return self.begins[place.number] + r.radius * (place.angle - r.first) + place.past

    def beside(self, along: float, out: float) -> Point:
        """Return the point so far along, moved outwards."""
        i, angle, past = self.place(along)
        p, c, s = self.rounds[i].at(angle), cos(angle), sin(angle)
        return Point(p.x - past * s + out * c, p.y + past * c + out * s)

    def on_axis(self) -> _Place:
        """Return where the ray of +x from the origin, which lies inside, meets the path."""
        low, high = 0.0, self.length
        origin = self._bearing(0.0)
        for _ in range(_HALVINGS):  # bearings grow all the way round
            middle = (low + high) / 2.0
            if (self._bearing(middle) - origin) % (2.0 * pi) < -origin % (2.0 * pi):
                low = middle
            else:
                high = middle
        return self.place(high)

    def _bearing(self, along: float) -> float:
        p = self.beside(along, 0.0)
        return atan2(p.y, p.x)


def _chain(centres: list[Point], belly: float, bite: float, widest: float) -> Contour:
    """Return circles joined in a ring by hollow arcs, tangent to both; none may show more than ``widest``, radians.

    Two neighbours and the centre of the hollow between them are an isosceles triangle with sides belly + bite.
    """
    at: Floats = np.array(centres)
    after: Floats = np.roll(at, -1, axis=0)
    way = after - at
    apart, side = np.hypot(way[:, 0], way[:, 1]), belly + bite
    if (apart <= 0.0).any() or (apart >= 2.0 * side).any():
        raise GeometryError("the scallops do not reach round the corners")
    right = np.column_stack([way[:, 1], -way[:, 0]]) / apart[:, None]
    hollow = (at + after) / 2.0 + right * np.sqrt(side * side - apart * apart / 4.0)[:, None]
    leave, meet = at + (hollow - at) * (belly / side), after + (hollow - after) * (belly / side)
    if (np.hypot(*(meet - leave).T) < LEAST_MM).any():
        raise GeometryError("the scallops are too wide for the corner that they go round")
    come = np.roll(meet, 1, axis=0)
    (ax, ay), (bx, by) = (come - at).T, (leave - at).T
    turns = np.arctan2(ax * by - ay * bx, ax * bx + ay * by) % (2.0 * pi)
    if (np.hypot(ax - bx, ay - by) < LEAST_MM).any() or (turns > widest).any():
        raise GeometryError("the scallops are too narrow for the corner that they go round")
    bulges = -np.tan(np.arcsin(apart / (2.0 * side)) / 2.0)
    vertices: list[Vertex] = []
    for first, last, turn, bulge in zip(come.tolist(), leave.tolist(), turns.tolist(), bulges.tolist(), strict=True):
        vertices += [*swept_arc(Point(*first), Point(*last), turn), Vertex(last[0], last[1], bulge)]
    return Contour(tuple(vertices))


SHAPE = Shape("scalloped", Scalloped, draw, "A rim of even scallops along a band round the original.", family=OUTER)
