"""The demo recipes as outputs are given them, without the solid kernel."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from generator.build.judge import check
from generator.build.work import work_of as given
from generator.outputs.output import Work

RECIPES = sorted((Path(__file__).parents[2] / "recipes").glob("*.yaml"))


@cache
def work_of(path: Path, *sets: str) -> Work:
    """Return a recipe, planned and judged, with values laid over it."""
    return given(check(path, sets=sets))
