"""STEP files: the assembly of cover and inserts, and one file a part; proven against the regions of the plane.

The volume that the regions have by Green's theorem must be the volume of the solid and of every STEP file read back;
products, what is said of them, bolt pattern and the place of each part must be those of the plan.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot, inf, isfinite

from generator.base.errors import ProofError
from generator.base.frozen_record import frozen_record
from generator.outline.distance import points_distance
from generator.outline.measure import bounds, signed_area
from generator.outline.nearness import boundary_points
from generator.outline.predicates import is_circle
from generator.outline.region import Region
from generator.outline.remembered import remembered
from generator.outputs.output import Files, Hole, Output, Proof, ReadSize, SolidFacts, Solids, Toleranced, Work
from generator.outputs.proofs import count_proof, equal_to
from generator.part.mass import volume_mm3
from generator.part.part import Bolt, Part
from generator.part.slabs import slabs
from generator.part.solid_facts import ReadLabel, WallRing, product_name
from generator.part.toleranced import SAME_FACE_MM

__all__ = ["ASSEMBLY", "OUTPUT", "part_file_name"]

ASSEMBLY = "assembly.step"
SECTION_MM = 1e-5
"""Corners of outlines nearer than a tenth of this are taken for one."""
SHADE = 1e-6
"""Shares of red, green and blue are written with six digits."""
SIZE_MM = 1e-6
"""Nominals and limits are written with more digits than this."""


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
    expected = {part.name: Expected(part, volume_mm3(part), _visible_bolts(work, part)) for part in parts}
    for part in parts:
        made = solids.facts(part)
        if made is not None:
            yield from _prove_part(work, expected[part.name], "", made, seat=0.0)
    for part in parts:
        file = part_file_name(part)
        yield from _prove_file(work, file, solids.read_step(files[file]), (expected[part.name],), assembled=False)
        yield from _prove_sizes(solids, file, files[file], (part,))
        yield _label_proof(work, file, solids.read_labels(files[file]), (part,))
    everything = tuple(expected.values())
    yield from _prove_file(work, ASSEMBLY, solids.read_step(files[ASSEMBLY]), everything, assembled=True)
    yield from _prove_sizes(solids, ASSEMBLY, files[ASSEMBLY], parts)
    yield _label_proof(work, ASSEMBLY, solids.read_labels(files[ASSEMBLY]), parts)


def _label_proof(work: Work, file: str, found: Sequence[ReadLabel], parts: Sequence[Part]) -> Proof:
    """Return the proof that a file says of every product what the plan says."""
    by_name = {label.product: label for label in found}
    wrong = sum(not _is_labelled(work, part, by_name.get(product_name(work.plan.name, part.name))) for part in parts)
    what = "revision, colour, material and density: STEP read back against plan"
    return count_proof(what, file, wrong + abs(len(found) - len(parts)))


def _is_labelled(work: Work, part: Part, label: ReadLabel | None) -> bool:
    material = part.material
    shades = [int(material.colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    return (
        label is not None
        and (label.revision, label.material) == (work.plan.revision, material.name)
        and all(abs(a - b) <= SHADE for a, b in zip(label.colour, shades, strict=True))
        and abs(label.density_kg_m3 - material.density_kg_m3) <= SIZE_MM * material.density_kg_m3
    )


def _prove_sizes(solids: Solids, file: str, data: bytes, parts: Sequence[Part]) -> Iterator[Proof]:
    """Yield the proof that a file, read back, has every size with its limits and linked to its faces.

    The kernel's reader gives deviations without sign; the signs are those of the text, which the tests read.
    """
    wanted = [size for part in parts for size in solids.sizes(part)]
    found = solids.read_sizes(data) if wanted else ()
    if not wanted:
        return
    yield count_proof("sizes with limits: STEP read back against plan", file, abs(len(wanted) - len(found)))
    gaps = [_size_gap(a, b) for a, b in zip(wanted, found, strict=False)]
    yield Proof("nominals and limits: STEP read back against plan", file, max(gaps, default=inf), SIZE_MM, "mm")


def _size_gap(wanted: Toleranced, found: ReadSize) -> float:
    """Return how far a size read back is off, mm; infinite for another sort of size, or one with other faces."""
    least = len(wanted.places) + (not wanted.is_diameter)
    if wanted.is_diameter != found.is_diameter or found.faces < least or not _has_its_faces(wanted, found):
        return inf
    pairs = ((wanted.nominal_mm, found.nominal_mm), (abs(wanted.lower_mm), found.lower_mm))
    return max(abs(a - b) for a, b in (*pairs, (abs(wanted.upper_mm), found.upper_mm)))


def _has_its_faces(wanted: Toleranced, found: ReadSize) -> bool:
    """Return True if a size belongs to cylinders about all its axes, or to level faces at its two heights."""
    faces = [face for end in found.ends for face in end]
    if len(faces) != found.faces or len(found.ends) != 2 - wanted.is_diameter:
        return False
    if not wanted.is_diameter:
        heights = (wanted.from_z_mm, wanted.to_z_mm)
        return all(
            abs(face.z_mm - z) <= SAME_FACE_MM for z, end in zip(heights, found.ends, strict=True) for face in end
        )
    axes = [face.axis for face in faces]
    return all(abs(face.diameter_mm - wanted.nominal_mm) <= SAME_FACE_MM for face in faces) and all(
        min(hypot(a.x - b.x, a.y - b.y) for b in there) <= SAME_FACE_MM
        for here, there in ((axes, wanted.places), (wanted.places, axes))
        for a in here
    )


@frozen_record
class Expected:
    """What must be found of a part: its volume by the regions (mm³), and bolts whose holes show as whole cylinders."""

    part: Part
    volume_mm3: float
    bolts: tuple[Bolt, ...]


def _visible_bolts(work: Work, part: Part) -> tuple[Bolt, ...]:
    """Return the bolts whose hole is a whole upright cylinder somewhere in ``part``.

    Where a countersink or a pocket leaves no height at which the hole goes all round, there is no cylinder to be found;
    the volume and the layers still hold such a hole to account.
    """
    if part is not work.plan.cover:
        return ()
    inner = [w.lower for s in slabs(part) for w in s.walls if w.is_straight and signed_area(w.lower) < 0.0]
    circles = [c for w in inner if (c := is_circle(w)) is not None]
    near = work.tol.model_mm
    return tuple(
        b
        for b in work.plan.bolts
        if any(
            hypot(c.centre[0] - b.at[0], c.centre[1] - b.at[1]) <= near and abs(2.0 * c.radius_mm - b.hole_mm) <= near
            for c in circles
        )
    )


def _solids(work: Work) -> Solids:
    if work.solids is None:
        raise ProofError("the STEP output was asked for without solids; this is a fault of coverplate", feature="step")
    return work.solids


def _prove_file(
    work: Work, file: str, read: Sequence[SolidFacts], expected: Sequence[Expected], *, assembled: bool
) -> Iterator[Proof]:
    """Yield the proofs of one STEP file read back: its products, then each of them."""
    names = [facts.product for facts in read]
    wanted = [product_name(work.plan.name, e.part.name) for e in expected]
    faults = len(set(names) ^ set(wanted)) + len(names) - len(set(names))
    yield count_proof("products: STEP read back against plan", f"{', '.join(wanted)} in {file}", faults)
    by_name = {facts.product: facts for facts in read}
    for e, name in zip(expected, wanted, strict=True):
        if name in by_name:
            seat = e.part.seat_z_mm if assembled else 0.0
            yield from _prove_part(work, e, file, by_name[name], seat=seat)


def _prove_part(work: Work, e: Expected, file: str, facts: SolidFacts, *, seat: float) -> Iterator[Proof]:
    """Yield the proofs of one part as it is found in a STEP file, or in the solid itself if ``file`` is empty."""
    found, place = ("STEP read back", f" in {file}") if file else ("solid", "")
    part, name = e.part, f"{e.part.name}{place}"
    limit = work.tol.taper_volume_rel if has_taper(part) else work.tol.volume_rel
    yield equal_to(f"volume: {found} against regions", name, facts.volume_mm3, e.volume_mm3, limit)
    if facts.is_valid is None:
        yield count_proof(f"closed: {found}", name, not facts.is_closed)
    else:
        yield count_proof(f"valid and closed: {found}", name, (not facts.is_valid) + (not facts.is_closed))
    yield Proof(f"place and size: {found} against plan", name, _box_gap(part, facts, seat), work.tol.model_mm, "mm")
    if facts.walls:
        gap = _wall_gap(part, facts.walls, seat)
        yield Proof(f"sections: {found} against regions", name, gap, SECTION_MM, "mm")
    for bolt in e.bolts:
        gap = _hole_gap(bolt, facts.holes)
        yield Proof(f"bolt hole: {found} against plan", f"{bolt.name}{place}", gap, work.tol.model_mm, "mm")


def _wall_gap(part: Part, walls: Sequence[WallRing], seat: float) -> float:
    """Return how far the walls that were read lie from the part's regions at every height between its levels, mm.

    Infinite if there are more or fewer contours than there should be at any height.
    """
    gap = 0.0
    for slab in slabs(part):
        middle = seat + (slab.z_from_mm + slab.z_to_mm) / 2.0
        found = Region(tuple(w.contour for w in walls if w.z_from_mm < middle < w.z_to_mm))
        planned = Region(tuple(w.lower for w in slab.walls))
        if len(found) != len(planned):
            return inf
        gap = max(gap, _section_gap(found, planned))
    return gap


@remembered
def _section_gap(found: Region, planned: Region) -> float:
    """Return how far the boundaries of two sections lie from each other, mm; a part is found in two files."""
    there = points_distance(planned, boundary_points(found.contours)).max()
    back = points_distance(found, boundary_points(planned.contours)).max()
    return max(float(there), float(back))


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
