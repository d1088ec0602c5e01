"""Edges of the checks of metals together, of floors that give, and of what holds inserts."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

from cases_metals import bar, dot, ring
from harness import Edge
from part_samples import CREST, ORIGINAL, RECIPE, cover, crest, original

from generator.recipe.model import Recipe
from generator.recipe.model_conditions import Conditions
from generator.recipe.model_material import OwnMaterial


def of_index(index: float) -> Recipe:
    """A pressed-in insert of a metal with this anodic index, in aluminium of 0.90."""
    return crest(fit="press", material=OwnMaterial(name="own", density=8000.0, anodic_index=index))


def over_stainless(index: float) -> Recipe:
    own = OwnMaterial(name="own", density=8000.0, anodic_index=index)
    return replace(cover(material=own), original=replace(ORIGINAL, material="stainless steel"))


def bonded(index: float) -> Recipe:
    own = OwnMaterial(name="own", density=8000.0, anodic_index=index)
    return replace(crest(material=own), conditions=Conditions(environment="marine"))


FAR = hypot(8.0 - 2.0, 4.0 - 2.0) + 2.0 - 0.05
"""From the middle of the crest's insert to its rounded corner, mm."""
PLASTIC_TAKES = (110e-6 - 23.4e-6) * FAR * 20.0
STEEL_TAKES = (23.4e-6 - 12e-6) * (hypot(25.0, 10.0) + 5.0) * 15.0


def plastic(gap: float) -> Recipe:
    return crest(material="POM-C", gap=gap)


def around(clearance: float) -> Recipe:
    return replace(original(material="carbon steel"), clearance=replace(RECIPE.clearance, around=clearance))


def sheet(tolerance: float) -> Recipe:
    return crest(stock=replace(CREST.stock, tolerance=tolerance))


def glued(gap: float) -> Recipe:
    return crest(adhesive="epoxy", gap=gap)


EDGES = (
    Edge("galvanic-insert", "bare-contact", of_index, 0.651, 0.649),
    Edge("galvanic-insert", "film-only", bonded, 0.751, 0.749),
    Edge("galvanic-original", "bare-contact", over_stainless, 0.749, 0.751),
    Edge("expansion-gap", "closes", plastic, PLASTIC_TAKES + 1e-4, PLASTIC_TAKES - 1e-4),
    Edge("expansion-original", "clearance-closes", around, STEEL_TAKES + 1e-4, STEEL_TAKES - 1e-4),
    Edge("glue-gap", "starved", glued, 0.0502, 0.0498),
    Edge("glue-gap", "too-wide", glued, 0.199, 0.201),
    Edge("glue-gap", "not-its-best", glued, 0.1295, 0.1305),
    Edge("peel-edge", "stands-out", lambda by: crest(sits="proud", by=by), 0.749, 0.751),
    Edge("insert-width", "narrow", bar, 0.1 + 0.751, 0.1 + 0.749),
    Edge("insert-island", "tiny-piece", dot, 0.8 + 0.001, 0.8 - 0.001),
    Edge("insert-island", "weak-island", ring, 0.3751, 0.3749),
    Edge("flush-by-stock", "step", sheet, 0.0999, 0.1005),
)
