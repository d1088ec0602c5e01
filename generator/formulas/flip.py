"""What the errors of two dowels do to a part that lies on them. Lengths mm, angles radians; small angles."""

from __future__ import annotations

from math import hypot


def flip_angle(each_mm: float, span_mm: float) -> float:
    """Return the angle by which two dowels, each off by so much to opposite sides, turn what lies on them."""
    return 2.0 * each_mm / span_mm


def flip_offset(each_mm: float, span_mm: float, along_mm: float, across_mm: float) -> float:
    """Return how far a point of a part is off at most when each of two dowels is off by up to ``each_mm``.

    Off by so much along and across, each by itself. The part is stiff: it is shifted, or turned by ``flip_angle``.

    Args:
        each_mm: error at each dowel, along and across.
        span_mm: distance of the dowels.
        along_mm: of the point from the middle between the dowels, along their line.
        across_mm: of the point from their line.
    """
    turned = flip_angle(each_mm, span_mm)
    shifted = hypot(each_mm, each_mm)
    return max(shifted, hypot(turned * abs(along_mm), each_mm + turned * abs(across_mm)))


def tab_bends(force_n: float, count: int, width_mm: float, thickness_mm: float, gap_mm: float) -> float:
    """Return the bending stress in tabs that share a force in the plane, MPa.

    Each is a beam built in at both ends, as long as the cut is wide, whose ends are shifted against each other:
    M = F l / 2, W = t w² / 6. Source: beam tables (built-in, guided end).
    """
    moment = force_n / count * gap_mm / 2.0
    return moment / (thickness_mm * width_mm**2 / 6.0)


def tab_lifts(force_n: float, count: int, width_mm: float, thickness_mm: float, gap_mm: float) -> float:
    """Return the bending stress in tabs that share a force out of the plane, MPa: as in the plane, W = w t² / 6."""
    moment = force_n / count * gap_mm / 2.0
    return moment / (width_mm * thickness_mm**2 / 6.0)
