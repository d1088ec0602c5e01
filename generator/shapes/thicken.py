"""Give a path a width: smooth runs become contours directly, without a boolean; runs are united at sharp corners."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from math import atan2, hypot, tan

from generator.base.errors import GeometryError
from generator.outline import create
from generator.outline.carrier import Line, meet_lines, tangents
from generator.outline.combine import union
from generator.outline.contour import Contour, Point, Segment, Vertex
from generator.outline.predicates import explain_contour
from generator.outline.region import Region
from generator.shapes.steps import Walk

SMOOTH_RAD = 1e-9
"""A joint that turns by less is no corner."""
SHARPEST = 10.0
"""A pointed outside corner reaches at most this many half widths beyond the centre line, else it is refused."""


def thickened(way: Walk, width_mm: float, *, round_ends: bool, sharp_corners: bool) -> Region:
    """Return the region within half of ``width_mm`` of the path.

    Args:
        way: the centre line; not closed.
        width_mm: of the band.
        round_ends: half circles beyond the ends; else the band ends square with the centre line.
        sharp_corners: pointed outside corners; else round ones.
    Raises: GeometryError: an arc is too tight for the width, or a corner too sharp to be pointed.
    """
    half = width_mm / 2.0
    segments = _segments(way)
    _refuse_tight(segments, half)
    corners = [i for i in range(1, len(segments)) if abs(_turn(segments[i - 1], segments[i])) > SMOOTH_RAD]
    bounds = [0, *corners, len(segments)]
    pieces: list[Region] = []
    for a, b in itertools.pairwise(bounds):
        caps = (round_ends and a == 0, round_ends and b == len(segments))
        pieces += _run(segments[a:b], half, caps)
    for i in corners:
        pieces.append(_corner(segments[i - 1], segments[i], half, sharp_corners))
    return pieces[0] if len(pieces) == 1 else union(*pieces)


def _segments(way: Walk) -> list[Segment]:
    ends = [*(Point(v.x, v.y) for v in way.vertices[1:]), way.at]
    return [Segment(Point(v.x, v.y), e, v.bulge) for v, e in zip(way.vertices, ends, strict=True)]


def _refuse_tight(segments: Sequence[Segment], half: float) -> None:
    for i, s in enumerate(segments):
        if s.radius_mm <= half:
            raise GeometryError(
                f"the centre line turns with radius {s.radius_mm:.6g} at ({s.start.x:.6g}, {s.start.y:.6g}): too "
                f"tight for a band {2.0 * half:g} wide; radius more than {half:g}, or width less than "
                f"{2.0 * s.radius_mm:.6g}",
                segment=i,
                point_mm=s.start,
            )


def _turn(before: Segment, after: Segment) -> float:
    u, v = tangents(before)[1], tangents(after)[0]
    return atan2(u.x * v.y - u.y * v.x, u.x * v.x + u.y * v.y)


def _run(segments: Sequence[Segment], half: float, caps: tuple[bool, bool]) -> list[Region]:
    """Return a smooth run thickened, in one piece if it does not come back on itself."""
    contour = _ribbon(segments, half, caps)
    if len(segments) == 1 or explain_contour(contour) is None:
        return [Region.of([contour])]
    n = len(segments)
    return [
        Region.of([_ribbon([s], half, (caps[0] and i == 0, caps[1] and i == n - 1))]) for i, s in enumerate(segments)
    ]


def _ribbon(segments: Sequence[Segment], half: float, caps: tuple[bool, bool]) -> Contour:
    """Return the contour to the right of the run, round its end, and back to the left of it."""
    right: list[Vertex] = []
    left: list[Vertex] = []
    for s in segments:
        right.append(_beside(s, -half, 0, s.bulge))
        left.append(_beside(s, half, 1, -s.bulge))
    last, first = segments[-1], segments[0]
    end = _beside(last, -half, 1, 1.0 if caps[1] else 0.0)
    back = _beside(first, half, 0, 1.0 if caps[0] else 0.0)
    return Contour((*right, end, *reversed(left), back))


def _beside(s: Segment, distance_mm: float, which: int, bulge: float) -> Vertex:
    """Return the vertex ``distance_mm`` to the left of the segment's start (0) or end (1)."""
    p, u = (s.start, s.end)[which], tangents(s)[which]
    return Vertex(p.x - distance_mm * u.y, p.y + distance_mm * u.x, bulge)


def _corner(before: Segment, after: Segment, half: float, sharp: bool) -> Region:
    """Return what fills the outside of a sharp corner: a slice of a disc, or the pointed piece up to the crossing."""
    turn = _turn(before, after)
    side = -half if turn > 0.0 else half
    at = after.start
    a, b = _beside(before, side, 1, 0.0), _beside(after, side, 0, 0.0)
    if not sharp:
        fan = [Vertex(*at), a, b] if turn > 0.0 else [Vertex(*at), b, a]
        fan[1] = Vertex(fan[1].x, fan[1].y, tan(abs(turn) / 4.0))
        return Region.of([Contour(tuple(fan))])
    u, v = tangents(before)[1], tangents(after)[0]
    meets = meet_lines(Line(Point(a.x, a.y), u), Line(Point(b.x, b.y), v))
    if not meets or hypot(meets[0].x - at.x, meets[0].y - at.y) > SHARPEST * half:
        raise GeometryError(
            f"the corner at ({at.x:.6g}, {at.y:.6g}) is too sharp to be pointed: use `corners: round`",
            point_mm=at,
        )
    return Region.of([create.polygon([at, (a.x, a.y), meets[0], (b.x, b.y)])])
