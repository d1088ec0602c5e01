"""Checks of what holds inserts and what they are cut from. One file a check, one line a check here."""

from __future__ import annotations

from generator.checks.check import Check
from generator.checks.inserts import (
    burr_side,
    flush_by_stock,
    glue_area,
    glue_gap,
    insert_island,
    insert_width,
    peel_edge,
)

CHECKS: tuple[Check, ...] = (
    glue_gap.CHECK,
    glue_area.CHECK,
    peel_edge.CHECK,
    insert_width.CHECK,
    insert_island.CHECK,
    flush_by_stock.CHECK,
    burr_side.CHECK,
)
