"""Bolted joints: stress area, proof load, preload and torque, pressure under a head, stress in the floor of a seat.

Sources stand beside each formula. Forces are N, lengths mm, stresses MPa (N/mm²), torques N m.
"""

from __future__ import annotations

from math import log, pi, sqrt

N_MM_PER_N_M = 1000.0
SHEAR_TO_TENSION = 1.0 / sqrt(3.0)
"""Shear strength over tensile strength by von Mises' rule."""


def stress_area(d_mm: float, pitch_mm: float) -> float:
    """Return the stress area of an ISO metric thread, mm²: As = π/4 · (d - 0.9382 P)². Source: ISO 898-1."""
    return pi / 4.0 * (d_mm - 0.9382 * pitch_mm) ** 2


def proof_load(proof_stress_mpa: float, area_mm2: float) -> float:
    """Return the proof load, N: stress under proof load times stress area. Source: ISO 898-1."""
    return proof_stress_mpa * area_mm2


def torque_of(preload_n: float, d_mm: float, nut_factor: float) -> float:
    """Return the tightening torque T = K F d, N m. Source: handbook formula, printed with examples in many tables."""
    return nut_factor * preload_n * d_mm / N_MM_PER_N_M


def preload_of(torque_nm: float, d_mm: float, nut_factor: float) -> float:
    """Return the preload that a torque gives, N: F = T / (K d). Source: as ``torque_of``."""
    return torque_nm * N_MM_PER_N_M / (nut_factor * d_mm)


def internal_thread_area(d_mm: float, pitch_mm: float, engaged_mm: float) -> float:
    """Return the area along which an internal thread strips, mm²: π d (L / P) (P / 2 + (d - d2) / √3).

    Of basic sizes, where a bolt's crests cut through the nut's turns; d2 = d - 3/8 √3 P of ISO 68-1. Tolerances, the
    first turn and a nut that widens make it less: the share of it that is used allows for them.
    Source: handbook formula of internal threads (FED-STD-H28, VDI 2230), from memory.
    """
    pitch_diameter = d_mm - 0.375 * sqrt(3.0) * pitch_mm
    return pi * d_mm * engaged_mm / pitch_mm * (pitch_mm / 2.0 + (d_mm - pitch_diameter) / sqrt(3.0))


def ring_area(outer_mm: float, inner_mm: float) -> float:
    """Return the area between two circles of these diameters, mm² (geometry)."""
    return pi / 4.0 * (outer_mm**2 - inner_mm**2)


def bearing_pressure(force_n: float, outer_mm: float, hole_mm: float) -> float:
    """Return the pressure under a head or washer, MPa: force over the ring that bears.

    Source: VDI 2230 (p = F / A), from memory; the ring is geometry. A countersunk head bears on a 90° cone, whose area
    seen along the bolt is the same ring: its pressure comes out the same, without friction.
    """
    return force_n / ring_area(outer_mm, hole_mm)


def widest_preload(pressure_mpa: float, outer_mm: float, hole_mm: float) -> float:
    """Return the force that gives this pressure under a head, N: the inverse of ``bearing_pressure``."""
    return pressure_mpa * ring_area(outer_mm, hole_mm)


def punching_stress(force_n: float, head_mm: float, floor_mm: float) -> float:
    """Return the shear stress round a head that is pushed through a floor, MPa: τ = F / (π d t) (mechanics)."""
    return force_n / (pi * head_mm * floor_mm)


def rim_bending_stress(force_n: float, head_mm: float, seat_mm: float, floor_mm: float) -> float:
    """Return the bending stress at a seat's wall, MPa: the ring between head and wall as a cantilever all round.

    M = F (R - r) / (2 π R) on every millimetre of the wall, σ = 6 M / t². On the safe side: hoop stiffness is left out.
    Source: mechanics of a strip; no published formula.
    """
    r_head, r_seat = head_mm / 2.0, seat_mm / 2.0
    return 6.0 * force_n * max(r_seat - r_head, 0.0) / (2.0 * pi * r_seat) / floor_mm**2


def equivalent_stress(tension_mpa: float, shear_mpa: float) -> float:
    """Return the equivalent stress √(σ² + 3 τ²), MPa. Source: von Mises."""
    return sqrt(tension_mpa**2 + 3.0 * shear_mpa**2)


def clamped_plate_deflection(force_n: float, radius_mm: float, stiffness_n_mm: float) -> float:
    """Return how far the middle of a clamped circular plate sinks under a force there, mm: F a² / (16 π D).

    Source: Roark, table of circular plates, fixed edge, load on a small circle; Timoshenko, Plates and Shells.
    """
    return force_n * radius_mm**2 / (16.0 * pi * stiffness_n_mm)


def clamped_plate_force(deflection_mm: float, radius_mm: float, stiffness_n_mm: float) -> float:
    """Return the force that sinks the middle by so much, N: the inverse of ``clamped_plate_deflection``."""
    return 16.0 * pi * stiffness_n_mm * deflection_mm / radius_mm**2


def clamped_plate_stress(
    force_n: float, radius_mm: float, thickness_mm: float, load_radius_mm: float, poisson: float
) -> float:
    """Return the largest bending stress of a clamped circular plate, MPa, loaded on a small circle in its middle.

    The larger of 6 F / (4 π t²) at the edge and 6 F (1 + ν) ln(a / r) / (4 π t²) under the load, with Roark's r, no
    smaller than a third of the thickness. Source: Roark, table of circular plates (from memory).
    """
    small = load_radius_mm
    if small < 0.5 * thickness_mm:
        small = sqrt(1.6 * small**2 + thickness_mm**2) - 0.675 * thickness_mm
    middle = (1.0 + poisson) * log(max(radius_mm / small, 1.0))
    return 6.0 * force_n * max(1.0, middle) / (4.0 * pi * thickness_mm**2)
