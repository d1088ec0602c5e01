"""Edges of the checks of the fit on the original."""

from __future__ import annotations

from dataclasses import replace

from cases_fit import above, around, holes, unbolted
from harness import Edge
from part_samples import ORIGINAL

from generator.fit.height import room_above_for
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import Bolts, Seat


def sunk(tolerance: float) -> Recipe:
    """Six countersunk bolts."""
    return holes(tolerance, Seat(screw="ISO 10642"), fit="coarse")


NEEDED_ABOVE = room_above_for(0.997, 0.1, 0.05)


def positions(tolerance: float) -> Recipe:
    """Two bolts M6 in fine holes."""
    original = replace(ORIGINAL, bolts=(Bolts(thread="M6", fit="fine", at=((-20.0, 0.0), (20.0, 0.0))),))
    return replace(around(0.3, bolts=tolerance), original=original)


EDGES = (
    Edge("fit-worst-case", "over-sum", unbolted, 0.1785, 0.1775),
    Edge("fit-chance", "unlikely", around, 0.15, 0.125),
    Edge("bolts-go-in", "too-fine", positions, 0.184, 0.19),
    Edge("heads-centred", "off-centre", sunk, 0.207, 0.208),
    Edge("clearance-above", "rocks", above, NEEDED_ABOVE * 1.001, NEEDED_ABOVE * 0.995),
    Edge("clearance-visible", "off-place", unbolted, 0.47, 0.475),
)
