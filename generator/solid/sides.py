"""The walls of a stack of slabs, and the levels between them: equal contours of neighbouring slabs become one wall."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.part.part import Slab
from generator.part.runs import Loop, Plane, loop_of
from generator.solid.level import Level, make_level

__all__ = ["Side", "levels_of", "sides_of", "upright_sides"]


@frozen_record
class Side:
    """A wall between two heights; ``upper`` differs from ``lower`` if it tapers."""

    z_from_mm: float
    z_to_mm: float
    lower: Loop
    upper: Loop

    @property
    def is_straight(self) -> bool:
        """Return True if the wall is upright."""
        return self.lower.key == self.upper.key


def sides_of(slabs: Sequence[Slab], plane: Plane) -> list[list[Side]]:
    """Return the walls of every slab as loops; a contour that many slabs share is read once.

    Raises: GeometryError: a wall tapers to nothing.
    """
    known: dict[Contour, Loop | None] = {}

    def loop(contour: Contour) -> Loop | None:
        if contour not in known:
            known[contour] = loop_of(contour, plane)
        return known[contour]

    return [_sides(slab, loop) for slab in slabs]


def _sides(slab: Slab, loop: Callable[[Contour], Loop | None]) -> list[Side]:
    sides = []
    for wall in slab.walls:
        lower = loop(wall.lower)
        upper = lower if wall.is_straight else loop(wall.upper)
        if lower is not None and upper is not None:
            sides.append(Side(slab.z_from_mm, slab.z_to_mm, lower, upper))
        elif (lower is None) != (upper is None):
            raise GeometryError(f"a wall from {slab.z_from_mm:g} to {slab.z_to_mm:g} mm tapers to nothing")
    return sides


def levels_of(slabs: Sequence[Slab], sides: Sequence[Sequence[Side]], plane: Plane) -> list[Level]:
    """Return the levels at every height, lowest first; between slabs that do not meet lies air."""
    levels = []
    for z in sorted({s.z_from_mm for s in slabs} | {s.z_to_mm for s in slabs}):
        below = [side.upper for group in sides for side in group if side.z_to_mm == z]
        above = [side.lower for group in sides for side in group if side.z_from_mm == z]
        levels.append(make_level(z, below, above, plane))
    return levels


def upright_sides(sides: Iterable[Iterable[Side]]) -> Iterator[Side]:
    """Yield the walls; straight ones that go on with the same contour are one."""
    open_: dict[object, Side] = {}
    for group in sides:
        still: dict[object, Side] = {}
        for side in group:
            if not side.is_straight:
                yield side
                continue
            before = open_.pop(side.lower.key, None)
            if before is not None and before.z_to_mm == side.z_from_mm:
                side = Side(before.z_from_mm, side.z_to_mm, side.lower, side.upper)
            elif before is not None:
                yield before
            still[side.lower.key] = side
        yield from open_.values()
        open_ = still
    yield from open_.values()
