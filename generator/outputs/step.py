"""STEP files: the assembly of cover and inserts, and one file a part; proven against the regions of the plane.

The volume that the regions have by Green's theorem must be the volume of the solid and of every STEP file read back;
products, bolt pattern and the place of each part must be those of the plan.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot, inf, isfinite

from generator.base.errors import ProofError
from generator.outline.measure import bounds
from generator.outputs.output import Files, Hole, Output, Proof, SolidFacts, Solids, Work
from generator.outputs.proofs import count_proof, equal_to
from generator.part.mass import volume_mm3
from generator.part.part import Bolt, Part

__all__ = ["ASSEMBLY", "OUTPUT", "part_file_name"]

ASSEMBLY = "assembly.step"


def part_file_name(part: Part) -> str:
    """Return the name of a part's STEP file."""
    return f"{part.name}.step"


def write(work: Work) -> Iterator[tuple[str, bytes]]:
    """Yield the assembly and every part."""
    solids = _solids(work)
    yield ASSEMBLY, solids.assembly_step()
    for part in work.plan.parts:
        yield part_file_name(part), solids.part_step(part)


def prove(work: Work, files: Files) -> Iterator[Proof]:
    """Yield the proofs that plan, solids and STEP files agree."""
    solids = _solids(work)
    parts = work.plan.parts
    volumes = {part.name: volume_mm3(part) for part in parts}
    for part in parts:
        yield from _prove_part(work, part, "solid", solids.facts(part), volumes[part.name], part_seat=0.0)
    for part in parts:
        file = part_file_name(part)
        yield from _prove_file(work, file, solids.read_step(files[file]), (part,), volumes, assembled=False)
    yield from _prove_file(work, ASSEMBLY, solids.read_step(files[ASSEMBLY]), parts, volumes, assembled=True)


def _solids(work: Work) -> Solids:
    if work.solids is None:
        raise ProofError("the STEP output was asked for without solids; this is a fault of coverplate", feature="step")
    return work.solids


def _prove_file(
    work: Work,
    file: str,
    read: Sequence[SolidFacts],
    parts: Sequence[Part],
    volumes: dict[str, float],
    *,
    assembled: bool,
) -> Iterator[Proof]:
    """Yield the proofs of one STEP file read back: its products, then each of them."""
    names = [facts.product for facts in read]
    wanted = [part.name for part in parts]
    faults = len(set(names) ^ set(wanted)) + len(names) - len(set(names))
    yield count_proof(f"products read back are {', '.join(wanted)}", file, faults)
    by_name = {facts.product: facts for facts in read}
    for part in parts:
        if part.name in by_name:
            seat = part.seat_z_mm if assembled else 0.0
            yield from _prove_part(work, part, file, by_name[part.name], volumes[part.name], part_seat=seat)


def _prove_part(
    work: Work, part: Part, where: str, facts: SolidFacts, volume: float, *, part_seat: float
) -> Iterator[Proof]:
    """Yield the proofs of one part as it is found in ``where``: the solid itself or a STEP file."""
    read = where if where == "solid" else f"{where} read back"
    limit = work.tol.taper_volume_rel if has_taper(part) else work.tol.volume_rel
    yield equal_to(f"volume: regions against {read}", part.name, facts.volume_mm3, volume, limit)
    yield count_proof(f"valid and closed: {read}", part.name, (not facts.is_valid) + (not facts.is_closed))
    yield Proof(f"place and height: {read}", part.name, _box_gap(part, facts, part_seat), work.tol.model_mm, "mm")
    if part is work.plan.cover:
        for bolt in work.plan.bolts:
            yield Proof(f"bolt hole: {read}", bolt.name, _hole_gap(bolt, facts.holes), work.tol.model_mm, "mm")


def has_taper(part: Part) -> bool:
    """Return True if a part has walls that are not upright."""
    return part.rim_break_mm > 0.0 or any(f.flare_mm != 0.0 for f in part.features)


def _hole_gap(bolt: Bolt, holes: Sequence[Hole]) -> float:
    """Return how far the likeliest hole is off in position or diameter, whichever is more; infinite without one."""
    return min(
        (
            max(hypot(h.at[0] - bolt.at[0], h.at[1] - bolt.at[1]), abs(h.diameter_mm - bolt.hole_mm))
            for h in holes
            if isfinite(h.diameter_mm)
        ),
        default=inf,
    )


def _box_gap(part: Part, facts: SolidFacts, seat: float) -> float:
    """Return how far the solid's box is off the box of the profile between the part's heights."""
    plane = bounds(part.profile)
    wanted = (plane.xmin, plane.ymin, seat, plane.xmax, plane.ymax, seat + part.thickness_mm)
    gaps = [abs(a - b) for a, b in zip(facts.box_mm, wanted, strict=True)]
    return max(gaps) if all(map(isfinite, gaps)) else inf


OUTPUT = Output(
    name="step",
    help="Solids for any CAD program: the assembly with named, coloured products, and one file a part.",
    needs_solid=True,
    write=write,
    prove=prove,
)
