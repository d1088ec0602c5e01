"""What the cut list hands back for a family, by name of the file."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING, Final

from generator.family.cut_list.densities import densities_of
from generator.family.cut_list.groups import groups_of
from generator.family.cut_list.laid import INSERTS
from generator.family.cut_list.pages import pages
from generator.family.cut_list.sheet_dxf import sheet_dxf
from generator.family.cut_list.table import table_bytes
from generator.paper.pdf import pdf_bytes

if TYPE_CHECKING:
    from generator.family.run import Ran

__all__ = ["FOLDER", "PAGES", "TABLE", "cut_list_files", "cut_list_key"]

TABLE: Final = "cut-list.csv"
PAGES: Final = "cut-list.pdf"
FOLDER: Final = "nested"


def cut_list_files(ran: Ran) -> dict[str, bytes]:
    """Return table, pages and a drawing for every sheet of inserts; the same family gives the same bytes.

    Raises: ProofError: a sheet or a drawing does not stand up to its proof; the defect is ours.
    """
    groups = groups_of(ran)
    file = ran.family.file
    title = file.title or file.family
    out = {TABLE: table_bytes(groups), PAGES: pdf_bytes(pages(groups, file, title), title=f"Cut list: {title}")}
    for group in groups:
        if group.kind == INSERTS:
            for sheet in group.sheets:
                out[f"{FOLDER}/{sheet.name}.dxf"] = sheet_dxf(group, sheet, title)
    return out


def cut_list_key(ran: Ran) -> str:
    """Return a digest of all that the files are made from but the program: where it is the same, so are they."""
    file = ran.family.file
    good = ((r.variant.name, r.done) for r in ran.rows if r.done is not None and r.done.is_good)
    needs = [
        (name, done.pieces, [done.shapes.get(s) for p in done.pieces for s in (p.outline, p.cuts)])
        for name, done in good
    ]
    margins = file.family, file.title, file.spacing, file.sheet_edge, file.stock
    whole = repr((margins, densities_of(ran.family.recipe), needs))
    return hashlib.sha256(whole.encode()).hexdigest()
