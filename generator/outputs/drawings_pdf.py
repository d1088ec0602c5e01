"""``drawings/PART.pdf``: the dimensioned drawing of every made part."""

from __future__ import annotations

from collections.abc import Iterator

from generator.outputs.drawings import FOLDER, drawings_of
from generator.outputs.drawings_proof import prove_pdf
from generator.outputs.output import Files, Output, Proof, Work
from generator.outputs.proofs import count_proof
from generator.paper.pdf import pdf_bytes

__all__ = ["OUTPUT"]


def write(work: Work) -> Iterator[tuple[str, bytes]]:
    """Yield one file a part."""
    for part, drawing in drawings_of(work):
        title = f"{work.plan.name}, {part.name}, revision {work.plan.revision}, drawing"
        yield f"{FOLDER}/{part.name}.pdf", pdf_bytes(drawing.sheets, title=title)


def prove(work: Work, files: Files) -> Iterator[Proof]:
    """Yield the proofs that every drawing, read back, shows its part."""
    drawn = {f"{FOLDER}/{part.name}.pdf": (part, drawing) for part, drawing in drawings_of(work)}
    yield count_proof("one file a part and no other", f"{FOLDER}, PDF", len(set(drawn) ^ set(files)))
    for path, (part, drawing) in drawn.items():
        if path in files:
            yield from prove_pdf(path, files[path], part, drawing)


OUTPUT = Output(
    name="drawings-pdf",
    help="Dimensioned drawing of cover and inserts as PDF.",
    needs_solid=False,
    write=write,
    prove=prove,
)
