"""Heights in the cover: where depths are held from when the plate is not as thick as its name says."""

from __future__ import annotations

from generator.base.frozen_record import frozen_record
from generator.recipe.model import Stock

__all__ = ["Heights", "heights_of", "level"]

DIGITS = 9
"""Heights are rounded to this many decimals of a millimetre, so that equal ones are equal numbers."""


def level(z_mm: float) -> float:
    """Return the height without the last digits of floating-point noise, so that equal heights compare equal."""
    return round(z_mm, DIGITS) + 0.0


@frozen_record
class Heights:
    """Thickness of the plate and the height that depths of the top face are taken from.

    Attributes:
        thickness_mm: of the very plate: the measured one where given, else the nominal one.
        datum_mm: height above the bottom face that depths of the top face are taken from. Depths held from the ``own
            face`` start at the plate's real top face; held from the ``bottom face``, at the nominal one.
    """

    thickness_mm: float
    datum_mm: float

    def below_top(self, depth_mm: float) -> float:
        """Return the height that lies ``depth_mm`` below the datum of the top face."""
        return level(self.datum_mm - depth_mm)


def heights_of(stock: Stock) -> Heights:
    """Return the heights of a cover milled from ``stock``."""
    real = stock.thickness if stock.measured is None else stock.measured
    datum = stock.thickness if stock.depths_from == "bottom face" else real
    return Heights(level(real), level(datum))
