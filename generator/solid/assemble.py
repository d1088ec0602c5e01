"""Slabs to solid: equal contours of neighbouring slabs become one wall, neighbouring sections leave floors and tops."""

from __future__ import annotations

from collections.abc import Sequence

from OCP.TopoDS import TopoDS_Shape

from generator.base.errors import GeometryError
from generator.base.units import MODEL, Tolerance
from generator.part.part import Slab
from generator.part.runs import Plane
from generator.solid.brep import Patch, Shop, is_kernel_error
from generator.solid.faces import flat_face, wall_face
from generator.solid.level import Level
from generator.solid.shells import solid_of_faces, without_seams
from generator.solid.sides import Side, levels_of, sides_of, upright_sides
from generator.solid.taper import taper_faces


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
        sides = sides_of(slabs, plane)
        levels = levels_of(slabs, sides, plane)
        shop = Shop(plane)
        faces = [flat_face(face, level.z_mm, shop) for level in levels for face in level.faces]
        faces += [face for side in upright_sides(sides) for face in _side_faces(side, levels, shop)]
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
