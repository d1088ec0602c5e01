"""The catalogue of outer shapes: ``shapes.html``, ``shapes.png`` and a drawing; the same bytes on every run."""

from __future__ import annotations

from generator.outputs.catalogue_draw import FOLDER, draw_all
from generator.outputs.catalogue_entries import DRAWING
from generator.outputs.catalogue_figure import scale_for
from generator.outputs.catalogue_page import page
from generator.outputs.catalogue_sheet import Card, sheet
from generator.outputs.raster import rasterise
from generator.shapes import SHAPES

__all__ = ["catalogue_files"]


def catalogue_files() -> dict[str, bytes]:
    """Return names and bytes of the catalogue's files.

    Raises:
        ProofError: an outer shape does not hold its pocket and seats.
        OutputError: the font of the pictures is missing.
    """
    help_of = {s.name: s.help for s in SHAPES}
    cards: list[Card] = [(entry, drawings, help_of[entry.kind]) for entry, drawings in draw_all()]
    scale = scale_for([d for _, drawings, _ in cards for d in drawings])
    return {
        "shapes.html": page(cards, scale).encode("utf-8"),
        "shapes.png": rasterise(sheet(cards, scale)),
        DRAWING: (FOLDER / DRAWING).read_bytes(),
    }
