"""Openings that run over the edge of the cover and notch its outline."""

from __future__ import annotations

from collections.abc import Sequence

from generator.base.errors import blamed
from generator.base.units import MODEL
from generator.outline.combine import difference
from generator.outline.region import Region
from generator.part.nearness import wall_mm, web_mm
from generator.part.part import Feature, Plan
from generator.part.relation import covers, meets

__all__ = ["notch_at", "notched"]


def notched(outer: Region, openings: Sequence[tuple[str, Region]]) -> tuple[Region, frozenset[str]]:
    """Return the cover's outline, which may be empty, and the names of the openings that notch it.

    An opening that lies partly inside and partly outside the outline notches it; one that runs into such a notch
    becomes part of it.

    Raises: GeometryError: an opening cannot be taken away; carries its recipe path.
    """
    profile, notching, changed = outer, set[str](), True
    while changed:
        changed = False
        for name, region in openings:
            if name not in notching and not covers(profile, region) and meets(profile, region):
                with blamed(f"original.openings.{name}"):
                    profile = difference(profile, region)
                notching.add(name)
                changed = True
    return profile, frozenset(notching)


def notch_at(plan: Plan, region: Region, least_mm: float) -> Feature | None:
    """Return the opening out over the edge that comes nearest to a region; None where it is not what is too near.

    A larger outer shape moves no notch: where the shape as drawn has its wall of ``least_mm``, only the opening can go.
    """
    if not plan.notches:
        return None
    wall, _, over = wall_mm(plan.outer or plan.cover.profile, region)
    if over or wall < least_mm - MODEL.same_mm:
        return None
    return min(plan.notches, key=lambda f: web_mm(region, f.region)[0])
