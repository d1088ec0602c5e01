"""Checks of the cutters at hand against what they have to cut. One file a check, one line a check here."""

from __future__ import annotations

from generator.checks.check import Check
from generator.checks.cutting import (
    corner_to_depth,
    cutter_deflection,
    cutter_reach,
    depth_to_diameter,
    finer_than_cutter,
    flute_length,
    tools_at_hand,
)

CHECKS: tuple[Check, ...] = (
    finer_than_cutter.CHECK,
    cutter_reach.CHECK,
    tools_at_hand.CHECK,
    flute_length.CHECK,
    depth_to_diameter.CHECK,
    corner_to_depth.CHECK,
    cutter_deflection.CHECK,
)
