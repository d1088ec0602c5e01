"""Are the pieces that are let in, and the islands of plate between them, large enough to live?"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from generator.base.finding import Finding, Severity
from generator.checks.check import NOISE, Check, no_more
from generator.outline.contour import Contour, Point
from generator.outline.measure import bounds, signed_area
from generator.outline.region import Region
from generator.outline.separate import separated
from generator.part.bonds import may_be_thinner, width_of
from generator.part.part import Feature, Part, Plan
from generator.recipe.model import Recipe

ID = "insert-island"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``tiny-piece`` for pieces of insert too small to hold, ``weak-island`` for slender plate in a pocket."""
    pockets = {f.name: f for f in plan.cover.features if f.layer.startswith("inlay-pocket")}
    for insert in plan.inserts:
        name = insert.name.removeprefix("insert-")
        yield from _pieces(recipe, insert, name)
        pocket = pockets.get(f"inlay-pocket-{name}")
        if pocket is not None:
            yield from _islands(recipe, plan, insert, pocket)


def _pieces(recipe: Recipe, insert: Part, name: str) -> Iterator[Finding]:
    """Yield the finding of the smallest of several pieces of an insert."""
    limit = recipe.limits.inserts.piece
    pieces = separated(insert.profile)
    small = sorted((p for p in pieces if _span(p) < limit.value - NOISE), key=_span) if len(pieces) > 1 else []
    if not small:
        return
    piece, span = small[0], _span(small[0])
    yield Finding(
        check=ID,
        code="tiny-piece",
        severity=Severity.WARNS,
        message=f"{len(small)} of {len(pieces)} pieces of insert {name} are tiny, the smallest {span:.3g} mm across: "
        "they fly off the cutter and are lost",
        feature=insert.name,
        point_mm=bounds(piece).centre,
        face="top",
        figure=span,
        limit=limit.value,
        unit=limit.unit,
        source=limit.told_source,
        remedy=f"draw it at least {limit.value / span:.2f} times as large, or join it to its neighbours, or engrave it",
        path=f"inlays.{name}.outline",
    )


def _span(piece: Region) -> float:
    """Return the longer side of a piece's box, mm."""
    box = bounds(piece)
    return max(box.width_mm, box.height_mm)


def _islands(recipe: Recipe, plan: Plan, insert: Part, pocket: Feature) -> Iterator[Finding]:
    """Yield the finding of the most slender island of plate that stands in a pocket."""
    share, name = recipe.limits.inserts.island, insert.name.removeprefix("insert-")
    holes = sorted((width_of(c), _middle(c)) for c in pocket.region if signed_area(c) < 0.0)
    if not holes or holes[0][0] >= share.value * pocket.depth_mm - NOISE:
        return
    width, at = holes[0]
    thin = may_be_thinner(recipe, plan, insert, pocket.depth_mm - width / share.value)
    thinner = _thinner(recipe, name, pocket, width / share.value)
    edit = f"set inlays.{name}.stock.thickness to at most {thinner}, or " if thin else ""
    times = ceil(100.0 * share.value * pocket.depth_mm / width) / 100.0
    yield Finding(
        check=ID,
        code="weak-island",
        severity=Severity.WARNS,
        message=f"an island of plate in {pocket.name} is {width:.3g} mm wide and {pocket.depth_mm:.3g} mm high: it "
        "breaks off while the pocket is cut",
        feature=pocket.name,
        point_mm=at,
        face="top",
        figure=width / pocket.depth_mm,
        limit=share.value,
        unit=share.unit,
        source=share.told_source,
        remedy=f"{edit}draw it at least {times:.2f} times as wide",
        path=f"inlays.{name}.outline",
    )


def _thinner(recipe: Recipe, name: str, pocket: Feature, depth: float) -> str:
    return no_more(recipe.inlays[name].stock.thickness - (pocket.depth_mm - depth))


def _middle(contour: Contour) -> Point:
    return bounds(contour).centre


CHECK = Check(
    ID,
    "pieces and islands that stand alone",
    "Letters that are let in piece by piece leave islands of plate in their pockets, and bring dots that are pieces of "
    "their own. Slender islands break off under the cutter; tiny pieces fly away when they are cut free.",
    "common practice, no source",
    run,
    formula="width: short side of the rectangle of equal area and perimeter, or diameter of the disc of equal area",
    limits=("inserts.piece", "inserts.island"),
)
