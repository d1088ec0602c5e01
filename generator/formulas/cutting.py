"""Milling: speed, feed, removal rate, force, power and time. Sources stand beside each formula."""

from __future__ import annotations

from math import pi, sqrt

MM_PER_M = 1000.0
MM3_PER_CM3 = 1000.0
CARBIDE_MPA = 580_000.0
"""Modulus of elasticity of solid carbide, MPa. Source: printed as about 580 GPa in a calculator's notes (read)."""
AS_ROD = 0.8
"""An end mill bends like a rod of this share of its diameter. Source: Mitsubishi Materials, 0.7 to 0.8 (read)."""


def spindle_speed(vc_m_min: float, diameter_mm: float) -> float:
    """Return the spindle speed n = 1000 vc / (π D), 1/min. Source: Mitsubishi milling formulas; WIDIA catalogue."""
    return MM_PER_M * vc_m_min / (pi * diameter_mm)


def cutting_speed(n_rpm: float, diameter_mm: float) -> float:
    """Return the cutting speed vc = π D n / 1000, m/min. Source: Mitsubishi milling formulas."""
    return pi * diameter_mm * n_rpm / MM_PER_M


def table_feed(n_rpm: float, teeth: int, fz_mm: float) -> float:
    """Return the table feed vf = n z fz, mm/min. Source: Mitsubishi milling formulas; WIDIA catalogue."""
    return n_rpm * teeth * fz_mm


def removal_rate(ap_mm: float, ae_mm: float, vf_mm_min: float) -> float:
    """Return the removal rate Q = ap ae vf / 1000, cm³/min. Source: Kyocera catalogue 2021, page 1070."""
    return ap_mm * ae_mm * vf_mm_min / MM3_PER_CM3


def specific_force(kc1: float, m: float, chip_mm: float) -> float:
    """Return the specific cutting force kc = kc1 · h^-m, N/mm², at chip thickness h, mm. Source: ISCAR 2017."""
    return float(kc1 * chip_mm**-m)


def mean_chip(fz_mm: float, ae_mm: float, diameter_mm: float) -> float:
    """Return the mean chip thickness, mm: fz √(ae / D) in a side cut, never more than fz (from memory)."""
    return fz_mm * min(1.0, sqrt(ae_mm / diameter_mm))


def cutting_power(ap_mm: float, ae_mm: float, vf_mm_min: float, kc_n_mm2: float, efficiency: float = 0.8) -> float:
    """Return the power at the motor Pc = ap ae vf kc / (60·10⁶ η), kW. Source: Mitsubishi milling power."""
    return ap_mm * ae_mm * vf_mm_min * kc_n_mm2 / (60e6 * efficiency)


def tangential_force(ap_mm: float, ae_mm: float, vf_mm_min: float, kc_n_mm2: float, vc_m_min: float) -> float:
    """Return the mean force at the cutter's edge, N: the power without losses over the cutting speed (mechanics)."""
    return ap_mm * ae_mm * vf_mm_min * kc_n_mm2 / (MM_PER_M * vc_m_min)


def cutting_time(travel_mm: float, vf_mm_min: float) -> float:
    """Return the cutting time Tc = travel / vf, min. Source: Mitsubishi milling formulas."""
    return travel_mm / vf_mm_min


def cutter_deflection(force_n: float, overhang_mm: float, diameter_mm: float, modulus_mpa: float) -> float:
    """Return how far an end mill bends at its tip, y = F l³ / (3 E I), mm, as a rod of ``AS_ROD`` of its diameter.

    Source: Mitsubishi Materials, course on end mills, rigidity of the end mill.
    """
    return force_n * overhang_mm**3 / (3.0 * modulus_mpa * _rod_moment(diameter_mm))


def overhang_for(deflection_mm: float, force_n: float, diameter_mm: float, modulus_mpa: float) -> float:
    """Return the overhang at which an end mill bends by so much, mm: the inverse of ``cutter_deflection``."""
    return float((deflection_mm * 3.0 * modulus_mpa * _rod_moment(diameter_mm) / force_n) ** (1.0 / 3.0))


def _rod_moment(diameter_mm: float) -> float:
    """Return the second moment of area of the rod that bends like an end mill, mm⁴."""
    return pi * (AS_ROD * diameter_mm) ** 4 / 64.0
