"""Checks of work on two faces and of holding the work. One file a check, one line a check here."""

from __future__ import annotations

from generator.checks.check import Check
from generator.checks.flip import (
    blank_frame,
    clamps,
    dowel_pins,
    dowel_seen,
    dowels,
    flip_error,
    holding,
    stock_thickness,
    wrong_flip,
)

CHECKS: tuple[Check, ...] = (
    dowels.CHECK,
    dowel_pins.CHECK,
    dowel_seen.CHECK,
    flip_error.CHECK,
    wrong_flip.CHECK,
    stock_thickness.CHECK,
    blank_frame.CHECK,
    holding.CHECK,
    clamps.CHECK,
)
