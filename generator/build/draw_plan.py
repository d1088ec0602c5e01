"""The plan drawn without building: what forbids a build is seen at its place, too."""

from __future__ import annotations

from generator.build.judge import Checked
from generator.outputs.output import Work
from generator.outputs.plan_svg import plan_svg
from generator.recipe.resolve import resolved_yaml

__all__ = ["drawn_plan"]


def drawn_plan(checked: Checked) -> str:
    """Return the plan of a judged recipe as SVG, its findings at their places, the forbidding ones included.

    Raises: GeometryError: what was found leaves nothing that can be drawn.
    """
    reading = checked.reading
    return plan_svg(
        Work(
            plan=checked.plan,
            layers=checked.layers,
            outcomes=checked.outcomes,
            recipe_digest="",
            resolved=resolved_yaml(reading),
            tool_versions={},
            recipe=reading.recipe,
        )
    )
