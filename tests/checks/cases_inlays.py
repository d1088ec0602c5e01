"""Recipes that are spoiled in an inlay, its artwork or its gap, one for every code."""

from __future__ import annotations

from dataclasses import replace

from harness import NOTES, WARNS, Case
from part_samples import box, crest, disc

from generator.recipe.model import Recipe
from generator.recipe.model_inlay import Artwork
from generator.recipe.model_tools import Tool


def fine(recipe: Recipe, diameter: float = 1.0) -> Recipe:
    """The recipe with a fine end mill."""
    return replace(recipe, tools={"fine": Tool(kind="end mill", diameter=diameter)})


SHARP = box(16.0, 8.0, (0.0, 4.0))
EYE = replace(disc(4.0, (0.0, 4.0)), cut=(disc(1.4, (1.5, 0.0)),))
"""A disc with a hole so near its edge that a gap of 0.6 mm leaves nothing of the rim between."""
TWO_NEAR = replace(box(7.0, 6.0, (-4.0, 4.0)), add=(box(7.0, 6.0, (7.6, 0.0)),))
"""Two pieces 0.6 mm apart."""
TWO_ALIKE = replace(box(1.0, 1.0, (-4.0, 4.0)), add=(box(1.0, 1.0, (4.0, 0.0)),))
"""Two small squares of one size."""


def arts(*done: str, apart: float = 1.5) -> Recipe:
    """Discs of 2 mm radius on one insert, so far apart, each done in its way."""
    outlines = [disc(2.0, (k * apart - 1.0, 0.0)) for k in range(len(done))]
    return fine(crest(artwork={f"n{k}": Artwork(outline=o, done=done[k]) for k, o in enumerate(outlines)}))


CASES: tuple[Case, ...] = (
    ("insert-gap", "uneven", NOTES, crest(outline=SHARP, gap=0.2, corners="as drawn")),
    ("insert-gap", "uneven", WARNS, fine(crest(outline=EYE, gap=0.6))),
    ("artwork-clash", "overlap", WARNS, arts("engraved", "cut through")),
    ("artwork-clash", "overlap", WARNS, arts("engraved", "engraved")),
    ("artwork-clash", "overlap", WARNS, arts("cut through", "cut through")),
    ("artwork-clash", "thin-web", WARNS, arts("engraved", "cut through", apart=4.1)),
    ("cutter-reach", "close-pieces", NOTES, fine(crest(outline=TWO_NEAR))),
)
