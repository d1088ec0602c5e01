"""How much room an end mill needs in a hole, and how near a drill must come to it, are limits like all others."""

from __future__ import annotations

from dataclasses import replace

from harness import found
from part_samples import RECIPE

from generator.base.figures import SET
from generator.recipe.model import Recipe
from generator.recipe.model_tools import Tool


def at_hand(kind: str, diameter: float, **limits: float) -> Recipe:
    """A recipe with an end mill that just does not go round in its holes of 6.6 mm, and limits of its own."""
    tools = {"only": Tool(kind="end mill", diameter=6.3), "more": Tool(kind=kind, diameter=diameter)}
    cutting = RECIPE.limits.cutting
    set_ = {k: getattr(cutting, k).chosen(v) for k, v in limits.items()}
    return replace(RECIPE, tools=tools, limits=replace(RECIPE.limits, cutting=replace(cutting, **set_)))


def holes(recipe: Recipe) -> list[str]:
    return [f.source for f in found(recipe, "tools-at-hand") if f.code == "nothing-fits" and "hole" in f.feature]


def test_the_room_of_an_end_mill_in_a_hole_can_be_set() -> None:
    assert holes(at_hand("reamer", 6.0)) == ["share of the hole's diameter: our own choice: chips get out"]
    assert holes(at_hand("reamer", 6.0, mill_in_hole=0.8)) == [f"share of the hole's diameter: {SET}"]
    assert not holes(at_hand("reamer", 6.0, mill_in_hole=0.96))


def test_how_near_a_drill_must_come_can_be_set() -> None:
    assert not holes(at_hand("drill", 6.56))
    assert holes(at_hand("drill", 6.56, drill_fits=0.03))
    assert not holes(at_hand("drill", 6.5, drill_fits=0.1))
