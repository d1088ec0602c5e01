"""How far a region must be moved, or shrunk, until it keeps clear of others: found by trying, and tried once more."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import ceil, cos, floor, hypot, inf, pi, sin

from generator.base.errors import GeometryError
from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.measure import area
from generator.outline.offset import offset_region
from generator.outline.region import Region
from generator.outline.transform import moved
from generator.part.nearness import wall_mm
from generator.part.relation import box_of, gap_between, meets
from generator.recipe.model import Recipe

__all__ = ["COMPASS", "Room", "halved", "outline_at", "shift_clear", "shift_into", "shrink_clear", "told_place"]

Way = tuple[float, float]
"""A direction in the plane, of length 1."""

COMPASS: tuple[Way, ...] = tuple((cos(k * pi / 4.0), sin(k * pi / 4.0)) for k in range(8))
PUSHES = 8
"""A region that is pushed clear of one thing may meet the next; after so many it is not pushed on."""
HALVINGS = 14
STEP = 100.0
"""Places are told in hundredths of a millimetre."""
STAYS = 0.5
"""What is shrunk keeps at least this share of its area: less would be another drawing (own choice)."""
SQUARE = 1e-9
"""A component of a direction below this is none."""


@frozen_record
class Room:
    """What a region may lie in, and what it must keep clear of.

    Attributes:
        inside: what holds it; None for no bounds.
        rivals: what it must not meet.
        wall_mm: least wall to any of them.
    """

    inside: Region | None
    rivals: Sequence[Region]
    wall_mm: float

    def holds(self, region: Region) -> bool:
        """Return True if the region has its wall to everything."""
        return self.is_held(region) and all(self.is_clear(region, r) for r in self.rivals)

    def is_held(self, region: Region) -> bool:
        """Return True if the region lies in what holds it, with the wall."""
        if self.inside is None:
            return True
        wall, _, over = wall_mm(self.inside, region)
        return not over and wall >= self.wall_mm - MODEL.same_mm

    def is_clear(self, region: Region, rival: Region) -> bool:
        """Return True if the region keeps the wall to one rival."""
        a, b = box_of(region), box_of(rival)
        far = hypot(
            max(a.xmin - b.xmax, b.xmin - a.xmax, 0.0),
            max(a.ymin - b.ymax, b.ymin - a.ymax, 0.0),
        )
        if far >= self.wall_mm:
            return True
        return not meets(region, rival) and gap_between(region, rival).distance_mm >= self.wall_mm - MODEL.same_mm


def halved(good: float, bad: float, is_good: Callable[[float], bool], halvings: int = HALVINGS) -> float:
    """Return the value nearest to ``bad`` that is good, by bisection; ``good`` is known to be."""
    for _ in range(halvings):
        middle = (good + bad) / 2.0
        good, bad = (middle, bad) if is_good(middle) else (good, middle)
    return good


# ------------------------------------------------------------------ in the recipe
def outline_at(recipe: Recipe, path: str) -> OutlineSpec:
    """Return the outline that a feature of the top face, or artwork of an insert, is drawn from.

    Args:
        recipe: the recipe.
        path: the feature's, such as ``inlays.crest``, ``inlays.crest.artwork.plot`` or ``cover.engravings.line``.
    """
    keys = path.split(".")
    if keys[0] == "cover":
        return recipe.cover.engravings[keys[2]].outline
    inlay = recipe.inlays[keys[1]]
    return inlay.outline if len(keys) == 2 else inlay.artwork[keys[3]].outline


def told_place(place: Way) -> str:
    """Return a place as it can stand in any recipe: ``[3.2 mm, 0 mm]``."""
    x, y = (f"{round(c, 6) + 0.0:.10g} mm" for c in place)
    return f"[{x}, {y}]"


# ------------------------------------------------------------------ out of the way
def shift_clear(region: Region, room: Room, at: Way, first: Way | None = None) -> Way | None:
    """Return the place, mm, to set instead of ``at`` so that the region is clear of everything; None if none is found.

    Of the places in eight directions, and in ``first``, the nearest; in hundredths.
    """
    best, least = None, inf
    for way in COMPASS if first is None else (first, *COMPASS):
        place = _pushed(region, room, at, way, least)
        if place is not None and (far := round(hypot(place[0] - at[0], place[1] - at[1]), 3)) < least:
            best, least = place, far
    return best


def _pushed(region: Region, room: Room, at: Way, way: Way, less_than: float) -> Way | None:
    """Return the first place in a direction where the region is clear of every rival, if what holds it holds it.

    None, too, where that is not nearer than ``less_than``.
    """
    by = 0.0
    for _ in range(PUSHES):
        here = _along(region, way, by)
        blocking = [r for r in room.rivals if not room.is_clear(here, r)]
        if not blocking:
            return next((p for p in _places(at, way, by) if room.holds(_at(region, at, p))), None)
        if less_than < inf:
            farthest = _along(region, way, less_than)
            if not all(room.is_clear(farthest, r) for r in blocking):
                return None
        by = max(_clear_of(region, room, r, way, by) for r in blocking)
    return None


def _clear_of(region: Region, room: Room, rival: Region, way: Way, by: float) -> float:
    """Return how far the region must go in a direction, mm, until it is clear of one rival; ``by`` is not enough."""
    a, b = box_of(region), box_of(rival)
    x = (b.xmax - a.xmin if way[0] > 0.0 else a.xmax - b.xmin) + room.wall_mm
    y = (b.ymax - a.ymin if way[1] > 0.0 else a.ymax - b.ymin) + room.wall_mm
    far = min((d / abs(w) for d, w in ((x, way[0]), (y, way[1])) if abs(w) > SQUARE), default=inf)
    return halved(far, by, lambda t: room.is_clear(_along(region, way, t), rival))


# ------------------------------------------------------------------ into its bounds
def shift_into(region: Region, room: Room, at: Way) -> Way | None:
    """Return the place, mm, to set instead of ``at`` so that the region lies in its bounds; None if none is found.

    Tried towards the middle of the bounds, and towards it along each axis; the nearest counts.
    """
    assert room.inside is not None
    a, b = box_of(region).centre, box_of(room.inside).centre
    found = []
    for x, y in ((b.x - a.x, b.y - a.y), (b.x - a.x, 0.0), (0.0, b.y - a.y)):
        far = hypot(x, y)
        if far <= MODEL.same_mm:
            continue
        way = (x / far, y / far)
        if room.holds(_along(region, way, far)):
            by = halved(far, 0.0, lambda t, way=way: room.holds(_along(region, way, t)))  # type: ignore[misc]
            found += [p for p in _places(at, way, by) if room.holds(_at(region, at, p))][:1]
    return min(found, key=lambda p: round(hypot(p[0] - at[0], p[1] - at[1]), 3), default=None)


# ------------------------------------------------------------------ smaller
def shrink_clear(region: Region, room: Room) -> float | None:
    """Return by how much, mm, the region must shrink all round to be clear of everything; None where that spoils it."""
    whole, pieces = area(region), len(region)

    def is_good(by: float) -> bool:
        try:
            small = offset_region(region, -by)
        except GeometryError:
            return False
        return len(small) == pieces and area(small) >= STAYS * whole and room.holds(small)

    box = box_of(region)
    largest = min(box.xmax - box.xmin, box.ymax - box.ymin) / 2.0
    good = next((t for t in (largest * k / 8.0 for k in range(1, 8)) if is_good(t)), None)
    if good is None:
        return None
    by = floor(halved(good, max(0.0, good - largest / 8.0), is_good) * STEP) / STEP
    return by if is_good(by) else by + 1.0 / STEP


def _along(region: Region, way: Way, by: float) -> Region:
    return moved(region, way[0] * by, way[1] * by)


def _at(region: Region, at: Way, place: Way) -> Region:
    return moved(region, place[0] - at[0], place[1] - at[1])


def _places(at: Way, way: Way, by: float) -> Iterator[Way]:
    """Yield the place so far off in a direction, in hundredths; a trifle nearer first: ``by`` was found by halving."""
    for more in (-0.5, 0.0, 0.5, 1.0, 2.0):
        yield (
            _outwards(at[0], way[0] * (by + more / STEP)),
            _outwards(at[1], way[1] * (by + more / STEP)),
        )


def _outwards(start: float, by: float) -> float:
    """Return ``start + by`` in hundredths, rounded away from the start; the start itself where nothing moves."""
    if abs(by) <= SQUARE:
        return start
    end = (start + by) * STEP
    return (ceil(end - MODEL.same_mm) if by > 0.0 else floor(end + MODEL.same_mm)) / STEP
