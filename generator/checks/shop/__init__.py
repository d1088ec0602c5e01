"""Checks of what a shop needs: what making takes, and whether the files say all. One file a check, one line here."""

from __future__ import annotations

from generator.checks.check import Check
from generator.checks.shop import (
    depths_named,
    duplicate_outline,
    gap_tolerance,
    general_tolerance,
    hole_callout,
    making_estimate,
    material_known,
    sharp_corners,
    sheet_letters,
    short_steps,
    stock_standard,
    title_block,
    tolerance_process,
    trial_print,
)

CHECKS: tuple[Check, ...] = (
    duplicate_outline.CHECK,
    short_steps.CHECK,
    sharp_corners.CHECK,
    hole_callout.CHECK,
    depths_named.CHECK,
    general_tolerance.CHECK,
    tolerance_process.CHECK,
    gap_tolerance.CHECK,
    stock_standard.CHECK,
    material_known.CHECK,
    title_block.CHECK,
    sheet_letters.CHECK,
    trial_print.CHECK,
    making_estimate.CHECK,
)
