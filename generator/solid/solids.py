"""The solid side of a build: makes each part's solid once and answers what the outputs ask."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from importlib.metadata import PackageNotFoundError, version
from typing import TYPE_CHECKING

from OCP.TopoDS import TopoDS_Shape

from generator.base.errors import GeometryError
from generator.base.units import MODEL, Tolerance
from generator.part.part import Part, Plan, Slab
from generator.part.slabs import slabs
from generator.part.solid_facts import ReadSize, SolidFacts, product_name
from generator.part.toleranced import Toleranced
from generator.solid.assemble import make_solid
from generator.solid.facts import solid_facts
from generator.solid.sized_faces import SizedFaces, sized_faces
from generator.solid.step_read import read_facts
from generator.solid.step_read_sizes import read_sizes
from generator.solid.step_text import Header
from generator.solid.step_write import Product, write_step

if TYPE_CHECKING:
    from cadquery import Workplane

SlabsOf = Callable[[Part], tuple[Slab, ...]]


class StepSolids:
    """Solids of one plan; fulfils the protocol ``outputs.output.Solids``.

    Args:
        plan: the 2.5D plan.
        slabs_of: a part's slabs, bottom to top.
        tol: named tolerances.
        sizes: sizes with limits that the models carry, of all parts.
    """

    def __init__(
        self, plan: Plan, slabs_of: SlabsOf = slabs, tol: Tolerance = MODEL, sizes: Sequence[Toleranced] = ()
    ) -> None:
        self._plan, self._slabs_of, self._tol, self._sizes = plan, slabs_of, tol, tuple(sizes)
        self._shapes: dict[str, TopoDS_Shape] = {}
        self._facts: dict[str, SolidFacts] = {}
        self._found: dict[str, tuple[SizedFaces, ...]] = {}

    def shape(self, part: Part) -> TopoDS_Shape:
        """Return a part's solid.

        Raises:
            GeometryError: it cannot be made; names part and heights.
        """
        if part.name not in self._shapes:
            self._shapes[part.name] = part_solid(part, self._slabs_of, self._tol)
        return self._shapes[part.name]

    def facts(self, part: Part) -> SolidFacts:
        """Return the facts of a part's solid."""
        if part.name not in self._facts:
            self._facts[part.name] = solid_facts(product_name(self._plan.name, part.name), self.shape(part))
        return self._facts[part.name]

    def sizes(self, part: Part) -> tuple[Toleranced, ...]:
        """Return the sizes with limits that a part's model carries: those of which its solid has the faces."""
        return tuple(found.size for found in self._sized(part))

    def read_sizes(self, data: bytes) -> tuple[ReadSize, ...]:
        """Return the sizes with limits in a STEP file, as the kernel reads them.

        Raises:
            ProofError: the bytes cannot be read back.
        """
        return read_sizes(data)

    def part_step(self, part: Part) -> bytes:
        """Return the STEP file of one part."""
        header = self._header(f"{part.name}.step", f"{self._plan.title}: {part.name}, {part.material.name}")
        return write_step([self._product(part)], header, revision=self._plan.revision)

    def assembly_step(self) -> bytes:
        """Return the STEP file of cover and inserts as named, coloured products."""
        header = self._header("assembly.step", f"{self._plan.title}: cover and inserts")
        products = [self._product(part) for part in self._plan.parts]
        return write_step(products, header, assembly=self._plan.name, revision=self._plan.revision)

    def read_step(self, data: bytes) -> tuple[SolidFacts, ...]:
        """Return the facts of every product of a STEP file.

        Raises:
            ProofError: the bytes cannot be read back.
        """
        return read_facts(data)

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
        """Return the sizes of a part with their faces, found once."""
        if part.name not in self._found:
            own = [size for size in self._sizes if size.part == part.name]
            self._found[part.name] = sized_faces(self.shape(part), own) if own else ()
        return self._found[part.name]

    def _header(self, name: str, description: str) -> Header:
        return Header(name, description, preprocessor=f"OCCT {_version('cadquery-ocp')}", origin=_origin())


def make_solids(
    plan: Plan, slabs_of: SlabsOf = slabs, tol: Tolerance = MODEL, sizes: Sequence[Toleranced] = ()
) -> StepSolids:
    """Return the solid side of a plan; a part's solid is made when it is first asked for."""
    return StepSolids(plan, slabs_of, tol, sizes)


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
