"""Horizontal sections: which contours bound the material between two heights.

A contour that nothing changes is handed on as it is, vertex for vertex, from slab to slab: walls that are equal can be
told by comparing, and booleans are made only where outlines really meet.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from math import inf

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.combine import difference, union
from generator.outline.contour import Contour, Point
from generator.outline.create import circle
from generator.outline.measure import Bounds, bounds, signed_area
from generator.outline.offset import offset_region
from generator.outline.region import EMPTY, Region
from generator.outline.transform import canonical
from generator.part.part import Feature, Part, Wall
from generator.part.relation import apart, box_of, boxes_touch, covers, disc_of, meets

__all__ = ["Taken", "feature_at", "profile_at", "section_walls"]


FINGERPRINT_DIGITS = 6
"""Contours that agree to this many decimals of a millimetre are one contour."""


REMEMBERED = 256
"""Offsets kept: slabs, layers, volume and checks ask for the same rim."""
NOTHING_MM = 1e-9
"""Rounding noise of a difference of heights."""


@frozen_record
class Taken:
    """What one feature takes away within a slab: its region at the lower and at the upper height."""

    lower: Region
    upper: Region
    name: str

    @property
    def is_straight(self) -> bool:
        """Return True if its walls are vertical."""
        return self.lower == self.upper


def feature_at(feature: Feature, z_mm: float) -> Region:
    """Return the region that a feature takes away at height ``z_mm``; a flared one grows evenly on its way up."""
    if feature.flare_mm == 0.0 or z_mm == feature.z_from_mm:
        return feature.region
    grown = feature.flare_mm * (z_mm - feature.z_from_mm) / feature.depth_mm
    return shifted(feature.region, grown)


def profile_at(part: Part, z_mm: float) -> Region:
    """Return the part's profile at height ``z_mm``: smaller within the edge break."""
    inward = part.rim_break_mm - (part.thickness_mm - z_mm)
    return shifted(part.profile, -inward) if inward > NOTHING_MM else part.profile


@lru_cache(maxsize=REMEMBERED)
def shifted(region: Region, by_mm: float) -> Region:
    """Return the region offset; a circle by its radius, so that it stays one without rounding."""
    if by_mm == 0.0:
        return region
    if disc := disc_of(region):
        radius = disc.radius_mm + by_mm
        return Region((circle(disc.centre, radius),)) if radius > 0.0 else EMPTY
    return offset_region(region, by_mm)


def section_walls(lower: Region, upper: Region, taken: Sequence[Taken]) -> tuple[Wall, ...]:
    """Return the walls of the material between two heights.

    Args:
        lower: the part's profile at the lower height.
        upper: the part's profile at the upper height.
        taken: what the features take away.

    Raises: GeometryError: a sloping wall runs into another one, or does not keep its contours on its way.
    """
    straight, sloping = _without_covered(taken)
    _refuse_meetings(lower, upper, straight, sloping)
    if lower == upper:
        walls = [Wall(c, c) for c in _cut(lower, [t.lower for t in straight])]
    else:
        inside = _clear_of_rim(upper, straight)
        walls = [*_paired(lower, upper, "the edge break"), *_holes(inside)]
    for t in sloping:
        walls += [Wall(w.lower.reversed(), w.upper.reversed()) for w in _paired(t.lower, t.upper, t.name)]
    return tuple(walls)


def _without_covered(taken: Sequence[Taken]) -> tuple[list[Taken], list[Taken]]:
    """Return straight and sloping takings without those that lie wholly inside another one."""
    boxes = [box_of(t.upper) for t in taken]
    kept: list[Taken] = []
    for i, t in enumerate(taken):
        near = [j for j, box in enumerate(boxes) if j != i and boxes_touch(box, boxes[i])]
        if not any(_covers(taken[j], t) and not (_covers(t, taken[j]) and i < j) for j in near):
            kept.append(t)
    return [t for t in kept if t.is_straight], [t for t in kept if not t.is_straight]


def _covers(outer: Taken, inner: Taken) -> bool:
    """Return True if ``inner`` takes nothing that ``outer`` does not take."""
    if outer.lower == inner.lower and outer.upper == inner.upper:
        return True
    return covers(outer.lower, inner.lower) and covers(outer.upper, inner.upper)


def _refuse_meetings(lower: Region, upper: Region, straight: Sequence[Taken], sloping: Sequence[Taken]) -> None:
    """Raise GeometryError if a sloping feature meets another feature or leaves the profile."""
    boxed = [(o, box_of(o.upper)) for o in (*sloping, *straight)]
    for i, (t, box) in enumerate(boxed[: len(sloping)]):
        for o, other in boxed[i + 1 :]:
            if boxes_touch(box, other) and meets(t.upper, o.upper):
                raise GeometryError(f"{t.name} runs into {o.name}", point_mm=_middle(t.upper))
        if not covers(upper, t.upper):
            raise GeometryError(f"{t.name} runs out over the edge", point_mm=_middle(t.upper))
    if lower != upper and not upper:
        raise GeometryError("the edge break leaves nothing of the top face")


def _clear_of_rim(upper: Region, straight: Sequence[Taken]) -> list[Region]:
    """Return the regions inside the rim; what lies outside takes nothing.

    Raises: GeometryError: one cuts into the edge break.
    """
    inside = []
    for t in straight:
        if covers(upper, t.lower):
            inside.append(t.lower)
        elif meets(upper, t.lower):
            raise GeometryError(f"{t.name} runs into the edge break", point_mm=_middle(t.lower))
    return inside


def _middle(region: Region) -> Point:
    return bounds(region).centre


def _cut(profile: Region, regions: Sequence[Region]) -> tuple[Contour, ...]:
    """Return the contours of the profile less the regions."""
    clusters = _clusters(regions)
    within = [r for r in clusters if covers(profile, r) and apart(profile, r)]
    across = [r for r in clusters if not any(r is w for w in within) and meets(profile, r)]
    rest = _same_contours(difference(profile, *across), profile) if across else profile
    return (*rest, *(c.reversed() for r in within for c in r))


def _holes(regions: Sequence[Region]) -> Iterable[Wall]:
    """Yield straight walls round regions that lie inside the profile."""
    for region in _clusters(regions):
        for contour in region:
            back = contour.reversed()
            yield Wall(back, back)


def _clusters(regions: Iterable[Region]) -> list[Region]:
    """Return the regions with those that meet united; those that stand alone stay as they are."""
    out: list[tuple[Region, Bounds]] = []
    for region in regions:
        box = box_of(region)
        friends = [r for r, other in out if boxes_touch(other, box) and not apart(r, region)]
        if friends:
            out = [(r, b) for r, b in out if not any(r is f for f in friends)]
            region = _same_contours(union(*friends, region), *friends, region)
        out.append((region, box_of(region)))
    return [r for r, _ in out]


def _same_contours(made: Region, *sources: Region) -> Region:
    """Return the made region with every contour that a source has, too, replaced by the source's own."""
    known = {_fingerprint(c): c for r in sources for c in r}
    return Region(tuple(known.get(_fingerprint(c), c) for c in made))


def _fingerprint(contour: Contour) -> tuple[tuple[float, ...], ...]:
    """Return what is the same for one contour however it is numbered and whatever its last digits are."""
    return tuple(tuple(round(x, FINGERPRINT_DIGITS) + 0.0 for x in v) for v in canonical(contour).vertices)


def _paired(lower: Region, upper: Region, name: str) -> list[Wall]:
    """Return sloping walls: every contour of the lower region with its own one in the upper region.

    Raises: GeometryError: the regions have not equally many contours.
    """
    if len(lower) != len(upper):
        raise GeometryError(f"{name} is too wide: contours merge, split or vanish on its way", point_mm=_middle(lower))
    left = list(upper)
    walls = []
    for contour in lower:
        own = min(left, key=lambda c: _box_gap(contour, c))
        left.remove(own)
        walls.append(Wall(contour, own))
    return walls


def _box_gap(a: Contour, b: Contour) -> float:
    """Return how far the boxes of two contours differ; contours that turn differently differ most."""
    if (signed_area(a) > 0.0) != (signed_area(b) > 0.0):
        return inf
    return sum(abs(p - q) for p, q in zip(bounds(a), bounds(b), strict=True))
