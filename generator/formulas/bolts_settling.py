"""Settling of a bolted joint: how stiff bolt and clamped parts are, and what a few micrometres cost of the preload.

Lengths are mm, forces N, moduli MPa, stiffness N/mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp
from typing import Final

WILEMAN_A: Final = 0.78952
WILEMAN_B: Final = 0.62914
"""Of the general expression; steel has 0.78715 and 0.62873, aluminium 0.79670 and 0.63816.

Source: Wileman, Choudury, Green, Trans. ASME, J. Mech. Design 113 (1991) 432, as tabled in Budynas and Nisbett.
"""


def bolt_stiffness(
    youngs_mpa: float, stress_area_mm2: float, threaded_mm: float, shank_area_mm2: float = 0.0, shank_mm: float = 0.0
) -> float:
    """Return how stiff a bolt is in tension: its threaded length and its shank in series.

    Source: Budynas and Nisbett, eq. 8-17: k = Ad At E / (Ad lt + At ld).
    """
    yields = threaded_mm / (stress_area_mm2 * youngs_mpa)
    if shank_mm > 0.0:
        yields += shank_mm / (shank_area_mm2 * youngs_mpa)
    return 1.0 / yields


def member_stiffness(
    youngs_mpa: float, d_mm: float, clamped_mm: float, a: float = WILEMAN_A, b: float = WILEMAN_B
) -> float:
    """Return how stiff clamped parts of one material are: k = E d A exp(B d / l).

    Source: Wileman, Choudury, Green (1991); Budynas and Nisbett, eq. 8-23.
    """
    return youngs_mpa * d_mm * a * exp(b * d_mm / clamped_mm)


def layered_stiffness(layers: Sequence[tuple[float, float]], d_mm: float) -> float:
    """Return how stiff layers of several materials are together, given as (thickness, modulus), the head first.

    Each yields its share of the thickness of what the whole would in its material; for two halves this is the series
    of springs in Budynas and Nisbett, problem 8-19.
    """
    whole = sum(t for t, _ in layers)
    return 1.0 / sum(t / whole / member_stiffness(e, d_mm, whole) for t, e in layers)


def settling_loss(settled_mm: float, bolt_n_mm: float, members_n_mm: float) -> float:
    """Return the preload lost by settling, N: F_Z = f_Z k_b k_m / (k_b + k_m). Source: VDI 2230."""
    return settled_mm * bolt_n_mm * members_n_mm / (bolt_n_mm + members_n_mm)
