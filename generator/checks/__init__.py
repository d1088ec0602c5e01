"""Checks: each one judges the plan from its regions and yields findings. One file a check, one line a check here."""

from __future__ import annotations

from generator.checks import (
    artwork_in_insert,
    bolt_in_cover,
    bolt_in_footprint,
    bolt_spacing,
    can_be_built,
    cutter_reach,
    dowels,
    edge_break,
    fallen_pieces,
    finer_than_cutter,
    hole_size,
    inlay_clash,
    inlay_in_cover,
    insert_gap,
    insert_height,
    knife_edge,
    load_bearing,
    one_piece,
    opening_in_outer,
    pocket_depth,
    pocket_in_outer,
    seat_depth,
    seat_wall,
    thin_floor,
)
from generator.checks.check import Check, Outcome
from generator.checks.run import judge
from generator.part.part import Plan
from generator.recipe.model import Recipe

__all__ = ["CHECKS", "run_checks"]

CHECKS: tuple[Check, ...] = (
    load_bearing.CHECK,
    pocket_in_outer.CHECK,
    pocket_depth.CHECK,
    one_piece.CHECK,
    bolt_in_cover.CHECK,
    bolt_in_footprint.CHECK,
    bolt_spacing.CHECK,
    hole_size.CHECK,
    seat_wall.CHECK,
    seat_depth.CHECK,
    opening_in_outer.CHECK,
    inlay_in_cover.CHECK,
    inlay_clash.CHECK,
    thin_floor.CHECK,
    artwork_in_insert.CHECK,
    finer_than_cutter.CHECK,
    fallen_pieces.CHECK,
    insert_gap.CHECK,
    insert_height.CHECK,
    edge_break.CHECK,
    cutter_reach.CHECK,
    dowels.CHECK,
    can_be_built.CHECK,
    knife_edge.CHECK,
)


def run_checks(recipe: Recipe, plan: Plan) -> tuple[Outcome, ...]:
    """Return the outcome of every check, in the order of ``CHECKS``; a crash of one stops none of the others."""
    return judge(CHECKS, recipe, plan)
