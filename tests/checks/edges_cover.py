"""Edges of the checks of the plate itself."""

from __future__ import annotations

from dataclasses import replace

from harness import Edge
from part_samples import CREST, box, cover, crest, disc, original, stock

from generator.recipe.model import Opening

FLOOR = 12.0 - 3.4
"""Metal over the bottom pocket of the sound recipe, mm."""


def inlay_of(thickness: float):
    return crest(stock=replace(CREST.stock, thickness=thickness))


def plate_of(width: float):
    return replace(cover(outer=box(width, 50.0, round_mm=5.0), edge_break=0.1), inlays={})


def opening_at(y: float):
    return replace(original(openings={"cable": Opening(outline=disc(3.0, (0.0, y)))}), inlays={})


EDGES = (
    Edge("thin-floor", "thin", inlay_of, FLOOR - 0.8, FLOOR - 0.8 + 0.008),
    Edge("thin-floor", "broken-through", inlay_of, FLOOR - 0.005, FLOOR + 0.005),
    Edge("pocket-depth", "thin-floor", lambda t: stock(thickness=t), 3.4 + 0.8, 3.4 + 0.792),
    Edge("pocket-in-outer", "thin-wall", plate_of, 60.6 + 1.602, 60.6 + 1.59),
    Edge("pocket-in-outer", "wall-too-thin", plate_of, 60.6 + 1.002, 60.6 + 0.992),
    Edge("opening-in-outer", "thin-web", opening_at, -25.0 + 3.8, -25.0 + 3.793),
)
