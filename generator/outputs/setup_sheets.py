"""Setup sheets as PDF, one a setup: what the person at the machine needs, proven against the plan."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from generator.outputs.layers_dxf import FOLDER as LAYERS
from generator.outputs.layers_dxf import drawn_layers
from generator.outputs.numbered import numbered
from generator.outputs.output import Files, Output, Proof, Work
from generator.outputs.proofs import count_proof
from generator.outputs.setup_sheets_proof import prove_sheet
from generator.paper.pdf import pdf_bytes
from generator.paper.setup.pages import Layout, layout_of, setup_pages
from generator.paper.setup.subject import Subject, subjects

__all__ = ["FOLDER", "OUTPUT", "sheets_of"]

FOLDER: Final = "setups"


def sheets_of(work: Work) -> tuple[tuple[str, Subject], ...]:
    """Return path and content of every setup; none without the recipe."""
    return work.once(_sheets)


def _sheets(work: Work) -> tuple[tuple[str, Subject], ...]:
    sheet = numbered(work)
    if work.recipe is None or sheet is None:
        return ()
    ending = len(".dxf")
    files = {(la.part, la.name): path[len(LAYERS) + 1 : -ending] for path, _, la in drawn_layers(work.layers)}
    findings = [f for o in work.outcomes for f in o.findings]
    made = subjects(work.recipe, work.plan, work.layers, findings, sheet.characteristics, files)
    return tuple((f"{FOLDER}/{subject.setup.name}.pdf", subject) for subject in made)


def _layouts(work: Work) -> tuple[Layout, ...]:
    """Return the layout of every setup's sheet, in the order of ``sheets_of``."""
    return tuple(layout_of(subject) for _, subject in sheets_of(work))


def write(work: Work) -> Iterator[tuple[str, bytes]]:
    """Yield one file a setup."""
    for (path, subject), layout in zip(sheets_of(work), work.once(_layouts), strict=True):
        title = f"{work.plan.name}, revision {work.plan.revision}: {subject.setup.name}"
        yield path, pdf_bytes(setup_pages(subject, layout), title=title)


def prove(work: Work, files: Files) -> Iterator[Proof]:
    """Yield the proofs that every sheet, read back, shows the layers' regions and the plan's figures."""
    sheets = sheets_of(work)
    yield count_proof("one file a setup and no other", FOLDER, len(set(dict(sheets)) ^ set(files)))
    for (path, subject), layout in zip(sheets, work.once(_layouts), strict=True):
        if path in files:
            yield from prove_sheet(path, files[path], subject, layout)


OUTPUT = Output(
    name="setup-sheets",
    help="Setup sheets as PDF to stand beside the machine: zero, flip, order of operations, what to measure.",
    needs_solid=False,
    write=write,
    prove=prove,
)
