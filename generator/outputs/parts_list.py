"""``parts-list.csv``: what is made, bought and sawn for the order."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from typing import Final

from generator.estimate.parts_list import PartsRow, parts_list
from generator.estimate.table_cells import written
from generator.outputs.output import Files, Output, Proof, Work
from generator.outputs.proofs import count_proof

__all__ = ["COLUMNS", "FILE", "OUTPUT"]

FILE: Final = "parts-list.csv"
COLUMNS: Final = ("item", "quantity", "kind", "what", "designation", "material", "size", "note")


def write(work: Work) -> Iterator[tuple[str, bytes]]:
    """Yield the list as a table (RFC 4180, UTF-8 with the mark that spreadsheets want); none without the recipe."""
    if work.recipe is not None:
        yield FILE, _table(work.once(_rows)).encode("utf-8-sig")


def prove(work: Work, files: Files) -> Iterator[Proof]:
    """Yield the proof that the table, read back, holds every row."""
    rows = [list(_cells(row)) for row in work.once(_rows)]
    found = [] if FILE not in files else list(csv.reader(io.StringIO(files[FILE].decode("utf-8-sig"), newline="")))
    expected = [list(COLUMNS), *rows] if rows else []
    wrong = sum(a != b for a, b in zip(found, expected, strict=False)) + abs(len(found) - len(expected))
    yield count_proof("rows read back that are not those of the list", FILE, wrong)


def _rows(work: Work) -> tuple[PartsRow, ...]:
    return () if work.recipe is None else tuple(parts_list(work.recipe, work.plan))


def _table(rows: Sequence[PartsRow]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    writer.writerows(_cells(row) for row in rows)
    return out.getvalue()


def _cells(row: PartsRow) -> tuple[str, ...]:
    """Return the cells of a row; what the recipe says is no formula."""
    said = (row.quantity, row.kind, row.what, row.designation, row.material, row.size, row.note)
    return (str(row.item), *(written(text) for text in said))


OUTPUT = Output(
    name="parts-list",
    help="Parts list: parts to be made, screws and pins to be bought, blanks to be sawn.",
    needs_solid=False,
    write=write,
    prove=prove,
)
