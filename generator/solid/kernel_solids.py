"""What the solid kernel makes of parts: solids, their STEP text, and stand-ins that texts are put together with."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from OCP.BRep import BRep_Builder
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS_Compound, TopoDS_Shape

from generator.base.errors import GeometryError
from generator.base.units import MODEL, Tolerance
from generator.part.part import Part, Slab
from generator.part.slabs import slabs
from generator.part.toleranced import Toleranced
from generator.solid.assemble import make_solid
from generator.solid.sized_faces import SizedFaces, sized_faces
from generator.solid.step_write import Product, unfinished_step
from generator.solid.unfinished import Unfinished

if TYPE_CHECKING:
    from cadquery import Workplane

__all__ = ["SlabsOf", "part_solid", "sized_solid", "stand_ins", "to_cadquery"]

REMEMBERED: Final = 8
"""Solids that a process keeps at hand: those of one plan, and of the plan before it."""

SlabsOf = Callable[[Part], tuple[Slab, ...]]


@lru_cache(maxsize=REMEMBERED)
def part_solid(part: Part, slabs_of: SlabsOf = slabs, tol: Tolerance = MODEL) -> TopoDS_Shape:
    """Return a part's solid.

    Raises:
        GeometryError: it cannot be made; names part and heights.
    """
    stack = slabs_of(part)
    if not stack:
        raise GeometryError(f"{part.name}: nothing is left of it", contour=part.name)
    return make_solid(stack, feature=part.name, tol=tol)


@lru_cache(maxsize=REMEMBERED)
def sized_solid(
    part: Part, sizes: tuple[Toleranced, ...], slabs_of: SlabsOf, tol: Tolerance
) -> tuple[TopoDS_Shape, tuple[SizedFaces, ...]]:
    """Return a part's solid, and sizes with their faces, which are faces of that very solid."""
    solid = part_solid(part, slabs_of, tol)
    return solid, sized_faces(solid, sizes) if sizes else ()


def to_cadquery(part: Part, slabs_of: SlabsOf = slabs, tol: Tolerance = MODEL) -> Workplane:
    """Return a cadquery Workplane that holds the part's solid, mm, bottom face at z = 0, for going on by hand.

    Raises:
        GeometryError: the solid cannot be made.
    """
    from cadquery import Shape, Workplane  # heavy: only who asks for it pays for it

    return Workplane("XY").newObject([Shape.cast(part_solid(part, slabs_of, tol))])


def stand_ins(heights_mm: Sequence[float], counts: Sequence[int], *, assembly: bool) -> Unfinished:
    """Return the kernel's text of parts made of cubes of 1 mm.

    Args:
        heights_mm: where every part sits.
        counts: of how many cubes each is.
        assembly: whether they are products of an assembly; else there is one.
    """
    made = [
        Product(f"cubes-{i}", _cubes(count), "#000000", "", 0.0, z)
        for i, (z, count) in enumerate(zip(heights_mm, counts, strict=True))
    ]
    return unfinished_step(made, assembly=assembly)


def _cubes(count: int) -> TopoDS_Shape:
    cubes = [BRepPrimAPI_MakeBox(gp_Pnt(2.0 * i, 0.0, 0.0), 1.0, 1.0, 1.0).Solid() for i in range(count)]
    if count == 1:
        return cubes[0]
    builder, whole = BRep_Builder(), TopoDS_Compound()
    builder.MakeCompound(whole)
    for cube in cubes:
        builder.Add(whole, cube)
    return whole
