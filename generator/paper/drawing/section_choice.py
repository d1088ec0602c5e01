"""Which plane a section goes through: it shows most of what a part has, each feature where its cut can be read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from math import inf
from typing import Final

from generator.outline.chords import inner_point
from generator.outline.predicates import Side, contains_point
from generator.outline.region import Region
from generator.paper.drawing.section import Plane, Run, stretches
from generator.part.part import Feature, Part, Plan, Slab
from generator.part.relation import box_of, disc_of

__all__ = ["is_readable", "plane_through"]

X, Y = "x", "y"
WEIGHTS: Final = (("bottom-pocket", 4.0), ("inlay-pocket", 8.0), ("seats", 3.0), ("bolt-holes", 5.0))
"""What a section should show, most wanted first (our own choice); everything else counts 2."""
AGAIN: Final = 0.05
"""What one layer shows again counts by this share."""
STEPS: Final = 12
"""So many places for a step are tried."""
STRAIGHT: Final = 1.5
"""A straight plane is kept if a stepped one shows less than this more (our own choice)."""
READ_MM: Final = 3.0
"""A cut so long can be read, or one of so much of the feature … (our own choice)."""
READ_SHARE: Final = 0.6
READABLE: Final = 0.5
"""… and one of at least this share of that is dimensioned."""
QUARTERS: Final = (0.5, 0.25, 0.75)
"""Levels across an inlay pocket that are tried: letters are cut best beside their middle."""
CLEAR_MM: Final = 1.0
"""The plane steps so far from any edge at least."""


def plane_through(plan: Plan, part: Part, slabs: Sequence[Slab]) -> Plane:
    """Return the plane that shows most of a part; a stepped one only where no straight one shows an inlay pocket."""
    planes = [p for p in _straight(plan, part) if _cuts(slabs, p)]
    planes = planes or [p for p in (*_spare(part), *_through(slabs)) if _cuts(slabs, p)]
    best = max(planes, key=lambda plane: (_shown(part, plane), -planes.index(plane)))
    wanted = [f for f in part.features if f.layer.startswith("inlay-pocket") and f.region]
    if part is plan.cover and wanted and not any(is_readable(f, best) for f in wanted):
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
    pockets = [box_of(f.region) for f in part.features if f.layer.startswith("inlay-pocket") and f.region]
    middles = [(b.xmin + q * b.width_mm, b.ymin + q * b.height_mm) for b, q in product(pockets, QUARTERS)]
    for along, low, wide in ((X, box.xmin, box.width_mm), (Y, box.ymin, box.height_mm)):
        across = 1 if along == X else 0
        for bolt_level in sorted({b.at[across] for b in plan.bolts}):
            for level in sorted({m[across] for m in middles}):
                for k in range(1, STEPS):
                    s = low + wide * k / STEPS
                    for a, b in ((bolt_level, level), (level, bolt_level)):
                        plane = Plane(along, (Run(-inf, s, a), Run(s, inf, b)))
                        if _steps_well(slabs, plane, s):
                            yield plane


def _steps_well(slabs: Sequence[Slab], plane: Plane, s: float) -> bool:
    """Return True if at both levels and a little beside the step the same heights are material."""
    points = [plane.point(s + d, run.level) for d in (-CLEAR_MM, 0.0, CLEAR_MM) for run in plane.runs]
    inside = False
    for slab in slabs:
        for region in (slab.lower,) if slab.lower == slab.upper else (slab.lower, slab.upper):
            sides = {contains_point(region, p) for p in points}
            if len(sides) > 1 or Side.ON in sides:
                return False
            inside = inside or Side.INSIDE in sides
    return inside


def is_readable(f: Feature, plane: Plane) -> bool:
    """Return True if a plane cuts so much of a feature that a dimension of it says something."""
    return _share(f.region, plane) >= READABLE


def _share(region: Region, plane: Plane) -> float:
    """Return how well a plane shows a region, 0 to 1: a round one by its chord, others by the longest cut."""
    cuts = stretches(region, plane)
    if not cuts:
        return 0.0
    disc, box = disc_of(region), box_of(region)
    longest = max(b - a for a, b in cuts)
    if disc is not None:
        return longest / (2.0 * disc.radius_mm)
    return min(1.0, longest / min(READ_MM, READ_SHARE * max(box.width_mm, box.height_mm)))


def _shown(part: Part, plane: Plane) -> float:
    """Return how much of a part's features a plane goes through, a little more for longer cuts."""
    total, layers = 0.0, set[str]()
    for f in part.features:
        share = _share(f.region, plane) if f.region else 0.0
        if share:
            weight = share * next((w for word, w in WEIGHTS if f.layer.startswith(word)), 2.0)
            total += AGAIN * weight if f.layer in layers else weight
            layers.add(f.layer)
    return total + 1e-3 * sum(b - a for a, b in stretches(part.profile, plane))
