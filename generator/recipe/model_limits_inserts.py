"""Limits of inserts in their pockets: what holds them and what they are made from."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.figures import Figure
from generator.base.frozen_record import frozen_record
from generator.base.practice import CUSTOM, OWN
from generator.recipe.model_adhesive import AdhesiveLimits


@frozen_record(kw_only=True)
class InsertLimits(AdhesiveLimits):
    """How inserts are held, and what is too small to be one."""

    holds: Figure = f.limit(
        Figure(20.0, "N", f"{OWN}: a finger nail that picks at it", ""),
        "Force that the bond of every piece must hold.",
        at_most=10_000,
    )
    bond_share: Figure = f.limit(
        Figure(0.1, "of 1", f"{OWN}: bonds are weak in peel, surfaces are never as clean as in a test", ""),
        "Share of an adhesive's shear strength that is counted on.",
        at_least=0.001,
        at_most=1,
    )
    rattles: Figure = f.limit(
        Figure(0.03, "mm", OWN, ""),
        "An insert that nothing bonds and that may be looser than this a side rattles or falls out.",
        at_most=5,
    )
    stands_out: Figure = f.limit(
        Figure(0.5, "x thickness", OWN, ""),
        "A bonded insert that stands out of its pocket by more of its thickness peels when something catches it.",
        at_most=1,
    )
    narrow: Figure = f.limit(
        Figure(0.5, "x thickness", "common practice, no source", "memory"),
        "An insert narrower than this somewhere bends while it is cut and while it is let in.",
        at_most=10,
    )
    piece: Figure = f.limit(
        Figure(1.5, "mm", f"{OWN}: below, tweezers do not hold it and tape does not either", ""),
        "Least width of a piece of insert that is let in by itself.",
        at_most=50,
    )
    island: Figure = f.limit(
        Figure(0.5, "x depth", "common practice for low ribs, no source", "memory"),
        "Least width of an island of plate that stands in an inlay pocket, in depths of the pocket.",
        at_most=10,
    )
    step: Figure = f.limit(
        Figure(0.15, "mm", f"{OWN}: a step that is seen and catches a cloth", ""),
        "What sheet, plate and depth may together put a flush insert off the top face, at worst.",
        at_most=5,
    )
    gap_tight: Figure = f.limit(
        Figure(0.02, "mm", f"{CUSTOM} (hand-fitted inlay, bare: 0.02 to 0.05 mm per side)", "memory"),
        "A narrower gap a side needs force.",
        at_most=5,
    )
    gap_uneven: Figure = f.limit(
        Figure(0.05, "mm", f"{OWN}: it is seen", ""),
        "How much wider than along the sides the gap may be in corners of the pocket.",
        at_most=5,
    )
    gap_loose: Figure = f.limit(
        Figure(0.2, "mm", "adhesive makers' guides (0.05 to 0.20 mm per joint)", "read"),
        "A wider gap a side rattles and bonds badly.",
        at_most=5,
    )
    sits_within: Figure = f.limit(
        Figure(0.02, "mm", OWN, ""),
        "An insert that misses the height asked for by more is told: a step that a finger feels.",
        at_most=5,
    )
    pocket_holds: Figure = f.limit(
        Figure(0.3, "mm", OWN, ""),
        "An inlay pocket shallower than this and than `pocket_holds_share` does not hold its insert in place: a broken "
        "edge alone takes 0.1 to 0.2 mm.",
        at_most=50,
    )
    pocket_holds_share: Figure = f.limit(
        Figure(1.0 / 3.0, "x thickness", OWN, ""),
        "The same in thicknesses of the insert.",
        at_most=10,
    )
