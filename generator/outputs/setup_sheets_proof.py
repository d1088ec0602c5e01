"""Proofs of a setup sheet: outlines of its picture against the layers, figures of its table against the plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf
from typing import Final

from generator.outputs.output import Proof
from generator.outputs.proofs import count_proof
from generator.paper.pdf_proof import deviation_mm
from generator.paper.pdf_read import PdfError, ReadPage, ReadText, read_pdf
from generator.paper.setup.lie import Lie
from generator.paper.setup.pages import Layout
from generator.paper.setup.picture import lie_for, outline_name
from generator.paper.setup.steps_table import StepFigures, figures_of
from generator.paper.setup.subject import Subject

__all__ = ["prove_sheet"]

PRINT_MM: Final = 0.01
"""How far a line of the picture may lie from where it should, mm of the paper."""


def prove_sheet(path: str, data: bytes, subject: Subject, layout: Layout) -> Iterator[Proof]:
    """Yield the proofs of one file against the setup that it was written from."""
    try:
        read = read_pdf(data)
    except PdfError:
        read = ()
    yield count_proof("setup sheet: pages", path, abs(len(read) - len(layout.pages)))
    lie = lie_for(layout.picture, subject)
    off = _outlines(read[0], subject, lie) if read else inf
    yield Proof("setup sheet: outlines against layers", path, off / lie.scale, PRINT_MM / lie.scale, "mm")
    texts = [t for k, page in enumerate(read) if k in layout.with_steps for t in page.texts]
    missing = _missing(texts, figures_of(subject))
    yield count_proof("setup sheet: depths, passes, speeds and feeds against the plan", path, missing)


def _outlines(page: ReadPage, subject: Subject, lie: Lie) -> float:
    """Return how far the outline of any layer is from its region, mm of the paper."""
    meant = ((outline_name(w.number), lie.region(w.layer.region)) for w in subject.works)
    return max((deviation_mm(page.named(name), region) for name, region in meant), default=inf)


def _missing(texts: Sequence[ReadText], rows: Sequence[StepFigures]) -> int:
    """Return how many figures of the table are not told in their row, in the order of the columns."""
    words = [t.text.strip() for t in texts]
    missing, at = 0, 0
    for row in rows:
        wanted = (row.depth, row.passes, row.speed, row.feed)
        found = next((k for k in range(at, len(words) - 3) if tuple(words[k : k + 4]) == wanted), None)
        if found is None:
            missing += len(wanted)
        else:
            at = found + 1
    return missing
