"""Checks of work on two faces. One file a check, one line a check here."""

from __future__ import annotations

from generator.checks.check import Check
from generator.checks.flip import dowels

CHECKS: tuple[Check, ...] = (dowels.CHECK,)
