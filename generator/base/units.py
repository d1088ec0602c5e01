"""Units and the one table of tolerances. Lengths are mm and angles radians everywhere inside the package."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

MM_PER_INCH: Final = 25.4
"""Exact by definition (international yard and pound agreement, 1959)."""


@dataclass(frozen=True)
class Tolerance:
    """Named tolerances; passed as an argument, never a global epsilon.

    Attributes:
        model_mm: how far a computed boundary may lie from the true one.
        fit_mm: how far arcs fitted to another curve may lie from it.
        same_mm: two points closer than this are one point.
        facet_mm: chord error of the facets that decide topology; does not enter coordinates.
        volume_rel: agreement of volumes without tapered walls.
        taper_volume_rel: agreement of volumes with tapered walls (edge break, countersink).
    """

    model_mm: float = 1e-3
    fit_mm: float = 2e-3
    same_mm: float = 1e-6
    facet_mm: float = 2e-4
    volume_rel: float = 1e-9
    taper_volume_rel: float = 1e-6


MODEL: Final = Tolerance()
"""The tolerances of a build (brief: model 1 µm, curve-to-arc fit 2 µm)."""
