"""Checks of bolts, their holes and seats, and of the joint that they hold. One file a check, one line a check here."""

from __future__ import annotations

from generator.checks.bolts import (
    bolt_in_cover,
    bolt_in_footprint,
    bolt_spacing,
    hole_size,
    load_bearing,
    seat_depth,
    seat_wall,
)
from generator.checks.check import Check

CHECKS: tuple[Check, ...] = (
    load_bearing.CHECK,
    bolt_in_cover.CHECK,
    bolt_in_footprint.CHECK,
    bolt_spacing.CHECK,
    hole_size.CHECK,
    seat_wall.CHECK,
    seat_depth.CHECK,
)
