"""Floors over the bottom pocket as plates that can be reckoned: clamped discs or rectangles.

An estimate: a floor counts as the disc or rectangle that ``equivalent_plate`` finds. Its edges count as clamped, holes
in it as filled. Openings, bolts that hold it down and an insert that is bonded in stiffen it and are left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from math import inf

from generator.base.frozen_record import frozen_record
from generator.base.materials import Material
from generator.formulas import plates
from generator.outline.combine import intersection
from generator.outline.contour import Point
from generator.outline.measure import area, signed_area
from generator.outline.region import EMPTY, Region
from generator.part.equivalent_plate import equivalent
from generator.part.part import Feature, Part
from generator.part.relation import covers, meets

__all__ = ["MPA_PER_GPA", "Floor", "floors"]

MPA_PER_GPA = 1000.0
MOST = 0.5
"""A floor that recesses thin over more than this share of it counts as thin all over (our own choice)."""
REMEMBERED = 64
"""Answers kept: three checks ask the same."""
LEAST_MM2 = 1.0
"""Floors smaller than this are not reckoned: nothing can press on them alone (our own choice)."""


@frozen_record
class Floor:
    """A floor as a clamped plate.

    Attributes:
        name: ``bottom-pocket``, or the recess that it lies under.
        path: recipe path of that.
        at: where it gives most.
        short_mm, long_mm: sides of the rectangle; both the diameter where it counts as a disc.
        is_disc: whether it does.
        thickness_mm: metal left.
    """

    name: str
    path: str
    at: Point
    short_mm: float
    long_mm: float
    is_disc: bool
    thickness_mm: float

    def deflection(self, load_n: float, youngs_mpa: float, thickness_mm: float) -> float:
        """Return how far it gives under a load in its middle, mm, if it were ``thickness_mm`` thick."""
        if self.is_disc:
            return plates.disc_under_load(load_n, 0.5 * self.short_mm, youngs_mpa, thickness_mm)
        return plates.rectangle_under_load(load_n, self.short_mm, self.long_mm, youngs_mpa, thickness_mm)

    def stress(self, load_n: float, load_radius_mm: float, thickness_mm: float) -> float:
        """Return its greatest stress under a load on a round spot in its middle, MPa."""
        if self.is_disc:
            return plates.disc_stress_under_load(load_n, load_radius_mm, 0.5 * self.short_mm, thickness_mm)
        return plates.rectangle_stress_under_load(load_n, load_radius_mm, self.short_mm, self.long_mm, thickness_mm)

    def deflection_under_pressure(self, pressure_mpa: float, material: Material, thickness_mm: float) -> float:
        """Return how far it gives under a load that is spread evenly, mm; 0 for a metal of unknown stiffness."""
        modulus = (material.youngs_gpa or inf) * MPA_PER_GPA
        if self.is_disc:
            return plates.disc_under_pressure(pressure_mpa, 0.5 * self.short_mm, modulus, thickness_mm)
        return plates.rectangle_under_pressure(pressure_mpa, self.short_mm, self.long_mm, modulus, thickness_mm)

    def stress_under_pressure(self, pressure_mpa: float, thickness_mm: float) -> float:
        """Return its greatest stress under a load that is spread evenly, MPa."""
        if self.is_disc:
            return plates.disc_stress_under_pressure(pressure_mpa, 0.5 * self.short_mm, thickness_mm)
        return plates.rectangle_stress_under_pressure(pressure_mpa, self.short_mm, self.long_mm, thickness_mm)

    @property
    def told(self) -> str:
        """Return what it counts as, in words."""
        if self.is_disc:
            return f"a clamped disc of {self.short_mm:.3g} mm"
        return f"a clamped plate of {self.long_mm:.3g} x {self.short_mm:.3g} mm"


def floors(cover: Part) -> tuple[Floor, ...]:
    """Return the floors over the bottom pocket: the whole one, and those under recesses of the top face."""
    pocket = next((f for f in cover.features if f.layer == "bottom-pocket"), None)
    if pocket is None or not pocket.region:
        return ()
    recesses = [f for f in cover.features if f.is_top_recess and f.region and f.z_from_mm > pocket.z_to_mm]
    over = [(f, shared) for f in recesses if (shared := _shared(f.region, pocket.region))]
    found = [*_whole(cover, pocket, over)]
    for f, shared in over:
        found += _plates(f, shared, f.z_from_mm - pocket.z_to_mm)
    return tuple(found)


@lru_cache(maxsize=REMEMBERED)
def _shared(recess: Region, pocket: Region) -> Region:
    """Return the part of a recess that lies over the bottom pocket."""
    if covers(pocket, recess):
        return recess
    return intersection(recess, pocket) if meets(pocket, recess) else EMPTY


def _whole(cover: Part, pocket: Feature, over: list[tuple[Feature, Region]]) -> Iterator[Floor]:
    """Yield the floor over the whole bottom pocket, as thin as most of it is."""
    thickness = cover.thickness_mm - pocket.z_to_mm
    if sum(area(shared) for _, shared in over) > MOST * area(pocket.region):
        thickness = min(f.z_from_mm for f, _ in over) - pocket.z_to_mm
    if thickness > 0.0:
        yield from _plates(pocket, pocket.region, thickness)


def _plates(feature: Feature, region: Region, thickness: float) -> Iterator[Floor]:
    """Yield every piece of a floor as a plate."""
    for contour in region:
        if signed_area(contour) >= LEAST_MM2:
            like = equivalent(contour)
            yield Floor(feature.name, feature.path, like.at, like.short_mm, like.long_mm, like.is_disc, thickness)
