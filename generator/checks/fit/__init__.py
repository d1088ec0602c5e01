"""Checks of the fit on the original. One file a check, one line a check here."""

from __future__ import annotations

from generator.checks.check import Check
from generator.checks.fit import (
    bolts_go_in,
    clearance_above,
    clearance_visible,
    fit_chance,
    fit_worst_case,
    heads_centred,
)

CHECKS: tuple[Check, ...] = (
    fit_worst_case.CHECK,
    fit_chance.CHECK,
    bolts_go_in.CHECK,
    heads_centred.CHECK,
    clearance_above.CHECK,
    clearance_visible.CHECK,
)
