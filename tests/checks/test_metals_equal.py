"""What just meets a limit passes: no finding comes of the last digit of a sum."""

from __future__ import annotations

from dataclasses import replace

import pytest
from harness import found
from part_samples import COVER, CREST, RECIPE, crest

from generator.base.galvanic import INDEX_OF
from generator.recipe.model import Recipe
from generator.recipe.model_conditions import Conditions
from generator.recipe.model_material import OwnMaterial

OUTDOOR = Conditions(environment="outdoor")


def metal(index: float) -> OwnMaterial:
    return OwnMaterial(name="own", density=8000.0, anodic_index=index)


def pair(inner: float, outer: float) -> Recipe:
    """A pressed-in insert of one metal in a cover of another, out of doors."""
    inlay = replace(CREST, material=metal(inner), fit="press", adhesive="none")
    cover = replace(COVER, material=metal(outer))
    return replace(RECIPE, cover=cover, inlays={"crest": inlay}, conditions=OUTDOOR)


@pytest.mark.parametrize("hundredths", [30, 35, 75, 105])
def test_metals_just_as_far_apart_as_they_may_be_go_together(hundredths: int) -> None:
    for inner, outer in ((hundredths, hundredths + 15), (hundredths + 15, hundredths)):
        assert not found(pair(inner / 100.0, outer / 100.0), "galvanic-insert")


def test_copper_in_stainless_steel_outdoors_is_within_the_custom() -> None:
    inlay = replace(CREST, material="Cu-ETP R240", fit="press", adhesive="none")
    cover = replace(COVER, material="1.4301 annealed")
    assert INDEX_OF["1.4301 annealed"] - INDEX_OF["Cu-ETP R240"] > 0.15  # in binary
    assert not found(replace(RECIPE, cover=cover, inlays={"crest": inlay}, conditions=OUTDOOR), "galvanic-insert")


@pytest.mark.parametrize("metal_of_bolts", ["stainless steel"])
def test_bolts_just_as_far_from_the_cover_as_they_may_be(metal_of_bolts: str) -> None:
    index = INDEX_OF[metal_of_bolts]
    group = replace(RECIPE.original.bolts[0], metal=metal_of_bolts)
    recipe = replace(
        RECIPE,
        cover=replace(COVER, material=metal(round(index - 0.15, 2))),
        original=replace(RECIPE.original, material=metal_of_bolts, bolts=(group,)),
        conditions=OUTDOOR,
    )
    assert not found(recipe, "galvanic-bolts")
    assert not found(recipe, "galvanic-original")


def test_a_gap_just_as_wide_as_the_adhesive_likes() -> None:
    assert not found(crest(adhesive="epoxy", gap=0.1 + 0.03 + 1e-12), "glue-gap")
    assert not found(crest(adhesive="epoxy", gap=0.05 - 1e-12), "glue-gap")
    assert not found(crest(gap=0.2 + 1e-12), "insert-gap")
    assert not found(crest(gap=0.02 - 1e-12), "insert-gap")
