"""Checks of what a shop needs: what making takes, and whether the files say all. One file a check, one line here."""

from __future__ import annotations

from generator.checks.check import Check
from generator.checks.shop import making_estimate

CHECKS: tuple[Check, ...] = (making_estimate.CHECK,)
