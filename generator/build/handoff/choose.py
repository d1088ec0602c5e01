"""Which files of a pack a shop needs, and what each is for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from generator.outputs.layers_dxf import ALL_LAYERS

__all__ = ["PICTURE", "chosen", "purpose"]

PICTURE: Final = "previews/exploded.png"
"""The one picture that goes along."""

PURPOSES: Final[tuple[tuple[str, str, str], ...]] = (
    ("", "assembly.step", "solid of cover and inserts put together, to look at and to check"),
    ("drawings/", ".pdf", "drawing: sizes, tolerances, material, finish"),
    ("drawings/", ".dxf", "the same drawing, to measure in; not to cut from"),
    ("layers/", ".dxf", "contours of one operation, 1:1 in mm, as the machine sees them"),
    ("setup", ".pdf", "setup sheet: clamping, zero, flip, order of operations"),
    ("inspection/", ".pdf", "inspection sheet, to be filled in by hand"),
    ("inspection/", ".csv", "the same table for a spreadsheet; please send it back filled in"),
    ("", "parts-list.csv", "what is made, what is bought, blanks to be sawn"),
    ("", PICTURE, "picture of all parts, drawn apart"),
    ("", ".step", "solid of one part, in mm, with limits for programs that read them (AP242)"),
)
"""Beginning and end of a path, and what such a file is for; the first that fits."""


def chosen(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return the files that go to the shop.

    Prints on paper, trial prints, reports and the file with all layers stay: they are for the one who plans.
    """
    return {path: data for path, data in files.items() if path != ALL_LAYERS and purpose(path)}


def purpose(path: str) -> str:
    """Return what a file is for; empty if a shop does not need it."""
    return next((words for start, end, words in PURPOSES if path.startswith(start) and path.endswith(end)), "")
