"""Checks of the plate itself: walls, floors, one piece, a body. One file a check, one line a check here."""

from __future__ import annotations

from generator.checks.check import Check
from generator.checks.cover import (
    can_be_built,
    edge_break,
    floor_deflection,
    floor_stress,
    floor_under_cutting,
    knife_edge,
    one_piece,
    opening_in_outer,
    pocket_depth,
    pocket_in_outer,
    pocket_wall,
    thin_floor,
)

CHECKS: tuple[Check, ...] = (
    pocket_in_outer.CHECK,
    pocket_wall.CHECK,
    pocket_depth.CHECK,
    one_piece.CHECK,
    opening_in_outer.CHECK,
    thin_floor.CHECK,
    floor_deflection.CHECK,
    floor_stress.CHECK,
    floor_under_cutting.CHECK,
    edge_break.CHECK,
    can_be_built.CHECK,
    knife_edge.CHECK,
)
