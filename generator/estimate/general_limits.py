"""Limits of a figure that stands bare on a drawing: the general tolerances that its title block names."""

from __future__ import annotations

from generator.base.general_edges import edge_tolerance
from generator.base.general_tolerances import linear_class, linear_tolerance
from generator.estimate.characteristic import Kind

__all__ = ["general_limits"]


def general_limits(text: str, kind: Kind, nominal_mm: float) -> tuple[float, float] | None:
    """Return lower and upper deviation, mm, by the class that a text such as ``ISO 2768-mK`` names; None for no figure.

    Chamfers and corner radii by ISO 2768-1 table 2, other sizes by table 1.
    """
    letter = linear_class(text)
    find = edge_tolerance if kind in (Kind.CHAMFER, Kind.RADIUS) else linear_tolerance
    off = find(letter, abs(nominal_mm)) if letter else None
    return None if off is None else (-off, off)
