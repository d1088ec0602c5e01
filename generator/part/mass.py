"""Volume, mass and centre of mass, from regions and heights alone."""

from __future__ import annotations

from collections.abc import Callable
from math import fsum
from typing import NamedTuple

from generator.outline.contour import Point
from generator.outline.measure import area, centroid, length
from generator.outline.region import EMPTY, Region
from generator.outline.remembered import remembered
from generator.part.part import Feature, Part, Slab
from generator.part.section import feature_at, profile_at
from generator.part.slabs import slabs

__all__ = ["Centre", "centre_of_mass", "mass_g", "volume_mm3"]

MM3_PER_M3 = 1e9
GRAMS_PER_KG = 1e3
CONVERGED = 1e-11
"""Share of the part's volume that an integral over a sloping wall may be off by."""
DEEPEST = 12
"""Halvings of a sloping wall's height after which its integral is taken as it is."""


class Centre(NamedTuple):
    """Centre of mass in the part's frame, mm."""

    x: float
    y: float
    z: float


@remembered
def volume_mm3(part: Part) -> float:
    """Return the volume of a part, mm³, right to about 1e-9 of itself.

    Straight slabs are area times height, exact by Green's theorem. Sloping walls are integrated over the height with
    areas and boundary lengths of the offset outlines: the area A of an outline offset by t changes by dA/dt = L (its
    length), so a cubic through both ends is exact as long as L is linear, which is Steiner's formula
    A + L t + c t²; where a contour changes its make-up on the way the interval is halved.

    Raises: GeometryError: see ``slabs``.
    """
    return fsum(_slab_volumes(part, slabs(part)))


def mass_g(part: Part) -> float:
    """Return the mass of a part in grams."""
    return volume_mm3(part) / MM3_PER_M3 * part.material.density_kg_m3 * GRAMS_PER_KG


@remembered
def centre_of_mass(part: Part) -> Centre:
    """Return the centre of mass in the part's frame, mm.

    Sloping walls enter by Simpson's rule over their height, which is exact where Steiner's formula holds.
    """
    rows = [row for slab in slabs(part) for row in _slab_moments(part, slab)]
    volume, x, y, z = (fsum(column) for column in zip(*rows, strict=True))
    return Centre(x / volume, y / volume, z / volume)


# ------------------------------------------------------------------ volume
def _slab_volumes(part: Part, made: tuple[Slab, ...]) -> list[float]:
    """Return the volumes that add up to the part's: straight walls, and sloping ones with the sign of their turn."""
    scale = area(part.profile) * part.thickness_mm
    out: list[float] = []
    for slab in made:
        height = slab.z_to_mm - slab.z_from_mm
        straight = Region(tuple(w.lower for w in slab.walls if w.is_straight))
        out.append(area(straight) * height)
        for slope, sign in _slopes(part, slab):
            out.append(sign * _integral(slope, slab.z_from_mm, slab.z_to_mm, CONVERGED * scale, 0))
    return out


class _Slope(NamedTuple):
    """A region that changes with height, and how fast its boundary moves outward, mm per mm."""

    at: Callable[[float], Region]
    speed: float


def _slopes(part: Part, slab: Slab) -> list[tuple[_Slope, float]]:
    """Return the sloping regions of a slab with +1 for material and -1 for what is taken away."""
    out: list[tuple[_Slope, float]] = []
    sloping = {w.lower for w in slab.walls if not w.is_straight}
    lower = profile_at(part, slab.z_from_mm)
    if sloping.intersection(lower):
        out.append((_Slope(lambda z: profile_at(part, z), -1.0), 1.0))
    for f in part.features:
        if f.flare_mm == 0.0 or not f.z_from_mm < (slab.z_from_mm + slab.z_to_mm) / 2.0 < f.z_to_mm:
            continue
        back = {c.reversed() for c in feature_at(f, max(slab.z_from_mm, f.z_from_mm))}
        if sloping & back:
            out.append((_flare(f), -1.0))
    return out


def _flare(feature: Feature) -> _Slope:
    """Return the slope of a countersink."""
    return _Slope(lambda z: feature_at(feature, z), feature.flare_mm / feature.depth_mm)


def _integral(slope: _Slope, low: float, high: float, limit: float, depth: int) -> float:
    """Return ∫A dz by the cubic through areas and their slopes at both ends; halved until Steiner's formula holds."""
    a, b = slope.at(low), slope.at(high)
    h = high - low
    start, end = slope.speed * length(a), slope.speed * length(b)  # dA/dz
    defect = area(b) - area(a) - h * (start + end) / 2.0
    if abs(defect) * h <= limit or depth >= DEEPEST:
        return h * (area(a) + area(b)) / 2.0 + h * h * (start - end) / 12.0
    middle = (low + high) / 2.0
    return fsum(_integral(slope, p, q, limit / 2.0, depth + 1) for p, q in ((low, middle), (middle, high)))


# ------------------------------------------------------------------ centre of mass
def _slab_moments(part: Part, slab: Slab) -> list[tuple[float, float, float, float]]:
    """Return rows of volume and first moments whose sums are the slab's."""
    straight = Region(tuple(w.lower for w in slab.walls if w.is_straight))
    low, high = slab.z_from_mm, slab.z_to_mm
    h = high - low
    rows = []
    if straight:
        rows.append(_row(straight, (low + high) / 2.0, h))
    for slope, sign in _slopes(part, slab):
        for z, weight in ((low, 1.0), ((low + high) / 2.0, 4.0), (high, 1.0)):
            rows.append(_row(slope.at(z), z, sign * h * weight / 6.0))
    return rows


def _row(region: Region, z: float, weight: float) -> tuple[float, float, float, float]:
    """Return area and first moments of a section, times a weight in mm."""
    size = area(region) if region is not EMPTY else 0.0
    if size == 0.0:
        return 0.0, 0.0, 0.0, 0.0
    at: Point = centroid(region)
    return size * weight, size * at.x * weight, size * at.y * weight, size * z * weight
