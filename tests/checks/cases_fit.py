"""Recipes whose cover hardly goes over its original, one for every code."""

from __future__ import annotations

from dataclasses import replace

from harness import NOTES, WARNS, Case
from part_samples import COVER, ORIGINAL, RECIPE, disc, original

from generator.recipe.model import Clearance, Recipe
from generator.recipe.model_bolts import Bolts, Seat
from generator.recipe.model_tolerances import Tolerances


def around(clearance: float, **changes: float) -> Recipe:
    """The sound recipe with another clearance all round, and other tolerances."""
    return replace(RECIPE, clearance=replace(RECIPE.clearance, around=clearance), tolerances=Tolerances(**changes))


def unbolted(clearance: float, **changes: float) -> Recipe:
    """The same without bolts."""
    return replace(around(clearance, **changes), original=replace(ORIGINAL, bolts=()))


def above(clearance: float, **changes: float) -> Recipe:
    """The sound recipe with another clearance above the original."""
    return replace(RECIPE, clearance=replace(RECIPE.clearance, above=clearance), tolerances=Tolerances(**changes))


def holes(tolerance: float, seats: Seat | str = "none", **bolts: object) -> Recipe:
    """Six bolts whose positions are known to within a tolerance."""
    at = tuple((x, y) for x in (-25.0, 0.0, 25.0) for y in (-9.0, 9.0))
    made = Bolts(**{"thread": "M6", "fit": "fine", "at": at, **bolts})
    bare = replace(original(bolts=(made,), openings={}), inlays={}, cover=replace(COVER, seats=seats))
    return replace(bare, tolerances=Tolerances(bolts=tolerance))


ROUND = replace(
    original(footprint=disc(20.0), bolts=(Bolts(thread="M6", at=((0.0, 0.0),)),), openings={}),
    inlays={},
    clearance=Clearance(around=0.3),
)

CASES: tuple[Case, ...] = (
    ("fit-worst-case", "over-sum", NOTES, around(0.12)),
    ("fit-worst-case", "over-sum", NOTES, around(0.15)),
    ("fit-worst-case", "over-sum", NOTES, holes(0.2)),
    ("fit-worst-case", "over-sum", NOTES, holes(0.1, Seat(screw="ISO 4762", diameter=10.5), fit="coarse")),
    ("fit-chance", "unlikely", WARNS, around(0.08)),
    ("fit-chance", "unlikely", WARNS, unbolted(0.25, footprint=0.4)),
    ("bolts-go-in", "too-fine", WARNS, holes(0.2)),
    ("bolts-go-in", "too-fine", WARNS, holes(0.2, thread="", hole=6.5)),
    ("bolts-go-in", "too-fine", WARNS, holes(1.5)),
    ("bolts-go-in", "too-fine", WARNS, holes(0.1, Seat(screw="ISO 4762", diameter=10.4), fit="medium")),
    ("heads-centred", "off-centre", WARNS, holes(0.4, Seat(screw="ISO 10642"), fit="coarse")),
    ("clearance-above", "rocks", WARNS, above(0.1)),
    ("clearance-above", "on-original", NOTES, above(0.0)),
    ("clearance-visible", "off-place", WARNS, unbolted(1.0)),
    ("clearance-visible", "off-place", WARNS, unbolted(0.9, footprint=2.0)),
    ("clearance-visible", "turns-freely", NOTES, ROUND),
)  # fmt: skip
