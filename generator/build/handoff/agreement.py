"""Do drawing, STEP, DXF, inspection and setup sheets agree? Every figure is read back from its file."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations
from math import nan
from typing import Final

from generator.base.errors import ProofError
from generator.base.frozen_record import frozen_record
from generator.base.units import length_unit
from generator.build.handoff.drawings_say import dxf_says, pdf_says
from generator.build.handoff.layers_say import LayerFile, layer_file, layers_say
from generator.build.handoff.sections_say import cuts_of, sections_disagree
from generator.build.handoff.sheets_say import rows_say, sheet_says
from generator.build.handoff.sizes_say import sizes_say
from generator.build.handoff.solids_say import solids_say
from generator.build.handoff.statement import Look, Statement, looks
from generator.build.handoff.words_say import words_disagree
from generator.estimate.characteristic import BLANK
from generator.estimate.characteristics import Kind, characteristics, datum_of
from generator.outputs.inspection import PDF, TABLE
from generator.outputs.layers_dxf import ALL_LAYERS
from generator.outputs.step import ASSEMBLY
from generator.part.part import Plan
from generator.part.solid_facts import product_name
from generator.recipe.model import Recipe

__all__ = ["Agreement", "agreement", "disagreements", "unlimited", "unsaid"]

DEMANDED: Final = (
    Kind.DIAMETER,
    Kind.POSITION_X,
    Kind.POSITION_Y,
    Kind.SIZE_X,
    Kind.SIZE_Y,
    Kind.THICKNESS,
    Kind.DEPTH,
)
"""What a drawing must state of every part."""


@frozen_record
class Agreement:
    """How far the files agree.

    Attributes:
        numbers: how many numbers were compared.
        statements: how many figures were read for them, in all files.
        files: paths of the files that they were read from.
    """

    numbers: int
    statements: int
    files: tuple[str, ...]


def agreement(recipe: Recipe, plan: Plan, files: Mapping[str, bytes]) -> Agreement:
    """Return how far the files of a pack agree; loads the solid kernel.

    Raises: ProofError: two files state different numbers, or a drawing lacks one; each named with its files.
    """
    wanted = looks(plan, characteristics(recipe, plan))
    layers = [layer_file(p, d) for p, d in files.items() if p.startswith("layers/") and p != ALL_LAYERS]
    said = tuple(_said(plan, wanted, files, layers))
    sheets = [path for path in (TABLE, PDF) if path in files] or [TABLE]
    drawings = _drawings(files)
    faults = [*unsaid(wanted, said, drawings, sheets), *disagreements(wanted, said), *unlimited(said, drawings)]
    faults += [*_shapes_disagree(plan, layers, files), *words_disagree(files, layers, length_unit(plan.units))]
    if faults:
        lines = "\n".join(f"  {fault}" for fault in faults)
        raise ProofError(
            f"{len(faults)} numbers of the hand-off do not agree, so nothing was handed over. "
            f"This is a fault of coverplate, not of the recipe; please report it with the recipe.\n{lines}",
            feature="hand-off",
        )
    counts: dict[int, int] = defaultdict(int)
    for s in said:
        counts[s.number] += 1
    compared = [n for n, times in counts.items() if times > 1 and any(n == look.number for look in wanted)]
    paths = tuple(sorted({s.file for s in said}))
    return Agreement(len(compared), sum(counts[n] for n in compared), paths)


def _drawings(files: Mapping[str, bytes]) -> list[str]:
    return [path for path in files if path.startswith("drawings/")]


def _said(
    plan: Plan, wanted: Sequence[Look], files: Mapping[str, bytes], layers: Sequence[LayerFile]
) -> Iterator[Statement]:
    """Yield everything that the files state."""
    unit = length_unit(plan.units)
    datum = datum_of(plan)
    sheet = sheet_says(TABLE, files[TABLE]) if TABLE in files else []
    yield from sheet
    expected = {s.number: s.value_mm for s in sheet}
    wanted = [replace(look, expected_mm=expected.get(look.number, nan)) for look in wanted]
    kinds = {look.number: look.kind for look in wanted}
    for path in _drawings(files):
        yield from (pdf_says if path.endswith(".pdf") else dxf_says)(path, files[path], unit, kinds)
    for path in files:
        if path == PDF or (path.startswith("setups/") and path.endswith(".pdf")):
            yield from rows_say(path, files[path], unit)
    yield from layers_say(layers, wanted, datum.at, bool(datum.feature))
    solids = {part.name: files[f"{part.name}.step"] for part in plan.parts if f"{part.name}.step" in files}
    for path in files:
        if path.endswith(".step"):
            yield from sizes_say(path, files[path])
    yield from solids_say(solids, plan.name, wanted, datum.at, bool(datum.feature))


def _shapes_disagree(plan: Plan, layers: Sequence[LayerFile], files: Mapping[str, bytes]) -> Iterator[str]:
    """Yield where a solid, alone or in the assembly, is not what the layers leave."""
    steps = [path for path in files if path.endswith(".step")]
    parts = {f.part: cuts_of([g for g in layers if g.part == f.part]) for f in layers if f.part != BLANK}
    if not steps:
        return
    from generator.solid.slice import slice_step

    for path in steps:
        wanted = {part: [c.z_mm for c in cuts] for part, cuts in parts.items() if path in (ASSEMBLY, f"{part}.step")}
        found = slice_step(files[path], {product_name(plan.name, part): z for part, z in wanted.items()})
        for part in wanted:
            name = product_name(plan.name, part)
            if name in found:
                yield from sections_disagree(part, parts[part], path, found[name])
            else:
                yield f"{part}: {path} does not hold it"


def disagreements(wanted: Sequence[Look], said: Sequence[Statement]) -> list[str]:
    """Return a sentence for every two files that state a number differently, with both figures."""
    by_number: dict[int, list[Statement]] = defaultdict(list)
    for s in said:
        by_number[s.number].append(s)
    out = []
    for look in wanted:
        for a, b in combinations(by_number[look.number], 2):
            named = f"{look.part}, number {look.number}, {look.what}"
            if abs(a.value_mm - b.value_mm) > a.within_mm + b.within_mm:
                out.append(f"{named}: {a.file} says {a.said}, {b.file} {b.said}")
            elif a.has_limits and b.has_limits and _limits_apart(a, b) > a.limit_within_mm + b.limit_within_mm:
                out.append(f"{named}, limits: {a.file} says {_limits_said(a)}, {b.file} {_limits_said(b)}")
    return out


def _limits_apart(a: Statement, b: Statement) -> float:
    return max(abs(a.lower_mm - b.lower_mm), abs(a.upper_mm - b.upper_mm))


def _limits_said(s: Statement) -> str:
    return f"{s.lower_mm:+.4g}/{s.upper_mm:+.4g} mm"


def unlimited(said: Sequence[Statement], drawings: Sequence[str]) -> list[str]:
    """Return a sentence for every figure of a drawing that has no limits: none beside it, and no general ones."""
    held = {s.number for s in said if s.has_limits}
    return [
        f"number {s.number}: {s.file} says {s.said} and no limits"
        for s in said
        if s.file in drawings and s.number in held and not s.has_limits and not s.is_reference
    ]


def unsaid(
    wanted: Sequence[Look], said: Sequence[Statement], drawings: Sequence[str], sheets: Sequence[str] = (TABLE,)
) -> list[str]:
    """Return a sentence for every number that a drawing of its part, or an inspection sheet, does not state."""
    told = {(s.file, s.number) for s in said}
    return [
        f"{look.part}, number {look.number}, {look.what}: {path} does not state it"
        for look in wanted
        if look.kind in DEMANDED
        for path in (*(d for d in drawings if d.split("/")[-1].rpartition(".")[0] == look.part), *sheets)
        if (path, look.number) not in told
    ]
