"""STL and 3MF files for a trial print in plastic: to hold against the real thing before metal is cut.

The meshes come straight from the slabs; the solid kernel is not asked. Volume, size and closedness are proven on the
files read back.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from generator.base.errors import GeometryError, Mistake, RecipeError
from generator.base.units import MODEL, length_unit
from generator.mesh.make import CHORD_MM, mesh_of
from generator.mesh.mesh import Mesh
from generator.mesh.stl import read_stl, stl_bytes
from generator.mesh.threemf import Print, read_3mf, threemf_bytes
from generator.outline.measure import bounds
from generator.outputs.output import Files, Output, Proof, Work
from generator.outputs.proofs import count_proof
from generator.outputs.scene import inserts_of
from generator.part.mass import volume_mm3
from generator.part.part import Part
from generator.part.slabs import slabs
from generator.part.trial_print import with_wider_holes

__all__ = ["ALL", "OUTPUT", "printed_parts", "stl_name"]

ALL: Final = "prints/trial-print-all.3mf"
SAYS: Final = "Trial print in plastic"


def stl_name(part: Part) -> str:
    """Return the path of a part's STL file."""
    return f"prints/trial-print-{part.name}.stl"


def wider_by_mm(work: Work) -> float:
    """Return by how much holes are wider than in the part, mm."""
    return work.recipe.trial_print.holes if work.recipe else 0.0


def printed_parts(work: Work) -> tuple[Part, ...]:
    """Return the parts as they are printed.

    Raises:
        RecipeError: the allowance for holes leaves a part that cannot be made.
    """
    wider = wider_by_mm(work)
    parts = (work.plan.cover, *inserts_of(work.plan))
    try:
        printed = tuple(with_wider_holes(p, wider) for p in parts)
        for part in printed if wider else ():
            slabs(part)
    except GeometryError as error:
        at = f" near ({error.point_mm[0]:z.2f}, {error.point_mm[1]:z.2f})" if error.point_mm else ""
        found = f"an allowance with which {error}{at}"
        remedy = "make it smaller, or leave it out and drill the print's holes"
        raise RecipeError(
            [Mistake("", 0, 0, "trial_print.holes", found, "a print that can be made", remedy)]
        ) from error
    return printed


def write(work: Work) -> Iterator[tuple[str, bytes]]:
    """Yield an STL file a part and one 3MF package with all of them."""
    prints = []
    for part in printed_parts(work):
        mesh = mesh_of(slabs(part))
        yield (
            stl_name(part),
            stl_bytes(mesh, f"{SAYS}, mm, revision {work.plan.revision}: {part.name} of {work.plan.name}"),
        )
        name = f"{SAYS}: {part.name}"
        prints.append(Print(name, mesh, f"{SAYS}, finished part {part.material.name}", part.material.colour))
    title = f"{SAYS}: {work.plan.title or work.plan.name}"
    yield ALL, threemf_bytes(prints, title, _description(work))


def _description(work: Work) -> str:
    wider, unit = wider_by_mm(work), length_unit(work.plan.units)
    holes = f"Holes and pockets are wider than in the part by {unit.length(wider)}. " if wider else ""
    return (
        f"{SAYS} of {work.plan.name}, revision {work.plan.revision}, to try the fit; lengths are millimetres. {holes}"
        "Not for use: plastic says nothing about the strength of the metal part, and creeps under a bolt."
    )


def prove(work: Work, files: Files) -> Iterator[Proof]:
    """Read every file back: closed, in its place, and of the volume that the regions have."""
    package = {p.name: p for p in read_3mf(files[ALL])}
    parts = printed_parts(work)
    strange = set(package) ^ {f"{SAYS}: {part.name}" for part in parts}
    yield count_proof("objects: 3MF read back against plan", ALL, len(strange))
    for part in parts:
        yield from _prove_mesh(part, stl_name(part), read_stl(files[stl_name(part)]))
        found = package.get(f"{SAYS}: {part.name}")
        if found is not None:
            yield from _prove_mesh(part, f"{part.name} in {ALL}", found.mesh)
            yield count_proof("colour: 3MF against plan", f"{part.name} in {ALL}", found.colour != part.material.colour)


def _prove_mesh(part: Part, name: str, mesh: Mesh) -> Iterator[Proof]:
    yield count_proof("closed and facing outward: mesh read back", name, mesh.open_edges() + (mesh.volume_mm3 <= 0.0))
    off = abs(mesh.volume_mm3 - volume_mm3(part))
    # no point of the surface is farther off than a chord's error
    yield Proof("volume: mesh read back against regions", name, off, CHORD_MM * mesh.area_mm2, "mm³")
    box = bounds(part.profile)
    wanted = (box.xmin, box.ymin, 0.0, box.xmax, box.ymax, part.thickness_mm)
    gap = max(abs(a - b) for a, b in zip(mesh.box_mm, wanted, strict=True))
    yield Proof("place and size: mesh read back against plan", name, gap, CHORD_MM + MODEL.model_mm, "mm")


OUTPUT = Output(
    name="prints",
    help="Trial prints in plastic: an STL file a part, and a 3MF package with all of them in their colours.",
    needs_solid=False,
    write=write,
    prove=prove,
)
