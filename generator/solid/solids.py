"""The solid side of a build: makes each part's solid once and answers what the outputs ask."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import lru_cache
from importlib.metadata import PackageNotFoundError, version
from typing import TYPE_CHECKING, Final

from OCP.BRep import BRep_Builder
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS_Compound, TopoDS_Shape

from generator.base.errors import GeometryError
from generator.base.sharing import NOTHING_SHARED, Sharing, digest_of
from generator.base.units import MODEL, Tolerance
from generator.part.part import Part, Plan, Slab
from generator.part.slabs import slabs
from generator.part.solid_facts import ReadSize, SolidFacts, product_name
from generator.part.toleranced import Toleranced
from generator.solid.anonymous import facts_bytes, facts_of
from generator.solid.assemble import make_solid
from generator.solid.compose import composed
from generator.solid.facts import solid_facts
from generator.solid.read_again import ReadAgain
from generator.solid.sized_faces import SizedFaces, sized_faces
from generator.solid.step_read import read_facts
from generator.solid.step_read_sizes import read_sizes
from generator.solid.step_text import Header
from generator.solid.step_write import Label, Product, finished_step, unfinished_step

if TYPE_CHECKING:
    from cadquery import Workplane

REMEMBERED: Final = 8
"""Solids that a process keeps at hand: those of one plan, and of the plan before it."""

SlabsOf = Callable[[Part], tuple[Slab, ...]]


class StepSolids:
    """Solids of one plan; fulfils the protocol ``outputs.output.Solids``.

    Args:
        plan: the 2.5D plan.
        slabs_of: a part's slabs, bottom to top.
        tol: named tolerances.
        sizes: sizes with limits that the models carry, of all parts.
        sharing: keeps what other plans with the same parts can use.
    """

    def __init__(
        self,
        plan: Plan,
        slabs_of: SlabsOf = slabs,
        tol: Tolerance = MODEL,
        sizes: Sequence[Toleranced] = (),
        sharing: Sharing = NOTHING_SHARED,
    ) -> None:
        self._plan, self._slabs_of, self._tol, self._sizes = plan, slabs_of, tol, tuple(sizes)
        self._sharing = sharing
        self._facts: dict[str, SolidFacts] = {}
        self._again = ReadAgain(sharing, read_facts, read_sizes)

    def shape(self, part: Part) -> TopoDS_Shape:
        """Return a part's solid.

        Raises:
            GeometryError: it cannot be made; names part and heights.
        """
        return part_solid(_on_the_bench(part), self._slabs_of, self._tol)

    def facts(self, part: Part) -> SolidFacts:
        """Return the facts of a part's solid; faults are looked for in the file that is made of it."""
        if part.name not in self._facts:
            key = digest_of(_on_the_bench(part), self._tol)
            made = self._sharing.get(
                "solid-facts", key, lambda: facts_bytes((solid_facts("", self.shape(part), judged=False),))
            )
            (facts,) = facts_of(made)
            self._facts[part.name] = replace(facts, product=product_name(self._plan.name, part.name))
        return self._facts[part.name]

    def sizes(self, part: Part) -> tuple[Toleranced, ...]:
        """Return the sizes with limits that a part's model carries: those of which its solid has the faces."""
        own = self._own_sizes(part)
        if not own:
            return ()
        key = digest_of(_on_the_bench(part), own, self._tol)
        made = self._sharing.get("sized", key, lambda: json.dumps([f.size.number for f in self._sized(part)]).encode())
        numbers = set(json.loads(made))
        return tuple(size for size in own if size.number in numbers)

    def read_sizes(self, data: bytes) -> tuple[ReadSize, ...]:
        """Return the sizes with limits in a STEP file, as the kernel reads them.

        Raises:
            ProofError: the bytes cannot be read back.
        """
        return self._again.sizes(data)

    def part_step(self, part: Part) -> bytes:
        """Return the STEP file of one part."""
        header = self._header(f"{part.name}.step", f"{self._plan.title}: {part.name}, {part.material.name}")
        return self._step((part,), header, "")

    def assembly_step(self) -> bytes:
        """Return the STEP file of cover and inserts as named, coloured products."""
        header = self._header("assembly.step", f"{self._plan.title}: cover and inserts")
        return self._step(self._plan.parts, header, self._plan.name)

    def read_step(self, data: bytes) -> tuple[SolidFacts, ...]:
        """Return the facts of every product of a STEP file.

        Raises:
            ProofError: the bytes cannot be read back.
        """
        return self._again.facts(data)

    def _step(self, parts: Sequence[Part], header: Header, assembly: str) -> bytes:
        """Return the STEP file of parts; of what it consists but names, that of other plans is taken."""
        made = self._unfinished_assembly(parts) if assembly else self._unfinished(parts[0])
        labels = [
            Label(product_name(self._plan.name, p.name), p.material.colour, p.material.name, p.material.density_kg_m3)
            for p in parts
        ]
        return finished_step(made, labels, header, assembly=assembly, revision=self._plan.revision)

    def _unfinished(self, part: Part) -> bytes:
        key = digest_of(_on_the_bench(part), self._own_sizes(part), self._tol)
        return self._sharing.get("step-text", key, lambda: unfinished_step([self._product(part)], assembly=False))

    def _unfinished_assembly(self, parts: Sequence[Part]) -> bytes:
        heights = tuple(p.seat_z_mm for p in parts)
        made = composed([self._unfinished(p) for p in parts], lambda counts: _small_ones(heights, counts))
        if made is None:  # not written as the kernel usually does
            made = unfinished_step([self._product(p) for p in parts], assembly=True)
        return made

    def _own_sizes(self, part: Part) -> tuple[Toleranced, ...]:
        return tuple(size for size in self._sizes if size.part == part.name)

    def _product(self, part: Part) -> Product:
        material = part.material
        return Product(
            product_name(self._plan.name, part.name),
            self.shape(part),
            material.colour,
            material.name,
            material.density_kg_m3,
            part.seat_z_mm,
            self._sized(part),
        )

    def _sized(self, part: Part) -> tuple[SizedFaces, ...]:
        """Return the sizes of a part with their faces."""
        own = self._own_sizes(part)
        return _sized_faces(_on_the_bench(part), own, self._slabs_of, self._tol) if own else ()

    def _header(self, name: str, description: str) -> Header:
        return Header(name, description, preprocessor=f"OCCT {_version('cadquery-ocp')}", origin=_origin())


def _on_the_bench(part: Part) -> Part:
    """Return a part as it lies by itself: where it sits in the cover does not matter to its solid."""
    return replace(part, seat_z_mm=0.0)


def make_solids(
    plan: Plan,
    slabs_of: SlabsOf = slabs,
    tol: Tolerance = MODEL,
    sizes: Sequence[Toleranced] = (),
    sharing: Sharing = NOTHING_SHARED,
) -> StepSolids:
    """Return the solid side of a plan; a part's solid is made when it is first asked for."""
    return StepSolids(plan, slabs_of, tol, sizes, sharing)


@lru_cache(maxsize=REMEMBERED)
def _small_ones(heights_mm: tuple[float, ...], counts: tuple[int, ...]) -> bytes:
    """Return the kernel's text of an assembly of cubes of 1 mm at these heights, in parts of so many cubes."""
    made = [
        Product(f"cubes-{i}", _cubes(count), "#000000", "", 0.0, z)
        for i, (z, count) in enumerate(zip(heights_mm, counts, strict=True))
    ]
    return unfinished_step(made, assembly=True)


def _cubes(count: int) -> TopoDS_Shape:
    cubes = [BRepPrimAPI_MakeBox(gp_Pnt(2.0 * i, 0.0, 0.0), 1.0, 1.0, 1.0).Solid() for i in range(count)]
    if count == 1:
        return cubes[0]
    builder, whole = BRep_Builder(), TopoDS_Compound()
    builder.MakeCompound(whole)
    for cube in cubes:
        builder.Add(whole, cube)
    return whole


@lru_cache(maxsize=REMEMBERED)
def _sized_faces(
    part: Part, sizes: tuple[Toleranced, ...], slabs_of: SlabsOf, tol: Tolerance
) -> tuple[SizedFaces, ...]:
    return sized_faces(part_solid(part, slabs_of, tol), sizes)


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


def to_cadquery(part: Part, slabs_of: SlabsOf = slabs, tol: Tolerance = MODEL) -> Workplane:
    """Return a cadquery Workplane that holds the part's solid, mm, bottom face at z = 0, for going on by hand.

    Raises:
        GeometryError: the solid cannot be made.
    """
    from cadquery import Shape, Workplane  # heavy: only who asks for it pays for it

    return Workplane("XY").newObject([Shape.cast(part_solid(part, slabs_of, tol))])


def _origin() -> str:
    return f"coverplate {_version('coverplate')}".strip()


def _version(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:
        return ""
