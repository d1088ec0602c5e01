"""Which instrument measures a characteristic, by its kind, size and tolerance.

Rule: what the instrument is off by is at most a quarter of the tolerance (common practice, no source). A caliper is off
by ± 0.03 mm up to 100 mm (ISO 13385-1, from memory), which does for tolerances of 0.1 mm and more.
"""

from __future__ import annotations

from math import isclose
from typing import Final

from generator.estimate.characteristic import Kind

__all__ = ["instrument_for"]

CALIPER_MM: Final = 0.1
"""A caliper does for tolerances (upper less lower limit) of this and more."""
JAWS_MM: Final = 10.0
"""A caliper's inside jaws have flats and read smaller holes small (common practice, no source)."""
PINS_MM: Final = 20.0
"""Pin gauges are at hand up to this (common practice, no source)."""
SHALLOW_MM: Final = 0.6
"""The rod of a depth gauge does not go into what is engraved no deeper, which is narrow as a rule (our own choice)."""
OUTSIDE: Final = (Kind.THICKNESS, Kind.WALL)


def instrument_for(kind: Kind, nominal_mm: float, tolerance_mm: float, *, outside: bool, in_line: bool) -> str:
    """Return the instrument in words.

    Args:
        kind: of the characteristic.
        nominal_mm: its nominal.
        tolerance_mm: upper less lower limit.
        outside: it is a size over the outside of something, not of a hole or pocket.
        in_line: of a position: it can be measured straight from the datum.
    """
    coarse = tolerance_mm > CALIPER_MM or isclose(tolerance_mm, CALIPER_MM, rel_tol=1e-6)
    if kind is Kind.DIAMETER and not outside:
        if nominal_mm <= (JAWS_MM if coarse else PINS_MM):
            return "pin gauge"
        return "caliper" if coarse else "inside micrometer"
    if kind in (Kind.POSITION_X, Kind.POSITION_Y):
        return "caliper over pins" if in_line and coarse else "height gauge over pins"
    if kind is Kind.DISTANCE:
        return "caliper over pins" if coarse else "micrometer over pins"
    if kind is Kind.DEPTH and nominal_mm < SHALLOW_MM:
        return "dial gauge with a point"
    if kind is Kind.DEPTH:
        return "depth gauge" if coarse else "depth micrometer"
    plain = {
        Kind.RADIUS: "radius gauge",
        Kind.CHAMFER: "chamfer gauge",
        Kind.FLOOR: "dial thickness gauge",
        Kind.CONE: "caliper",
    }
    if kind in plain:
        return plain[kind]
    return "caliper" if coarse else "micrometer" if outside or kind in OUTSIDE else "inside micrometer"
