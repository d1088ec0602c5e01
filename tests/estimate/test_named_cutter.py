"""Where corners stay as drawn, the cutter that the recipe names cuts pocket and insert, even if a larger one fits."""

from __future__ import annotations

from dataclasses import replace

from part_samples import CREST, RECIPE, plan_of

from generator.estimate.cutters import deep_cuts
from generator.estimate.operations import operations
from generator.recipe.model_tools import Tool


def test_the_named_cutter_is_the_one_in_use():
    tools = {"fine": Tool(kind="end mill", diameter=1.0), "big": Tool(kind="end mill", diameter=6.0)}
    inlays = {"crest": replace(CREST, cutter="fine", corners="as drawn")}
    recipe = replace(RECIPE, tools=tools, inlays=inlays)
    used = {d.feature: d.used[0] for d in deep_cuts(recipe, plan_of(recipe))}
    assert used["inlay-pocket-crest"] == "fine"
    assert used["insert-profile-crest"] == "fine"
    assert used["outer-profile"] == "big"  # nothing is named for that


def test_the_setup_sheet_takes_the_named_cutter_round_the_insert():
    tools = {"fine": Tool(kind="end mill", diameter=1.0), "big": Tool(kind="end mill", diameter=6.0)}
    inlays = {"crest": replace(CREST, cutter="fine", corners="as drawn")}
    recipe = replace(RECIPE, tools=tools, inlays=inlays)
    rounds = [
        op for op in operations(recipe, plan_of(recipe)) if op.part.startswith("insert") and op.done == "cut round"
    ]
    assert {op.tool for op in rounds} == {"fine"}
