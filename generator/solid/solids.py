"""The solid side of a build: the STEP files of its parts, and what is read back from them.

Parts whose walls are all upright are written from their faces and need no solid; any other is sewn and written by the
solid kernel, which is loaded when it is first needed.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from functools import cache, lru_cache
from importlib.metadata import PackageNotFoundError, version
from typing import TYPE_CHECKING, Final, NamedTuple

from generator.base.errors import GeometryError
from generator.base.sharing import NOTHING_SHARED, Sharing, digest_of
from generator.base.units import MODEL, Tolerance
from generator.part.part import Part, Plan
from generator.part.slabs import slabs
from generator.part.solid_facts import ReadLabel, ReadSize, SolidFacts, product_name
from generator.part.toleranced import Toleranced
from generator.solid.anonymous import facts_bytes, facts_of
from generator.solid.compose import Block, block_of, composed
from generator.solid.label_text import labels_in
from generator.solid.read_again import ReadAgain
from generator.solid.step_text import Header
from generator.solid.unfinished import Label, Unfinished, finished_step
from generator.solid.upright_faces import upright_body
from generator.solid.upright_sizes import upright_sizes
from generator.solid.upright_text import upright_text

if TYPE_CHECKING:
    from cadquery import Workplane

    from generator.solid.kernel_solids import SlabsOf
    from generator.solid.step_write import Product

FIRST: Final = 15
"""Number of the first entity of the solid in the kernel's files of one part."""


class Written(NamedTuple):
    """A part with upright walls as its file has it: its entities, and which of its sizes have faces there."""

    block: Block
    sizes: tuple[Toleranced, ...]


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
        self._upright: dict[str, Written | None] = {}
        self._again = ReadAgain(sharing)

    def facts(self, part: Part) -> SolidFacts | None:
        """Return the facts of a part's solid, None if none was made; faults are looked for in the file made of it.

        Raises:
            GeometryError: it cannot be made; names part and heights.
        """
        if self._written(part) is not None:
            return None
        if part.name not in self._facts:
            key = digest_of(_on_the_bench(part), self._tol)
            (facts,) = facts_of(self._sharing.get("solid-facts", key, lambda: self._kernel_facts(part)))
            self._facts[part.name] = replace(facts, product=product_name(self._plan.name, part.name))
        return self._facts[part.name]

    def sizes(self, part: Part) -> tuple[Toleranced, ...]:
        """Return the sizes with limits that a part's model carries: those of which its solid has the faces."""
        own = self._own_sizes(part)
        written = self._written(part)
        if written is not None or not own:
            return written.sizes if written else ()
        key = digest_of(_on_the_bench(part), own, self._tol)
        made = self._sharing.get("sized", key, lambda: self._kernel_sizes(part))
        numbers = set(json.loads(made))
        return tuple(size for size in own if size.number in numbers)

    def read_sizes(self, data: bytes) -> tuple[ReadSize, ...]:
        """Return the sizes with limits in a STEP file, as the kernel reads them.

        Raises:
            ProofError: the bytes cannot be read back.
        """
        return self._again.sizes(data)

    def read_labels(self, data: bytes) -> tuple[ReadLabel, ...]:
        """Return what a STEP file says of its products beside their shape.

        Raises:
            ProofError: something that belongs to a product is missing.
        """
        return labels_in(data)

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

    def _written(self, part: Part) -> Written | None:
        """Return a part as it is written without the kernel, None if it is for the kernel to write."""
        if part.name not in self._upright:
            made = _written(_on_the_bench(part), self._own_sizes(part), self._slabs_of, self._tol)
            self._upright[part.name] = made
        return self._upright[part.name]

    def _unfinished(self, part: Part) -> Unfinished:
        written = self._written(part)
        made = None if written is None else composed([written.block], lambda counts: self._stand_ins((0.0,), counts))
        return made or self._kernel_text(part)

    def _kernel_text(self, part: Part) -> Unfinished:
        key = digest_of(_on_the_bench(part), self._own_sizes(part), self._tol)
        made = self._sharing.get("step-text", key, lambda: _kernel_text([self._product(part)], assembly=False))
        return Unfinished.from_bytes(made)

    def _unfinished_assembly(self, parts: Sequence[Part]) -> Unfinished:
        heights = tuple(p.seat_z_mm for p in parts)
        blocks = [self._block(part) for part in parts]
        known = [b for b in blocks if b is not None]
        made = None
        if len(known) == len(blocks):
            made = composed(known, lambda counts: self._stand_ins(heights, counts, assembly=True))
        if made is None:  # not written as the kernel usually does
            made = Unfinished.from_bytes(_kernel_text([self._product(p) for p in parts], assembly=True))
        return made

    def _block(self, part: Part) -> Block | None:
        written = self._written(part)
        return block_of(self._kernel_text(part)) if written is None else written.block

    def _stand_ins(
        self, heights_mm: tuple[float, ...], counts: tuple[int, ...], *, assembly: bool = False
    ) -> Unfinished:
        key = digest_of(heights_mm, counts, assembly)
        made = self._sharing.get("stand-ins", key, lambda: _stand_ins(heights_mm, counts, assembly))
        return Unfinished.from_bytes(made)

    def _own_sizes(self, part: Part) -> tuple[Toleranced, ...]:
        return tuple(size for size in self._sizes if size.part == part.name)

    def _product(self, part: Part) -> Product:
        from generator.solid.kernel_solids import sized_solid
        from generator.solid.step_write import Product

        material = part.material
        solid, sized = sized_solid(_on_the_bench(part), self._own_sizes(part), self._slabs_of, self._tol)
        return Product(
            product_name(self._plan.name, part.name),
            solid,
            material.colour,
            material.name,
            material.density_kg_m3,
            part.seat_z_mm,
            sized,
        )

    def _kernel_facts(self, part: Part) -> bytes:
        from generator.solid.facts import solid_facts

        return facts_bytes((solid_facts("", self._product(part).shape, judged=False),))

    def _kernel_sizes(self, part: Part) -> bytes:
        return json.dumps([found.size.number for found in self._product(part).sizes]).encode()

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


@lru_cache(maxsize=4)  # the parts of a plan, one of which other plans share
def _written(part: Part, sizes: tuple[Toleranced, ...], slabs_of: SlabsOf, tol: Tolerance) -> Written | None:
    try:
        body = upright_body(slabs_of(part), tol)
    except GeometryError:
        return None  # the kernel's way says it with the part's name
    if body is None:
        return None
    made = upright_text(body, FIRST)
    sized = upright_sizes(body, made.faces, sizes)
    numbered = tuple(found for _, found in sized)
    block = Block(made.text().encode("ascii"), FIRST, FIRST + len(made.lines), made.solids, numbered)
    return Written(block, tuple(size for size, _ in sized))


def _kernel_text(products: Sequence[Product], *, assembly: bool) -> bytes:
    from generator.solid.step_write import unfinished_step

    return unfinished_step(products, assembly=assembly).to_bytes()


def _stand_ins(heights_mm: tuple[float, ...], counts: tuple[int, ...], assembly: bool) -> bytes:
    from generator.solid.kernel_solids import stand_ins

    return stand_ins(heights_mm, counts, assembly=assembly).to_bytes()


def to_cadquery(part: Part, slabs_of: SlabsOf = slabs, tol: Tolerance = MODEL) -> Workplane:
    """Return a cadquery Workplane that holds the part's solid, mm, bottom face at z = 0, for going on by hand.

    Raises:
        GeometryError: the solid cannot be made.
    """
    from generator.solid.kernel_solids import to_cadquery as made_by_kernel

    return made_by_kernel(part, slabs_of, tol)


def _origin() -> str:
    return f"coverplate {_version('coverplate')}".strip()


@cache
def _version(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:
        return ""
