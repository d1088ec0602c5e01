"""From a judged recipe to what an output is given, when no pack is made of it."""

from __future__ import annotations

from generator.build.judge import Checked
from generator.outputs.output import Work

__all__ = ["work_of"]


def work_of(checked: Checked) -> Work:
    """Return what outputs that need no solid are given; digest, resolved recipe and versions belong to packs alone."""
    return Work(
        plan=checked.plan,
        layers=checked.layers,
        outcomes=checked.outcomes,
        recipe_digest="",
        resolved="",
        tool_versions={},
        recipe=checked.reading.recipe,
    )
