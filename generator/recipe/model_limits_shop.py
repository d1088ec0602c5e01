"""Limits of what a shop is asked for."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.figures import Figure
from generator.base.frozen_record import frozen_record
from generator.base.practice import CUSTOM, OWN


@frozen_record(kw_only=True)
class ShopLimits:
    """What is asked of a shop."""

    longest_cutting: Figure = f.limit(
        Figure(480.0, "min", OWN, ""),
        "Cutting for longer, reckoned with all setups, is worth a warning: a working day.",
        at_most=100_000,
    )
    twice_within: Figure = f.limit(
        Figure(0.05, "mm", OWN, ""),
        "Outlines of one depth that lie nearer to each other than this, on average, are one outline drawn twice; so "
        "are bolts.",
        at_most=5,
    )
    shortest_step: Figure = f.limit(
        Figure(0.01, "mm", f"{CUSTOM}: what a mill's slides can just be told apart", "memory"),
        "Lines and arcs of an outline that are shorter make a control stutter.",
        at_most=1,
    )
    corner_round: Figure = f.limit(
        Figure(0.3, "mm", f"{CUSTOM}: a sharp edge is broken by some tenths", "memory"),
        "Outside corners of the cover that are rounded by less catch hands and cloth.",
        at_most=50,
    )
    corner_turn: Figure = f.limit(
        Figure(30.0, "°", OWN, ""),
        "An outline that turns by less is no corner.",
        at_most=180,
    )
    drill_within: Figure = f.limit(
        Figure(0.02, "mm", f"{CUSTOM}: less than a drill cuts oversize", "memory"),
        "A hole whose diameter is off the nearest stocked drill by more has to be milled or reamed.",
        at_most=5,
    )
    stock_within: Figure = f.limit(
        Figure(0.05, "mm", OWN, ""),
        "A plate or sheet whose thickness is off the nearest stocked one by more has to be ordered or milled down.",
        at_most=5,
    )
    general_share: Figure = f.limit(
        Figure(1.0, "of 1", f"{OWN}: all of it", ""),
        "Share of the clearance that the general tolerance may take on one side.",
        at_least=0.01,
        at_most=10,
    )
    measured: Figure = f.limit(
        Figure(0.02, "mm", "ISO 13385-1: what a caliper may be off by itself", "memory"),
        "An original that is said to be known better than this was not measured with a caliper.",
        at_most=5,
    )
    depths_apart: Figure = f.limit(
        Figure(1.0, "x depth", f"{OWN}: the whole of the tolerance", ""),
        "Depths that differ by less than this many `tolerances.depth` cannot be told from each other; a cut shallower "
        "than so many may come out as nothing.",
        at_most=20,
    )
