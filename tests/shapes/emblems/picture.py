"""Draw docs/pictures/emblems.png: ``python -m tests.shapes.emblems.picture``. The same bytes on every run."""

from __future__ import annotations

from pathlib import Path

from generator.outline.measure import bounds
from generator.outputs.raster import FONT_FAMILY, rasterise
from generator.outputs.svg_pen import path_data
from generator.shapes.emblems import EMBLEM_SHAPES
from tests.shapes.recipe_form import drawn

TARGET = Path(__file__).parents[3] / "docs" / "pictures" / "emblems.png"
CELL, COLUMNS, ROOM = 220, 4, 150
BRASS, DARK, PAPER = "#d8b25c", "#2b2620", "#faf7f0"


def sheet() -> bytes:
    """Return the PNG: every emblem as it comes, dark on a disc of brass, its name below."""
    cells = []
    for i, shape in enumerate(EMBLEM_SHAPES):
        x, y = i % COLUMNS * CELL, i // COLUMNS * CELL
        region = drawn({shape.name: {"size": 50}})
        box = bounds(region)
        scale = ROOM / 50
        cx, cy = box.centre
        middle = f"translate({CELL / 2} {CELL / 2 - 12})"
        cells.append(
            f'<g transform="translate({x} {y})">'
            f'<circle cx="{CELL / 2}" cy="{CELL / 2 - 12}" r="{CELL / 2 - 18}" fill="{BRASS}"/>'
            f'<g transform="{middle} scale({scale} {-scale}) translate({-cx:.6f} {-cy:.6f})">'
            f'<path fill="{DARK}" fill-rule="evenodd" d="{path_data(region)}"/></g>'
            f'<text x="{CELL / 2}" y="{CELL - 6}" font-family="{FONT_FAMILY}" font-size="13" text-anchor="middle" '
            f'fill="{DARK}">{shape.name}</text></g>'
        )
    width, height = COLUMNS * CELL, -(-len(EMBLEM_SHAPES) // COLUMNS) * CELL + 8
    return rasterise(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}">'
        f'<rect width="{width}" height="{height}" fill="{PAPER}"/>{"".join(cells)}</svg>'
    )


if __name__ == "__main__":
    TARGET.write_bytes(sheet())
