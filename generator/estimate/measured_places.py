"""Where on a part something is measured: the datum, extremes of outlines, walls beside pockets, spots on floors."""

from __future__ import annotations

from math import hypot, inf
from typing import Final

import numpy as np

from generator.estimate.characteristic import Datum, Kind
from generator.outline.combine import difference, union
from generator.outline.contour import Contour, Point, Segment, next_rows
from generator.outline.distance import points_depth
from generator.outline.intersect import Meetings, meet_segments
from generator.outline.measure import bounds, signed_area
from generator.outline.region import Region
from generator.outline.remembered import remembered
from generator.outline.separate import separated
from generator.part.heights import level
from generator.part.part import Plan
from generator.part.relation import box_of, disc_of

__all__ = [
    "datum_of",
    "extreme",
    "inside_radius",
    "largest_piece",
    "pieces_of",
    "round_holes",
    "segments_of",
    "spot_in",
    "wall_beside",
]

GRID: Final = 24
"""So many by so many spots are tried for one that lies well inside."""
LEAST_SWEEP: Final = 0.35
"""An arc of less than some 20° gives a radius gauge nothing to lie against (our own choice)."""
SAME_MM: Final = 1e-6


def datum_of(plan: Plan) -> Datum:
    """Return the datum of all positions: the centre of the first bolt hole; without one the lower left corner.

    A hole can be found with a pin and a caliper, and what bolts must meet is the other holes. The outer shape is as a
    rule curved: its box has no corner that a caliper could be held to, so it serves only where there is no hole.
    The part is set straight by the farthest hole that lies level with the datum, if one does.
    """
    if not plan.bolts:
        box = box_of(plan.cover.profile)
        corner = "lower left corner of the smallest box round the cover, as seen from the top"
        return Datum(Point(box.xmin, box.ymin), "", corner, "lay it against a square")
    first, others = plan.bolts[0], plan.bolts[1:]
    at = Point(level(first.at.x), level(first.at.y))
    what, feature = f"centre of the hole of {first.name}", f"hole-{first.name}"
    if not others:
        return Datum(at, feature, what, "set the outer shape straight by its box")
    level_ones = [b for b in others if min(abs(b.at.x - at.x), abs(b.at.y - at.y)) <= SAME_MM]
    far = max(level_ones or others, key=lambda b: round(hypot(b.at.x - at.x, b.at.y - at.y), 6))
    held = {0: Kind.POSITION_X, 1: Kind.POSITION_Y}
    level_in = [k for k, d in enumerate((far.at.x - at.x, far.at.y - at.y)) if abs(d) <= SAME_MM]
    straight = (f"hole-{far.name}", held[level_in[0]]) if level_in else None
    return Datum(at, feature, what, f"set the part straight by the hole of {far.name}", straight)


def segments_of(region: Region) -> list[Segment]:
    """Return all lines and arcs of a region."""
    return [s for contour in region for s in _segments(contour)]


def _segments(contour: Contour) -> list[Segment]:
    a = contour.array
    ends = next_rows(a)
    return [
        Segment(Point(float(p[0]), float(p[1])), Point(float(q[0]), float(q[1])), float(p[2]))
        for p, q in zip(a, ends, strict=True)
    ]


def largest_piece(region: Region) -> Region:
    """Return the piece of a region with the largest outline, holes included; loose pieces are measured there."""
    return max(separated(region), key=lambda piece: signed_area(piece.contours[0]), default=region)


def pieces_of(region: Region) -> int:
    """Return of how many pieces a region is."""
    return sum(signed_area(c) > 0.0 for c in region)


def round_holes(region: Region) -> tuple[tuple[float, Point], ...]:
    """Return diameter and centre of the round holes in a region: the island in a ring's pocket, the hole in a ring."""
    holes = (disc_of(Region((c.reversed(),))) for c in region if signed_area(c) < 0.0)
    return tuple((2.0 * d.radius_mm, d.centre) for d in holes if d)


def extreme(region: Region, dx: int, dy: int) -> Point:
    """Return the middle of where a region reaches farthest in direction (``dx``, ``dy``), one of them 0, the other ±1.

    Along a straight side that is its middle.
    """
    box = box_of(region)
    edge = {(-1, 0): box.xmin, (1, 0): box.xmax, (0, -1): box.ymin, (0, 1): box.ymax}[dx, dy]
    touching: list[float] = []
    for s in segments_of(region):
        for p in (s.start, s.end, *_outermost(s, dx, dy)):
            if abs((p.x if dx else p.y) - edge) <= SAME_MM:
                touching.append(p.y if dx else p.x)
    middle = (min(touching) + max(touching)) / 2.0 if touching else (box.centre.y if dx else box.centre.x)
    return Point(edge, middle) if dx else Point(middle, edge)


def _outermost(s: Segment, dx: int, dy: int) -> tuple[Point, ...]:
    if not s.is_arc:
        return ()
    c, r = s.centre, s.radius_mm
    return (Point(c.x + dx * r, c.y + dy * r),)


@remembered
def wall_beside(pocket: Region, profile: Region, dx: int, dy: int) -> tuple[float, Point] | None:
    """Return the wall from where a pocket reaches farthest straight out to the outline, mm, and its middle.

    None where the outline is not met, or is met at once.
    """
    start = extreme(pocket, dx, dy)
    reach = bounds(profile).diagonal_mm + hypot(start.x, start.y)
    ray = Segment(start, Point(start.x + dx * reach, start.y + dy * reach), 0.0)
    nearest = inf
    for s in segments_of(profile):
        meeting = meet_segments(ray, s)
        for contact in meeting.contacts if isinstance(meeting, Meetings) else ():
            nearest = min(nearest, abs(contact.point.x - start.x) + abs(contact.point.y - start.y))
    if nearest in (0.0, inf):
        return None
    return nearest, Point(start.x + dx * nearest / 2.0, start.y + dy * nearest / 2.0)


@remembered
def inside_radius(region: Region) -> tuple[float, Point] | None:
    """Return the smallest radius in the inside corners of a pocket, mm, and the middle of its arc; None for none."""
    best: tuple[float, Point] | None = None
    for contour in region:
        for s in _segments(contour):
            if s.bulge > 0.0 and s.sweep >= LEAST_SWEEP and (best is None or s.radius_mm < best[0] - SAME_MM):
                c, m = s.centre, Point((s.start.x + s.end.x) / 2.0, (s.start.y + s.end.y) / 2.0)
                far = hypot(m.x - c.x, m.y - c.y)
                k = s.radius_mm / far if far > SAME_MM else 0.0
                best = (s.radius_mm, Point(c.x + (m.x - c.x) * k, c.y + (m.y - c.y) * k))
    return best


@remembered
def spot_in(region: Region, without: tuple[Region, ...] = ()) -> Point | None:
    """Return a spot well inside a region and outside others: the deepest of a grid; None if it has none."""
    left = difference(region, union(*without)) if without else region
    if not left:
        return None
    box = bounds(left)
    share = (np.arange(GRID) + 0.5) / GRID
    x, y = np.meshgrid(box.xmin + share * box.width_mm, box.ymin + share * box.height_mm)
    points = np.column_stack((x.ravel(), y.ravel()))
    depths = points_depth(left, points)
    k = int(np.argmax(np.round(depths, 6)))
    return Point(float(points[k, 0]), float(points[k, 1])) if depths[k] > 0.0 else None
