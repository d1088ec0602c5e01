"""Does the cover stay in one piece?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check
from generator.outline.combine import difference
from generator.outline.measure import bounds, signed_area
from generator.outline.region import Region
from generator.part.describe import is_through
from generator.part.part import Plan
from generator.part.relation import boxes_touch
from generator.recipe.model import Recipe

ID = "one-piece"


def run(_recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``several-outlines`` or ``falls-apart``."""
    drawn = _pieces(plan.outer or plan.cover.profile)
    if len(drawn) > 1:
        yield _finding("several-outlines", drawn, "cover.outer", "the outer shape", "one outline for cover.outer")
        return
    through = [f.region for f in plan.cover.features if is_through(plan.cover, f) and f.layer == "openings"]
    left = plan.cover.profile
    if _may_divide(left, through):
        left = difference(left, *through)
    pieces = _pieces(left)
    if len(pieces) != 1:
        yield _finding("falls-apart", pieces, "original.openings", "what the openings leave", "smaller openings")


def _may_divide(profile: Region, through: list[Region]) -> bool:
    """Return False where a boolean is not needed: no opening, or a single one without an island."""
    return sum(len(r) for r in through) > 1 or any(not boxes_touch(bounds(profile), bounds(r)) for r in through)


def _pieces(region: Region) -> list[Region]:
    """Return the pieces of a region, each by its outer contour, the largest first."""
    return [Region((c,)) for c in region if signed_area(c) > 0.0]


def _finding(code: str, pieces: list[Region], path: str, what: str, edit: str) -> Finding:
    """Return the finding that there is not exactly one piece."""
    smallest = bounds(pieces[-1]).centre if pieces else None
    return Finding(
        check=ID,
        code=code,
        severity=Severity.FORBIDS,
        message=f"{what} has {len(pieces)} pieces: the cover must be one",
        feature="outer-profile",
        point_mm=smallest,
        face="top",
        figure=float(len(pieces)),
        limit=1.0,
        source=GEOMETRY,
        remedy=f"use {edit}: 1 piece instead of {len(pieces)}",
        path=path,
    )


CHECK = Check(
    ID,
    "cover in one piece",
    "Openings or an outer shape of several outlines leave loose pieces that no bolt need hold.",
    GEOMETRY,
    run,
)
