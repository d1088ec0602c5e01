"""The plan drawn without building: what forbids a build is seen at its place, too."""

from __future__ import annotations

from generator.build.judge import Checked
from generator.build.work import work_of
from generator.outputs.plan_svg import plan_svg

__all__ = ["drawn_plan"]


def drawn_plan(checked: Checked) -> str:
    """Return the plan of a judged recipe as SVG, its findings at their places, the forbidding ones included.

    Raises: GeometryError: what was found leaves nothing that can be drawn.
    """
    return plan_svg(work_of(checked))
