"""A part cut along a plane: where it runs, and the area that is cut, exact wherever walls are upright.

The plane stands upright along x or along y; it may step once from one level to another, so that it goes through a bolt
and through an inlay pocket that lies beside it. The step lies where both levels cut the same heights: the cut area
shows no line there, as ISO 128-3 has it (from memory). Sloping walls are straight between the heights of their slab.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.outline.chords import chords, inner_point
from generator.outline.combine import union
from generator.outline.contour import Contour, Point, Vertex
from generator.outline.predicates import Side, contains_point
from generator.outline.region import Region
from generator.part.part import Part, Plan, Slab
from generator.part.relation import box_of

__all__ = ["Plane", "Run", "cut_region", "plane_through", "stretches"]

X, Y = "x", "y"
LEAST_MM: Final = 1e-9
WEIGHTS: Final = (("bottom-pocket", 4.0), ("inlay-pocket", 8.0), ("seats", 3.0), ("bolt-holes", 5.0))
"""What a section should show, most wanted first (our own choice); everything else counts 2."""
AGAIN: Final = 0.05
"""What one layer shows again counts by this share."""
STEPS: Final = 12
"""So many places for a step are tried."""
STRAIGHT: Final = 1.5
"""A straight plane is kept if a stepped one shows less than this more (our own choice)."""


@frozen_record
class Run:
    """A stretch of a plane: from ``start`` to ``end`` along it, at one ``level``, mm."""

    start: float
    end: float
    level: float


@frozen_record
class Plane:
    """An upright plane along ``x`` or ``y``: its runs, one after the other; the first and the last are endless."""

    along: str
    runs: tuple[Run, ...]

    @classmethod
    def at(cls, along: str, level: float) -> Plane:
        """Return the straight plane at one level."""
        return cls(along, (Run(-inf, inf, level + 0.0),))

    @property
    def direction(self) -> tuple[float, float]:
        """Return the unit vector along the plane."""
        return (1.0, 0.0) if self.along == X else (0.0, 1.0)

    def point(self, s: float, level: float) -> Point:
        """Return the point of the part's plane at ``s`` along and ``level`` across."""
        return Point(s, level) if self.along == X else Point(level, s)

    def coordinates(self, p: Point) -> tuple[float, float]:
        """Return how far along and how far across a point of the part's plane lies."""
        return (p.x, p.y) if self.along == X else (p.y, p.x)


def stretches(region: Region, plane: Plane) -> list[tuple[float, float]]:
    """Return where a plane runs through a region, along the plane, mm."""
    out: list[tuple[float, float]] = []
    for run in plane.runs:
        for c in chords(region, plane.point(0.0, run.level), plane.direction):
            a, b = max(c.start, run.start), min(c.end, run.end)
            if b - a > LEAST_MM:
                out.append((a, b))
    return out


def plane_through(plan: Plan, part: Part, slabs: Sequence[Slab]) -> Plane:
    """Return the plane that shows most of a part; a stepped one only where no straight one shows an inlay pocket."""
    planes = [p for p in _straight(plan, part) if _cuts(slabs, p)]
    planes = planes or [p for p in (*_spare(part), *_through(slabs)) if _cuts(slabs, p)]
    best = max(planes, key=lambda plane: (_shown(part, plane), -planes.index(plane)))
    wanted = [f for f in part.features if f.layer.startswith("inlay-pocket") and f.region]
    if part is plan.cover and wanted and not any(stretches(f.region, best) for f in wanted):
        stepped = list(_stepped(plan, part, slabs))
        if stepped:
            found = max(stepped, key=lambda plane: (_shown(part, plane), -stepped.index(plane)))
            return found if _shown(part, found) > _shown(part, best) + STRAIGHT else best
    return best


def _straight(plan: Plan, part: Part) -> Iterator[Plane]:
    """Yield planes through every bolt of the cover; through the middles of features and of the outline otherwise."""
    if part is plan.cover and plan.bolts:
        for bolt in plan.bolts:
            yield Plane.at(X, bolt.at.y)
            yield Plane.at(Y, bolt.at.x)
        return
    for region in (*(f.region for f in part.features if f.region), part.profile):
        middle = box_of(region).centre
        yield Plane.at(X, middle.y)
        yield Plane.at(Y, middle.x)


def _through(slabs: Sequence[Slab]) -> Iterator[Plane]:
    """Yield planes through a point within each slab."""
    for slab in slabs:
        inside = inner_point(slab.lower)
        if inside is not None:
            yield Plane.at(X, inside.y)


def _cuts(slabs: Sequence[Slab], plane: Plane) -> bool:
    """Return True if a plane meets any material."""
    return any(stretches(slab.lower, plane) for slab in slabs)


def _spare(part: Part) -> Iterator[Plane]:
    """Yield planes all over a part, for one that has nothing left where its features have their middles."""
    box = box_of(part.profile)
    for k in range(1, STEPS):
        yield Plane.at(X, box.ymin + box.height_mm * k / STEPS)
        yield Plane.at(Y, box.xmin + box.width_mm * k / STEPS)


def _stepped(plan: Plan, part: Part, slabs: Sequence[Slab]) -> Iterator[Plane]:
    """Yield planes from a bolt's level to the middle level of an inlay pocket, and the other way round."""
    box = box_of(part.profile)
    middles = [box_of(f.region).centre for f in part.features if f.layer.startswith("inlay-pocket") and f.region]
    for along, low, wide in ((X, box.xmin, box.width_mm), (Y, box.ymin, box.height_mm)):
        across = 1 if along == X else 0
        for bolt_level in sorted({b.at[across] for b in plan.bolts}):
            for level in sorted({m[across] for m in middles}):
                for k in range(1, STEPS):
                    s = low + wide * k / STEPS
                    for a, b in ((bolt_level, level), (level, bolt_level)):
                        plane = Plane(along, (Run(-inf, s, a), Run(s, inf, b)))
                        if _alike(slabs, plane.point(s, a), plane.point(s, b)):
                            yield plane


def _alike(slabs: Sequence[Slab], a: Point, b: Point) -> bool:
    """Return True if at both points the same heights are material, and neither lies on an edge."""
    for slab in slabs:
        sides = {contains_point(slab.lower, a), contains_point(slab.lower, b)}
        if len(sides) > 1 or Side.ON in sides:
            return False
    return any(contains_point(slab.lower, a) is Side.INSIDE for slab in slabs)


def _shown(part: Part, plane: Plane) -> float:
    """Return how much of a part's features a plane goes through, a little more for longer cuts."""
    total, layers = 0.0, set[str]()
    for f in part.features:
        if f.region and stretches(f.region, plane):
            weight = next((w for word, w in WEIGHTS if f.layer.startswith(word)), 2.0)
            total += AGAIN * weight if f.layer in layers else weight
            layers.add(f.layer)
    return total + 1e-3 * sum(b - a for a, b in stretches(part.profile, plane))


def cut_region(slabs: Sequence[Slab], plane: Plane) -> Region:
    """Return the area that a plane cuts: x along the plane, y the height above the bottom face, mm.

    Raises: GeometryError, OffsetError: the pieces cannot be united.
    """
    pieces = [piece for slab in slabs for piece in _pieces(slab, plane)]
    return union(*(Region((p,)) for p in pieces))


def _pieces(slab: Slab, plane: Plane) -> Iterator[Contour]:
    """Yield the cut pieces of one slab, four corners each."""
    low, high = slab.z_from_mm, slab.z_to_mm
    lower, upper = stretches(slab.lower, plane), stretches(slab.upper, plane)
    if len(lower) != len(upper):  # a slope that ends in between: what both heights have
        lower = upper = lower if len(lower) < len(upper) else upper
    for (a, b), (c, d) in zip(lower, upper, strict=True):
        yield Contour((Vertex(a, low), Vertex(b, low), Vertex(d, high), Vertex(c, high)))
