"""What a bond holds. Forces N, lengths mm, strengths MPa."""

from __future__ import annotations


def bond_force(area_mm2: float, strength_mpa: float, share: float) -> float:
    """Return what a bond may carry: area times strength times the share of it that is counted on, N (mechanics)."""
    return area_mm2 * strength_mpa * share


def bond_area(force_n: float, strength_mpa: float, share: float) -> float:
    """Return the area that carries a force, mm²: the other way round."""
    return force_n / (strength_mpa * share)
