"""Are there lines or arcs so short that a machine stutters over them?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.units import MODEL
from generator.checks.check import Check
from generator.outline.contour import Segment
from generator.outline.region import Region
from generator.outline.spans import spans_of
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "short-steps"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``stutters`` for the shortest line or arc of every outline that has some below the limit."""
    limit = recipe.limits.shop.shortest_step
    for part in plan.parts:
        path = "cover.outer" if part.name == "cover" else f"inlays.{part.name.removeprefix('insert-')}.outline"
        yield from _outline(part.layer, "top", path, part.profile, limit)
        for feature in part.features:
            yield from _outline(feature.name, feature.face.value, feature.path, feature.region, limit)


def _outline(name: str, face: str, path: str, region: Region, limit: Figure) -> Iterator[Finding]:
    """Yield the note on one outline."""
    spans = spans_of(region)
    if (np.hypot(spans.x1 - spans.x0, spans.y1 - spans.y0) > limit.value).all():
        return
    short = [s for c in region for s in c.segments() if s.chord_mm < limit.value - MODEL.same_mm]
    if not short:
        return
    shortest: Segment = min(short, key=lambda s: s.chord_mm)
    many = f"{len(short)} lines or arcs of {name} are" if len(short) > 1 else f"1 line or arc of {name} is"
    yield Finding(
        check=ID,
        code="stutters",
        severity=Severity.NOTES,
        message=f"{many} shorter than {limit.value:g} mm, the shortest "
        f"{shortest.chord_mm:.4f} mm: a control slows down or stutters there and leaves a mark",
        feature=name,
        point_mm=shortest.start,
        face=face,
        figure=shortest.chord_mm,
        limit=limit.value,
        unit=limit.unit,
        source=limit.told_source,
        remedy=f"leave it, or draw {path} without steps below {limit.value:g} mm",
        path=path,
    )


CHECK = Check(
    ID,
    "lines and arcs long enough to mill",
    "Outlines from files and from things that almost meet may hold steps of a few thousandths. They are nothing to "
    "look at, but a control brakes at every one of them, and the finish shows it.",
    "common practice, no source",
    run,
    limits=("shop.shortest_step",),
)
