"""Bending of thin elastic plates with clamped edges: deflections and stresses, closed or by printed coefficients.

Small deflections (below half the thickness), Poisson's ratio 0.3 wherever a printed coefficient is used. Forces N,
lengths mm, moduli and stresses N/mm² (MPa).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from math import inf, log, pi, sqrt
from typing import Final

POISSON: Final = 0.3
"""Of every plate here: Roark's and Timoshenko's printed coefficients are for this. Light and copper alloys have about
0.33 (from memory), which makes a plate 2 % stiffer: on the safe side."""

HALVINGS: Final = 40

_RATIOS: Final = (1.0, 1.2, 1.4, 1.6, 1.8, 2.0, inf)
"""Long side over short side."""
_SPREAD_DEFLECTION: Final = (0.0138, 0.0188, 0.0226, 0.0251, 0.0267, 0.0277, 0.0284)
_SPREAD_EDGE: Final = (0.3078, 0.3834, 0.4356, 0.4680, 0.4872, 0.4974, 0.5000)
"""Roark's Formulas for Stress and Strain, 7th edition, table 11.4, case 8a: from memory, checked against
Timoshenko's table 35 and against solved plates."""
_CENTRED_DEFLECTION: Final = (0.0611, 0.0706, 0.0754, 0.0777, 0.0786, 0.0788, 0.0791)
_CENTRED_MIDDLE: Final = (-0.238, -0.078, 0.011, 0.053, 0.068, 0.067, 0.067)
_CENTRED_EDGE: Final = (0.7542, 0.8940, 0.9624, 0.9906, 1.0000, 1.0040, 1.0080)
"""The same, case 8b: read, checked against Timoshenko's table 37 and against solved plates."""


def stiffness(youngs_mpa: float, thickness_mm: float, poisson: float = POISSON) -> float:
    """Return the plate's flexural rigidity D = E t³ / (12 (1 - ν²)), N·mm. Source: Timoshenko, Plates and Shells."""
    return youngs_mpa * thickness_mm**3 / (12.0 * (1.0 - poisson**2))


# ------------------------------------------------------------------ circles
def disc_under_pressure(pressure_mpa: float, radius_mm: float, youngs_mpa: float, thickness_mm: float) -> float:
    """Return the deflection w = p r⁴ / (64 D) in the middle of a clamped disc, mm. Source: Timoshenko, section 16."""
    return pressure_mpa * radius_mm**4 / (64.0 * stiffness(youngs_mpa, thickness_mm))


def disc_stress_under_pressure(pressure_mpa: float, radius_mm: float, thickness_mm: float) -> float:
    """Return the stress σ = 3 p r² / (4 t²) at the clamped edge of a disc, MPa. Source: Timoshenko, section 16."""
    return 0.75 * pressure_mpa * (radius_mm / thickness_mm) ** 2


def disc_under_load(
    load_n: float, radius_mm: float, youngs_mpa: float, thickness_mm: float, poisson: float = POISSON
) -> float:
    """Return the deflection w = F r² / (16 π D) of a clamped disc under a load in its middle, mm.

    Source: Timoshenko, section 19; Roark, 7th edition, table 11.2, case 17.
    """
    return load_n * radius_mm**2 / (16.0 * pi * stiffness(youngs_mpa, thickness_mm, poisson))


def disc_stress_under_load(
    load_n: float, load_radius_mm: float, radius_mm: float, thickness_mm: float, poisson: float = POISSON
) -> float:
    """Return the greatest stress of a clamped disc under a load on a small round area in its middle, MPa.

    In the middle σ = 3 (1 + ν) F ln(r / r0') / (2 π t²), at the edge 3 F / (2 π t²).
    Source: Roark, table 11.2, case 17.
    """
    unit = 3.0 * load_n / (2.0 * pi * thickness_mm**2)
    touching = min(touch_radius(load_radius_mm, thickness_mm), radius_mm)
    return max(unit, unit * (1.0 + poisson) * log(radius_mm / touching))


def touch_radius(load_radius_mm: float, thickness_mm: float) -> float:
    """Return the radius r0' that a small loaded area counts as, mm.

    √(1.6 r0² + t²) - 0.675 t below r0 = t / 2, else r0. Source: Westergaard, as printed by Roark, chapter 11.
    """
    if load_radius_mm >= 0.5 * thickness_mm:
        return load_radius_mm
    return sqrt(1.6 * load_radius_mm**2 + thickness_mm**2) - 0.675 * thickness_mm


# ------------------------------------------------------------------ rectangles
def rectangle_under_pressure(
    pressure_mpa: float, short_mm: float, long_mm: float, youngs_mpa: float, thickness_mm: float
) -> float:
    """Return the deflection α p b⁴ / (E t³) in the middle of a clamped rectangle, mm. Source: Roark, case 8a."""
    return between(_SPREAD_DEFLECTION, long_mm / short_mm) * pressure_mpa * short_mm**4 / (youngs_mpa * thickness_mm**3)


def rectangle_stress_under_pressure(pressure_mpa: float, short_mm: float, long_mm: float, thickness_mm: float) -> float:
    """Return the stress β p b² / t² in the middle of a clamped rectangle's long edge, MPa. Source: Roark, case 8a."""
    return between(_SPREAD_EDGE, long_mm / short_mm) * pressure_mpa * (short_mm / thickness_mm) ** 2


def rectangle_under_load(
    load_n: float, short_mm: float, long_mm: float, youngs_mpa: float, thickness_mm: float
) -> float:
    """Return the deflection α F b² / (E t³) of a clamped rectangle under a load in its middle, mm.

    Source: Roark, 7th edition, table 11.4, case 8b.
    """
    return between(_CENTRED_DEFLECTION, long_mm / short_mm) * load_n * short_mm**2 / (youngs_mpa * thickness_mm**3)


def rectangle_stress_under_load(
    load_n: float, load_radius_mm: float, short_mm: float, long_mm: float, thickness_mm: float
) -> float:
    """Return the greatest stress of a clamped rectangle under a load on a small round area in its middle, MPa.

    In the middle 3 F ((1 + ν) ln(2 b / (π r0')) + β1) / (2 π t²), at the long edge β2 F / t². Source: Roark, case 8b.
    """
    ratio = long_mm / short_mm
    touching = min(touch_radius(load_radius_mm, thickness_mm), 0.5 * short_mm)
    bent = (1.0 + POISSON) * log(2.0 * short_mm / (pi * touching)) + between(_CENTRED_MIDDLE, ratio)
    middle = 3.0 * load_n * bent / (2.0 * pi * thickness_mm**2)
    return max(middle, between(_CENTRED_EDGE, ratio) * load_n / thickness_mm**2)


def between(column: tuple[float, ...], ratio: float) -> float:
    """Return the coefficient for a ratio of sides, linear between the printed ones; beyond 2 linear in its inverse."""
    if ratio <= 1.0:
        return column[0]
    k = bisect_right(_RATIOS, ratio) - 1
    if k + 1 >= len(_RATIOS):
        return column[-1]
    low, high = _RATIOS[k], _RATIOS[k + 1]
    share = (ratio - low) / (high - low) if high < inf else 1.0 - low / ratio
    return column[k] + share * (column[k + 1] - column[k])


def thick_enough(figure: Callable[[float], float], allowed: float, thickness_mm: float) -> float:
    """Return the least thickness, mm, at which a figure that falls with it is allowed; found by halving."""
    low, high = thickness_mm, thickness_mm
    while figure(high) > allowed:
        low, high = high, 2.0 * high
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if figure(middle) > allowed else (low, middle)
    return high
