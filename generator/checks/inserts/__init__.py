"""Checks of inserts, their pockets and their artwork. One file a check, one line a check here."""

from __future__ import annotations

from generator.checks.check import Check
from generator.checks.inserts import (
    artwork_clash,
    artwork_in_insert,
    burr_side,
    fallen_pieces,
    flush_by_stock,
    glue_area,
    glue_gap,
    inlay_clash,
    inlay_in_cover,
    insert_gap,
    insert_height,
    insert_island,
    insert_width,
    peel_edge,
    press_holds,
)

CHECKS: tuple[Check, ...] = (
    inlay_in_cover.CHECK,
    inlay_clash.CHECK,
    artwork_in_insert.CHECK,
    artwork_clash.CHECK,
    fallen_pieces.CHECK,
    insert_gap.CHECK,
    insert_height.CHECK,
    glue_gap.CHECK,
    glue_area.CHECK,
    peel_edge.CHECK,
    press_holds.CHECK,
    insert_width.CHECK,
    insert_island.CHECK,
    flush_by_stock.CHECK,
    burr_side.CHECK,
)
