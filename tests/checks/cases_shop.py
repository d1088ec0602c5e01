"""Cases of the checks of what a shop needs."""

from __future__ import annotations

from dataclasses import replace

from harness import NOTES, WARNS, Case
from part_samples import RECIPE

from generator.recipe.model_tools import Tool

ONE_SMALL = replace(RECIPE, tools={"fine": Tool(kind="end mill", diameter=0.8)})

CASES: tuple[Case, ...] = (
    ("making-estimate", "takes", NOTES, RECIPE),
    ("making-estimate", "long", WARNS, ONE_SMALL),
)
