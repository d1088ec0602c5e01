"""Has the cover's outline corners that hands and cloth catch on?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import atan2, degrees

from generator.base.finding import Finding, Severity
from generator.base.units import MODEL
from generator.checks.check import Check
from generator.outline.carrier import tangents
from generator.outline.contour import Contour, Point
from generator.outline.measure import signed_area
from generator.outline.region import Region
from generator.outline.remembered import remembered
from generator.part.part import Plan
from generator.part.rounder import rounded_by
from generator.recipe.model import Recipe

ID = "sharp-corners"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``catches`` for the sharpest outside corner of the cover, if it is rounded by less than the limit."""
    limit, turn = recipe.limits.shop.corner_round, recipe.limits.shop.corner_turn.value

    def sharp(region: Region) -> list[tuple[float, Point]]:
        outer = [c for c in region if signed_area(c) > 0.0]
        return sorted((r, p) for c in outer for r, p, by in corners(c) if by > turn and r < limit.value - MODEL.same_mm)

    found = sharp(plan.cover.profile)
    if not found:
        return
    edit = rounded_by(recipe, plan, "cover.outer", limit.value, lambda region: not sharp(region), found[0][1])
    radius, at = found[0]
    more = f" (and {len(found) - 1} more)" if len(found) > 1 else ""
    how = f"a radius of only {radius:.3g} mm" if radius else "no rounding at all"
    yield Finding(
        check=ID,
        code="catches",
        severity=Severity.NOTES,
        message=f"an outside corner of the cover has {how}{more}: its upright edge catches hands and cloth; "
        "the edge break goes round the top face only",
        feature=plan.cover.layer,
        point_mm=at,
        face="top",
        figure=radius,
        limit=limit.value,
        unit=limit.unit,
        source=limit.told_source,
        remedy=(f"{edit}, or " if edit else "") + f"leave it and break the corner by hand, {limit.value:g} mm",
        path="cover.outer",
    )


@remembered
def corners(contour: Contour) -> tuple[tuple[float, Point, float], ...]:
    """Return the outside corners of an outer contour: radius (0 where it is sharp), place, and turn in degrees."""
    segments = list(contour.segments())
    found = []
    for before, after in pairwise((segments[-1], *segments)):
        a, b = tangents(before)[1], tangents(after)[0]
        found.append((0.0, after.start, degrees(atan2(a.x * b.y - a.y * b.x, a.x * b.x + a.y * b.y))))
    return (*found, *((s.radius_mm, s.start, degrees(s.sweep)) for s in segments if s.bulge > 0.0))


CHECK = Check(
    ID,
    "corners that catch",
    "A cover is touched, wiped and brushed past. Upright edges at its corners stay as sharp as the outline is drawn.",
    "common practice, no source (sharp edges are broken)",
    run,
    limits=("shop.corner_round", "shop.corner_turn"),
)
