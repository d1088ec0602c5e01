"""What a build hands back: one file an output, and how a pack is written."""

from __future__ import annotations

from typing import Final

from generator.outputs.registry import Registered, registered

OUTPUTS: Final[tuple[Registered, ...]] = registered(
    "step layers_dxf previews plan_svg prints templates drawings_pdf drawings_dxf setup_sheets inspection parts_list "
    "visual_report"
)
"""Every output, in the order in which it is made."""
