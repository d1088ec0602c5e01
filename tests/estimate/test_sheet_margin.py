"""The piece of sheet that an insert is cut from has room for the cutter that goes round it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from part_samples import CREST, RECIPE, plan_of

from generator.estimate.making import piece_size
from generator.recipe.model import Recipe
from generator.recipe.model_tools import Tool


def margins(recipe: Recipe) -> tuple[float, float]:
    """Return by how much the sheet is larger than the insert of 16 x 8 mm, less its gap, on either side, mm."""
    plan = plan_of(recipe)
    (insert,) = plan.inserts
    x, y, _ = piece_size(plan, insert)
    gap = recipe.inlays["crest"].gap or 0.0
    return (x - 16.0 + 2.0 * gap) / 2.0, (y - 8.0 + 2.0 * gap) / 2.0


def mills(**diameters: float) -> Recipe:
    """Return the sound recipe with these end mills."""
    return replace(RECIPE, tools={n: Tool(kind="end mill", diameter=d) for n, d in diameters.items()})


@pytest.mark.parametrize("diameter", [3.0, 6.0, 10.0, 16.0])
def test_the_cutter_goes_round_within_the_sheet(diameter):
    # a convex insert: any mill goes round it
    for margin in margins(mills(one=diameter)):
        assert margin > diameter
        assert margin == pytest.approx(diameter + 8.0, abs=0.7)  # room for clamps; whole millimetres, and the gap


def test_the_largest_that_goes_round_counts_and_without_tools_a_usual_one():
    assert min(margins(mills(fine=3.0, rough=12.0))) > 12.0 + 7.5
    assert min(margins(mills())) > 8.0 + 7.5


def test_the_cutter_that_the_recipe_names_counts():
    named = replace(mills(fine=3.0, rough=12.0), inlays={"crest": replace(CREST, cutter="fine", corners="as drawn")})
    assert max(margins(named)) < 3.0 + 9.0
