"""Edges of a part as seen straight onto one of its faces, exact, from the walls of its slabs.

Between two slabs an edge is a contour that one of them has and the other has not. It is seen unless material of a slab
nearer to the eye lies over it. Features whose every contour is seen whole keep their names, so that a file's reader
finds them; the rest is ``edges``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.intersect import point_at
from generator.outline.measure import Bounds, bounds
from generator.outline.predicates import Side, contains_points
from generator.outline.region import Region
from generator.outline.transform import ACROSS_Y, canonical, mirrored, moved, scaled
from generator.paper.sheet import Track
from generator.part.part import Face, Part, Slab
from generator.part.section import feature_at

__all__ = ["FaceEdges", "Placement", "edges_seen"]

SAME_DIGITS: Final = 6


@frozen_record
class Placement:
    """How a part lies on the sheet: turned over or not, scaled, moved.

    Attributes:
        scale: mm on paper a mm of the part.
        is_turned: seen from below, left and right changed.
        dx, dy: added last, mm on paper.
    """

    scale: float
    is_turned: bool = False
    dx: float = 0.0
    dy: float = 0.0

    def region(self, region: Region) -> Region:
        """Return a region of the part as it lies on the sheet."""
        seen = mirrored(region, ACROSS_Y) if self.is_turned else region
        return moved(scaled(seen, self.scale), self.dx, self.dy)

    def point(self, p: Point) -> Point:
        """Return a point of the part as it lies on the sheet."""
        return Point((-p.x if self.is_turned else p.x) * self.scale + self.dx, p.y * self.scale + self.dy)

    def track(self, track: Track) -> Track:
        """Return a track of the part as it lies on the sheet; its travel keeps its order."""
        sign = -1.0 if self.is_turned else 1.0
        out = []
        for v in track.vertices:
            p = self.point(Point(v.x, v.y))
            out.append(Vertex(p.x, p.y, sign * v.bulge))
        return Track(tuple(out), track.is_closed)

    def box(self, region: Region) -> Bounds:
        """Return the box of a region of the part on the sheet."""
        return bounds(self.region(region))


@frozen_record
class FaceEdges:
    """What is seen of a face: outlines by name, each seen whole, and what is left of edges, in the part's frame."""

    named: tuple[tuple[str, Region], ...]
    rest: tuple[Track, ...]


def edges_seen(part: Part, slabs: Sequence[Slab], face: Face) -> FaceEdges:
    """Return the edges that are seen looking straight at ``face``."""
    contours = _visible(slabs, face)
    whole = {_key(c): c for c, tracks in contours if tracks is None}
    named: list[tuple[str, Region]] = []
    used: set[tuple[Vertex, ...]] = set()
    for name, region in _outlines(part, face):
        keys = [_key(c) for c in region]
        if keys and all(k in whole for k in keys) and not used.issuperset(keys):
            named.append((name, region))
            used.update(keys)
    rest: list[Track] = []
    for contour, tracks in contours:
        if tracks is None:
            if _key(contour) not in used:
                rest.append(Track(contour.vertices, True))
        else:
            rest += tracks
    return FaceEdges(tuple(named), tuple(rest))


def _outlines(part: Part, face: Face) -> Iterator[tuple[str, Region]]:
    """Yield the outlines that may be seen by name: the profile, then the features at their upper and lower heights."""
    yield part.layer, part.profile
    for f in part.features:
        near, far = (f.z_to_mm, f.z_from_mm) if face is Face.TOP else (f.z_from_mm, f.z_to_mm)
        yield f.name, feature_at(f, near)
        if f.flare_mm:
            yield f"{f.name}-foot", feature_at(f, far)


def _key(contour: Contour) -> tuple[Vertex, ...]:
    """Return what is the same for a contour however it is numbered and travelled."""
    both = (canonical(_rounded(contour)).vertices, canonical(_rounded(contour.reversed())).vertices)
    return min(both)


def _rounded(contour: Contour) -> Contour:
    return Contour(tuple(Vertex(*(round(x, SAME_DIGITS) + 0.0 for x in v)) for v in contour.vertices))


def _visible(slabs: Sequence[Slab], face: Face) -> list[tuple[Contour, list[Track] | None]]:
    """Return the contours that are seen, None beside those seen whole, else the tracks that are seen of them."""
    order = list(reversed(slabs)) if face is Face.TOP else list(slabs)
    out: list[tuple[Contour, list[Track] | None]] = []
    seen = _halfway(slabs)
    nearer: list[Region] = []
    for slab in order:
        near, far = (slab.upper, slab.lower) if face is Face.TOP else (slab.lower, slab.upper)
        for region in (near, far) if near != far else (near,):
            for contour in region:
                key = _key(contour)
                if key not in seen:
                    seen.add(key)
                    found = _uncovered(contour, nearer)
                    if found is None or found:
                        out.append((contour, found))
        nearer = [*nearer, near, far] if near != far else [*nearer, near]
    return out


def _halfway(slabs: Sequence[Slab]) -> set[tuple[Vertex, ...]]:
    """Return the contours at which one slope goes on from slab to slab: no edge."""
    out: set[tuple[Vertex, ...]] = set()
    for below, above in pairwise(slabs):
        ends = {_key(w.upper) for w in below.walls if not w.is_straight}
        out |= ends & {_key(w.lower) for w in above.walls if not w.is_straight}
    return out


def _uncovered(contour: Contour, nearer: Iterable[Region]) -> list[Track] | None:
    """Return None if no nearer material lies over a contour, else the runs of its segments that are free."""
    segments = list(contour.segments())
    middles = [point_at(s, 0.5) for s in segments]
    free = [True] * len(segments)
    for region in nearer:
        if not region:
            continue
        for k, side in enumerate(contains_points(region, middles)):
            free[k] = free[k] and side is not Side.INSIDE
    if all(free):
        return None
    runs: list[list[int]] = []
    for k, is_free in enumerate(free):
        if is_free and runs and runs[-1][-1] == k - 1:
            runs[-1].append(k)
        elif is_free:
            runs.append([k])
    return [
        Track((*(contour.vertices[k] for k in run), Vertex(segments[run[-1]].end.x, segments[run[-1]].end.y)))
        for run in runs
    ]
