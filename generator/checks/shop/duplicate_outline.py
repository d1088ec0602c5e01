"""Is anything drawn twice?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import dist

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.units import MODEL
from generator.checks.check import Check
from generator.outline.combine import exclusive
from generator.outline.measure import area, length
from generator.outline.region import Region
from generator.part.part import Bolt, Feature, Part, Plan
from generator.part.relation import box_of
from generator.recipe.model import Recipe

ID = "duplicate-outline"
OF_BOLTS = ("bolt-holes", "seats", "dowel-holes")
"""Layers of what follows from positions; they are compared by their positions."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``same-outline`` for outlines of one depth drawn twice, ``same-place`` for bolts that are given twice."""
    limit = recipe.limits.shop.twice_within
    for one, other in combinations(plan.bolts, 2):
        apart = dist(one.at, other.at)
        if apart < limit.value - MODEL.same_mm:
            yield _same_place(one, other, apart, limit)
    for part in plan.parts:
        drawn = [f for f in part.features if f.region and not f.layer.startswith(OF_BOLTS)]
        for a, b in combinations(drawn, 2):
            if (a.z_from_mm, a.z_to_mm) == (b.z_from_mm, b.z_to_mm):
                mean = apart_mm(a.region, b.region, limit.value)
                if mean is not None and mean < limit.value - MODEL.same_mm:
                    yield _same_outline(part, a, b, mean, limit)


def apart_mm(a: Region, b: Region, within_mm: float) -> float | None:
    """Return how far apart two outlines lie on average, mm: the area between them over their length.

    None for outlines whose boxes already differ by more than twice ``within_mm``.
    """
    if a == b:
        return 0.0
    p, q = box_of(a), box_of(b)
    sides = ((p.xmin, q.xmin), (p.ymin, q.ymin), (p.xmax, q.xmax), (p.ymax, q.ymax))
    if max(abs(u - v) for u, v in sides) > 2.0 * within_mm:
        return None
    return 2.0 * area(exclusive(a, b)) / (length(a) + length(b))


def _same_place(one: Bolt, other: Bolt, apart: float, limit: Figure) -> Finding:
    where = "in the very place of" if apart == 0.0 else f"{apart:.3f} mm beside"
    return Finding(
        check=ID,
        code="same-place",
        severity=Severity.FORBIDS,
        message=f"{other.name} stands {where} {one.name}, at ({one.at[0]:g}, {one.at[1]:g}): one hole is drilled twice",
        feature=f"hole-{other.name}",
        point_mm=other.at,
        face="top",
        figure=apart,
        limit=limit.value,
        unit=limit.unit,
        source=limit.told_source,
        remedy=f"leave one of the 2 positions out of {other.path}",
        path=other.path,
    )


def _same_outline(part: Part, a: Feature, b: Feature, mean: float, limit: Figure) -> Finding:
    box = box_of(b.region)
    how = "is the outline of" if mean == 0.0 else f"lies {mean:.3f} mm, on average, beside the outline of"
    return Finding(
        check=ID,
        code="same-outline",
        severity=Severity.WARNS,
        message=f"{b.name} {how} {a.name}, and as deep: {part.name} is cut there twice",
        feature=b.name,
        point_mm=box.centre,
        face=b.face.value,
        figure=mean,
        limit=limit.value,
        unit=limit.unit,
        source=limit.told_source,
        remedy=f"leave {b.path} out",
        path=b.path,
    )


CHECK = Check(
    ID,
    "nothing drawn twice",
    "What stands in a recipe twice is cut twice: the second pass rubs in air, wears the cutter and leaves marks where "
    "the two are a hair apart; a shop that is sent such files asks back.",
    GEOMETRY,
    run,
    formula="outlines: area between the two over their mean length",
    limits=("shop.twice_within",),
)
