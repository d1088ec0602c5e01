"""Fits of a hole and what goes into it: clearance from deviations, and the pressure of an interference (Lamé).

Lengths mm, moduli and stresses MPa. The press-fit formulas are for a round, solid inner part in a round ring.
"""

from __future__ import annotations

from math import inf, pi, sqrt

from generator.formulas.plates import POISSON


def clearance(hole_upper: float, hole_lower: float, shaft_upper: float, shaft_lower: float) -> tuple[float, float]:
    """Return least and greatest clearance of a fit; negative: interference. Any one unit. Source: ISO 286-1."""
    return hole_lower - shaft_upper, hole_upper - shaft_lower


def press_pressure(
    interference_mm: float, radius_mm: float, ring_radius_mm: float, inner_mpa: float, ring_mpa: float
) -> float:
    """Return the pressure between a solid disc and the ring that it is pressed into, MPa.

    p = δ / (r ((1 - ν) / E1 + (k + ν) / E2)), δ the interference a side, k = (R² + r²) / (R² - r²), 1 for an endless
    plate. Source: Lamé's thick cylinders, as in Timoshenko, Strength of Materials II; DIN 7190-1 for the solid shaft.
    """
    give = (1.0 - POISSON) / inner_mpa + (ring_factor(radius_mm, ring_radius_mm) + POISSON) / ring_mpa
    return interference_mm / (radius_mm * give)


def ring_factor(radius_mm: float, ring_radius_mm: float) -> float:
    """Return hoop stress over pressure at a ring's bore: (R² + r²) / (R² - r²). Source: Lamé."""
    if ring_radius_mm == inf:
        return 1.0
    outer, inner = ring_radius_mm**2, radius_mm**2
    return (outer + inner) / (outer - inner)


def hoop_stress(pressure_mpa: float, radius_mm: float, ring_radius_mm: float) -> float:
    """Return the tensile stress round the bore of a ring under pressure, MPa. Source: Lamé."""
    return pressure_mpa * ring_factor(radius_mm, ring_radius_mm)


def ring_stress(pressure_mpa: float, radius_mm: float, ring_radius_mm: float) -> float:
    """Return the equivalent stress (von Mises) at the bore of a ring: hoop tension and the pressure itself, MPa."""
    hoop = hoop_stress(pressure_mpa, radius_mm, ring_radius_mm)
    return sqrt(hoop**2 + hoop * pressure_mpa + pressure_mpa**2)


def press_force(pressure_mpa: float, radius_mm: float, depth_mm: float, friction: float) -> float:
    """Return the force that presses the inner part in: F = μ p 2 π r l, N. Source: DIN 7190-1."""
    return friction * pressure_mpa * 2.0 * pi * radius_mm * depth_mm
