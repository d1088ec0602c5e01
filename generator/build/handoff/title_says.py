"""What the title block of a drawing says: material, quantity, revision, general tolerances."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from generator.build.handoff.sheet_texts import SheetText

__all__ = ["GENERAL", "MATERIAL", "QUANTITY", "REVISION", "title_fields"]

GENERAL: Final = "General tolerances"
MATERIAL: Final = "Material"
QUANTITY: Final = "Quantity"
REVISION: Final = "Revision"
_LABELS: Final = {
    *(GENERAL, MATERIAL, QUANTITY, REVISION, "Finish", "Mass", "Edges, ISO 13715", "Scale", "Legal owner", "Drawn by"),
    *("Approved by", "Date of issue", "Title", "Document type", "Identification number", "Size", "Units", "Sheet"),
}
_LEFT_OPEN: Final = "–"


def title_fields(texts: Sequence[SheetText]) -> dict[str, str]:
    """Return what stands behind the labels of the title block; empty where a field is left open."""
    out: dict[str, str] = {}
    for said, behind in zip(texts, [*texts[1:], SheetText("", 0.0, 0.0)], strict=True):
        if said.text in _LABELS and said.text not in out:
            out[said.text] = "" if behind.text in _LABELS or behind.text == _LEFT_OPEN else behind.text
    return out
