"""Checks of metals together: what corrodes, what grows, what presses. One file a check, one line a check here."""

from __future__ import annotations

from generator.checks.check import Check
from generator.checks.metals import (
    expansion_bond,
    expansion_gap,
    expansion_original,
    galvanic_bolts,
    galvanic_insert,
    galvanic_original,
    press_floor,
    press_stress,
)

CHECKS: tuple[Check, ...] = (
    galvanic_insert.CHECK,
    galvanic_original.CHECK,
    galvanic_bolts.CHECK,
    expansion_gap.CHECK,
    expansion_bond.CHECK,
    expansion_original.CHECK,
    press_stress.CHECK,
    press_floor.CHECK,
)
