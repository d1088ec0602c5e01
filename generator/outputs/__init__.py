"""What a build hands back: one file an output, and how a pack is written."""

from __future__ import annotations

from typing import Final

from generator.outputs import layers_dxf, plan_svg, previews, prints, step, templates
from generator.outputs.output import Output

OUTPUTS: Final[tuple[Output, ...]] = (
    step.OUTPUT,
    layers_dxf.OUTPUT,
    previews.OUTPUT,
    plan_svg.OUTPUT,
    prints.OUTPUT,
    templates.OUTPUT,
)
"""Every output, in the order in which it is made."""
