"""The demo recipes as outputs are given them, without the solid kernel."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from generator.build.judge import check
from generator.outputs.output import Work

RECIPES = sorted((Path(__file__).parents[2] / "recipes").glob("*.yaml"))


@cache
def work_of(path: Path, *sets: str) -> Work:
    """Return a recipe, planned and judged, with values laid over it."""
    checked = check(path, sets=sets)
    return Work(
        plan=checked.plan,
        layers=checked.layers,
        outcomes=checked.outcomes,
        recipe_digest="0" * 64,
        resolved="",
        tool_versions={},
        recipe=checked.reading.recipe,
    )
