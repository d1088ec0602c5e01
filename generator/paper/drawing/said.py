"""What a drawing says of order, tolerances and paper, out of the recipe, and how it tells lengths."""

from __future__ import annotations

from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.units import LengthUnit, length_unit
from generator.estimate.characteristics import Characteristic, characteristics
from generator.estimate.general_limits import general_limits
from generator.paper.letters import LEAST_MM, fitted
from generator.part.mass import mass_g
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

__all__ = ["DIAMETER", "PLUS_MINUS", "Said", "said_of"]

DIAMETER: Final = "⌀"
PLUS_MINUS: Final = "±"
GENERAL: Final = "ISO 2768-"
"""How limits that come from the general tolerances name their source."""
GENERAL_MM: Final = 42.0
"""Room for the general tolerances in the title block."""
EVEN_MM: Final = 1e-9


@frozen_record
class Said:
    """One part with all that its drawing must tell.

    Attributes:
        plan: the plan.
        part: cover or insert.
        recipe: order, tolerances, paper.
        unit: in which lengths are told.
        listed: the part's numbered characteristics.
        mass_g: the part's mass, g.
    """

    plan: Plan
    part: Part
    recipe: Recipe
    unit: LengthUnit
    listed: tuple[Characteristic, ...]
    mass_g: float

    @property
    def is_cover(self) -> bool:
        """Return True for the cover."""
        return self.part is self.plan.cover

    @property
    def number(self) -> str:
        """Return the identification number of the drawing."""
        return f"{self.recipe.order.number or self.plan.name}-{self.part.name}"

    @property
    def finish(self) -> str:
        """Return the part's finish in words."""
        return self.recipe.order.finish if self.is_cover else self.recipe.order.insert_finish

    @property
    def general(self) -> str:
        """Return the general tolerances as the title block has room for them: no others hold for a bare figure."""
        return fitted(self.recipe.tolerances.general, LEAST_MM, GENERAL_MM)

    def figure(self, mm: float) -> str:
        """Return a length as a bare figure, with a true minus sign."""
        return self.unit.figure(mm).replace("-", "−")

    def with_limits(self, c: Characteristic) -> str:
        """Return a characteristic's figure with its tolerance: ``6.6 ±0.05`` or ``6 +0.012/0``.

        The bare figure where its limits are just the general tolerances that the title block names; those that the fit
        needs tighter on one side are told.
        """
        low, high = c.lower_mm - c.nominal_mm, c.upper_mm - c.nominal_mm
        if c.source.startswith(GENERAL) and self._are_general(c, low, high):
            return self.figure(c.nominal_mm)
        if abs(low + high) < EVEN_MM:
            return f"{self.figure(c.nominal_mm)} {PLUS_MINUS}{self.limit(high)}"
        return f"{self.figure(c.nominal_mm)} {self.limit(high, signed=True)}/{self.limit(low, signed=True)}"

    def _are_general(self, c: Characteristic, low: float, high: float) -> bool:
        """Return True for deviations that follow from the figure as it is told, whose last decimal may be rounded."""
        told_mm = float(self.unit.figure(c.nominal_mm)) * self.unit.mm
        found = general_limits(self.general, c.kind, told_mm)
        return found is not None and abs(found[0] - low) < EVEN_MM and abs(found[1] - high) < EVEN_MM

    def limit(self, mm: float, *, signed: bool = False) -> str:
        """Return a deviation, told as finely as limits are."""
        text = f"{mm / self.unit.mm:.{self.unit.limit_decimals}f}".rstrip("0").rstrip(".")
        text = "0" if text in ("-0", "") else text.replace("-", "−")
        return f"+{text}" if signed and text != "0" and not text.startswith("−") else text


def said_of(recipe: Recipe, plan: Plan, part: Part, listed: tuple[Characteristic, ...] | None = None) -> Said:
    """Return what the drawing of ``part`` tells; ``listed`` are the characteristics of all parts, where known."""
    every = characteristics(recipe, plan) if listed is None else listed
    own = tuple(c for c in every if c.part == part.name)
    return Said(plan, part, recipe, length_unit(plan.units), own, mass_g(part))
