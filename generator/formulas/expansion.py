"""Thermal expansion of parts of different metals. Lengths mm, coefficients 1/K, temperatures K or °C apart."""

from __future__ import annotations


def expansion(cte_per_k: float, length_mm: float, by_k: float) -> float:
    """Return how much longer a length becomes: ΔL = α L ΔT, mm. Source: any text of physics."""
    return cte_per_k * length_mm * by_k


def mismatch(cte_per_k: float, other_cte_per_k: float, length_mm: float, by_k: float) -> float:
    """Return how much more one part grows than another of equal length: (α1 - α2) L ΔT, mm."""
    return expansion(cte_per_k - other_cte_per_k, length_mm, by_k)


def gap_left(gap_mm: float, cte_inner: float, cte_outer: float, reach_mm: float, by_k: float) -> float:
    """Return what is left of a gap a side between an inner part and the pocket round it, mm; below 0 they press.

    Both grow from the same middle; at a distance r from it the gap loses (α1 - α2) r ΔT.
    """
    return gap_mm - mismatch(cte_inner, cte_outer, reach_mm, by_k)


def film_strain(slip_mm: float, film_mm: float) -> float:
    """Return the shear strain γ = u / t of an adhesive film whose faces slip by u.

    Source: Volkersen's picture of a bonded lap with stiff parts; the strain at the far end (mechanics).
    """
    return abs(slip_mm) / film_mm
