"""Slabs to solid: equal contours of neighbouring slabs become one wall, neighbouring sections leave floors and tops."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from OCP.TopoDS import TopoDS_Shape

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL, Tolerance
from generator.outline.contour import Contour
from generator.part.part import Slab
from generator.part.runs import Loop, Plane, loop_of
from generator.solid.brep import Patch, Shop, is_kernel_error
from generator.solid.faces import flat_face, wall_face
from generator.solid.level import Level, make_level
from generator.solid.shells import solid_of_faces, without_seams
from generator.solid.taper import taper_faces


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


def make_solid(slabs: Sequence[Slab], *, feature: str = "part", tol: Tolerance = MODEL) -> TopoDS_Shape:
    """Return the closed solid of a stack of slabs (a compound if it falls apart into several).

    Args:
        slabs: bottom to top, each beginning where the one below ends.
        feature: name used in messages.
        tol: named tolerances; corners nearer than ``tol.same_mm`` are one.

    Raises:
        GeometryError: the kernel refuses, a taper cannot be made or the slabs leave nothing; names the feature.
    """
    plane = Plane.empty(tol)
    try:
        sides = _sides_of(slabs, plane)
        levels = _levels(slabs, sides, plane)
        shop = Shop(plane)
        faces = [flat_face(face, level.z_mm, shop) for level in levels for face in level.faces]
        faces += [face for side in _upright(sides) for face in _side_faces(side, levels, shop)]
        if not faces:
            raise GeometryError("the slabs leave no material")
        solid = solid_of_faces(faces, shop.builder)
        return without_seams(solid) if any(level.has_seams for level in levels) and _tapers_keep_shape(slabs) else solid
    except GeometryError as error:
        raise GeometryError(f"{feature}: {error}", contour=feature, point_mm=error.point_mm) from error
    except Exception as error:
        if not is_kernel_error(error):
            raise
        raise GeometryError(f"{feature}: no closed solid from {_heights(slabs)}: {error}", contour=feature) from error


def _tapers_keep_shape(slabs: Sequence[Slab]) -> bool:
    """Return False if a tapered wall loses a segment on its way up: the kernel's merging of faces crashes on those."""
    return all(len(wall.upper) >= len(wall.lower) for slab in slabs for wall in slab.walls if not wall.is_straight)


def _heights(slabs: Sequence[Slab]) -> str:
    return ", ".join(f"{len(s.walls)} walls from {s.z_from_mm:g} to {s.z_to_mm:g} mm" for s in slabs) or "no slabs"


def _sides_of(slabs: Sequence[Slab], plane: Plane) -> list[list[Side]]:
    """Return the walls of every slab as loops; a contour that many slabs share is read once."""
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


def _levels(slabs: Sequence[Slab], sides: Sequence[Sequence[Side]], plane: Plane) -> list[Level]:
    """Return the levels at every height, lowest first; between slabs that do not meet lies air."""
    levels = []
    for z in sorted({s.z_from_mm for s in slabs} | {s.z_to_mm for s in slabs}):
        below = [side.upper for group in sides for side in group if side.z_to_mm == z]
        above = [side.lower for group in sides for side in group if side.z_from_mm == z]
        levels.append(make_level(z, below, above, plane))
    return levels


def _upright(sides: Iterable[Iterable[Side]]) -> Iterator[Side]:
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


def _side_faces(side: Side, levels: Sequence[Level], shop: Shop) -> list[Patch]:
    at = {level.z_mm: level for level in levels}
    bottom, top = at[side.z_from_mm].above, at[side.z_to_mm].below
    if not side.is_straight:
        return taper_faces(side.z_from_mm, side.z_to_mm, side.lower, side.upper, bottom, top, shop)
    loop, n = side.lower, len(side.lower)
    posts = [
        shop.upright((loop.key, i, side.z_from_mm), run.start, side.z_from_mm, side.z_to_mm)
        for i, run in enumerate(loop)
    ]
    return [
        wall_face(
            run,
            side.z_from_mm,
            side.z_to_mm,
            bottom[loop.key, i],
            top[loop.key, i],
            (posts[i], posts[(i + 1) % n]),
            shop,
        )
        for i, run in enumerate(loop)
    ]
