"""The recipe's limits: what the checks hold a plan against. Every one can be set; defaults say where they come from.

One record a theme, in a file of its own; a limit in a record is a figure with its source (``base/figures.py``).
"""

from __future__ import annotations

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.recipe.model_limits_bolts import BoltLimits
from generator.recipe.model_limits_cutting import CuttingLimits
from generator.recipe.model_limits_fit import FitLimits
from generator.recipe.model_limits_flip import FlipLimits
from generator.recipe.model_limits_inserts import InsertLimits
from generator.recipe.model_limits_metals import FloorLimits, MetalLimits
from generator.recipe.model_limits_shop import ShopLimits
from generator.recipe.model_limits_walls import WallLimits


@frozen_record(kw_only=True)
class Limits:
    """What the checks hold a plan against, by theme."""

    walls: WallLimits = f.record(WallLimits, "Limits of walls, floors, ribs and webs.", default=WallLimits())
    cutting: CuttingLimits = f.record(
        CuttingLimits, "Limits of what cutters and drills can do.", default=CuttingLimits()
    )
    flip: FlipLimits = f.record(FlipLimits, "Limits of work on two faces.", default=FlipLimits())
    shop: ShopLimits = f.record(ShopLimits, "Limits of what a shop is asked for.", default=ShopLimits())
    fit: FitLimits = f.record(FitLimits, "Limits of how the cover goes over the original.", default=FitLimits())
    bolts: BoltLimits = f.record(BoltLimits, "Limits of bolts, their threads and heads.", default=BoltLimits())
    metals: MetalLimits = f.record(MetalLimits, "Limits of metals together.", default=MetalLimits())
    floor: FloorLimits = f.record(FloorLimits, "Limits of floors over the bottom pocket.", default=FloorLimits())
    inserts: InsertLimits = f.record(InsertLimits, "Limits of inserts and what holds them.", default=InsertLimits())
