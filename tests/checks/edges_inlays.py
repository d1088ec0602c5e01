"""Where the findings of inlays, gaps and artwork begin."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

from cases_inlays import SHARP, arts, fine
from harness import Edge
from part_samples import box, crest

from generator.recipe.model import Recipe


def sharp(gap: float) -> Recipe:
    """A pocket with sharp corners, as drawn, and this gap."""
    return crest(outline=SHARP, gap=gap, corners="as drawn")


def two_near(apart: float) -> Recipe:
    """Two pieces whose inserts lie so far apart: their pockets are nearer by the gap on either side."""
    between = apart - 2.0 * 0.05
    return fine(crest(outline=replace(box(7.0, 6.0, (-4.0, 4.0)), add=(box(7.0, 6.0, (7.0 + between, 0.0)),))))


UNEVEN = 0.05 / (sqrt(2.0) - 1.0)
"""The gap that is 0.05 mm wider across a right angle."""

EDGES: tuple[Edge, ...] = (
    Edge("insert-gap", "uneven", sharp, just=0.999 * UNEVEN, beyond=1.001 * UNEVEN),
    Edge("insert-gap", "loose", lambda gap: crest(gap=gap), just=0.2, beyond=0.2001),
    Edge("insert-gap", "tight", lambda gap: crest(gap=gap), just=0.02, beyond=0.01999),
    Edge("cutter-reach", "close-pieces", two_near, just=1.001, beyond=0.995),
    Edge("artwork-clash", "overlap", lambda apart: arts("engraved", "engraved", apart=apart), 4.0, 3.99, near=0.01),
    Edge("artwork-clash", "thin-web", lambda apart: arts("engraved", "engraved", apart=apart), 4.1501, 4.1499),
)
