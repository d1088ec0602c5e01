"""The inspection sheet: a PDF to be filled in by hand, and the same table as CSV, which ``inspect`` reads back."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from typing import Final

from generator.base.errors import RecipeError
from generator.estimate.inspection_csv import Inspected, inspection_csv
from generator.estimate.readings import read_readings
from generator.estimate.table_cells import cells_of
from generator.estimate.told_sizes import told_size
from generator.outputs.numbered import numbered
from generator.outputs.output import Files, Output, Proof, Work
from generator.outputs.proofs import count_proof
from generator.paper.inspection_sheets import inspection_sheets
from generator.paper.pdf import pdf_bytes
from generator.paper.pdf_read import PdfError, read_pdf

__all__ = ["OUTPUT", "PDF", "TABLE"]

TABLE: Final = "inspection/inspection.csv"
PDF: Final = "inspection/inspection.pdf"


def write(work: Work) -> Iterator[tuple[str, bytes]]:
    """Yield the table (UTF-8 with the mark that spreadsheets want) and the sheets; none without the recipe."""
    sheet = numbered(work)
    if work.recipe is not None and sheet is not None and sheet.characteristics:
        yield TABLE, inspection_csv(sheet).encode("utf-8-sig")
        pages = inspection_sheets(work.recipe, work.plan, sheet)
        yield PDF, pdf_bytes(pages, title=f"{work.plan.name}, revision {work.plan.revision}: inspection")


def prove(work: Work, files: Files) -> Iterator[Proof]:
    """Yield the proofs that both files, read back, hold every number with its nominal and limits."""
    sheet = numbered(work)
    if sheet is not None and sheet.characteristics:
        text = files[TABLE].decode("utf-8-sig") if TABLE in files else ""
        yield count_proof("mistakes in the table once nominals are filled in", TABLE, _faults_of_table(text, sheet))
        yield count_proof("numbers, nominals and limits that no page shows", PDF, _faults_of_pages(files, sheet))


def _faults_of_table(text: str, sheet: Inspected) -> int:
    """Return how many faults are found when the table comes back with every reading at its nominal."""
    rows = [[c.text for c in row] for row in cells_of(text.replace("\r\n", "\n"), ",")]
    head = len(sheet.head)
    if len(rows) != head + 1 + len(sheet.characteristics):
        return max(1, abs(len(rows) - head - 1 - len(sheet.characteristics)))
    for row, c in zip(rows[head + 1 :], sheet.characteristics, strict=True):
        row[-sheet_parts(rows[head]) :] = [told_size(c, sheet.unit).nominal_text] * sheet_parts(rows[head])
    filled = "\n".join(";".join(f'"{cell}"' for cell in row) for row in rows)
    try:
        read_readings(TABLE, filled, sheet)
    except RecipeError as error:
        return len(error.mistakes)
    return 0


def sheet_parts(header: list[str]) -> int:
    """Return how many columns of a header are for readings."""
    return sum(bool(re.fullmatch(r"part-\d+", word)) for word in header)


def _faults_of_pages(files: Files, sheet: Inspected) -> int:
    """Return how many figures of the characteristics the pages lack; every number stands in picture and table."""
    try:
        pages = read_pdf(files[PDF])
    except (KeyError, PdfError):
        return 3 * len(sheet.characteristics)
    found = Counter(t.text.strip().lstrip("⌀R") for page in pages for t in page.texts)
    wanted: Counter[str] = Counter()
    for c in sheet.characteristics:
        size = told_size(c, sheet.unit)
        wanted.update((str(c.number), str(c.number), size.nominal_text, size.lower_text, size.upper_text))
    return sum(max(0, n - found[word]) for word, n in wanted.items())


OUTPUT = Output(
    name="inspection",
    help="Inspection sheet to measure made parts by, and the table that is read back.",
    needs_solid=False,
    write=write,
    prove=prove,
)
