"""Does a piece of an insert fall out where artwork is cut through it?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.outline.chords import inner_point
from generator.outline.combine import union
from generator.outline.measure import area, bounds
from generator.outline.predicates import winding_numbers
from generator.outline.region import Region
from generator.outline.separate import holder_of, separated
from generator.part.bridges import widest_bridge
from generator.part.describe import is_through
from generator.part.islands import islands, outer_contour
from generator.part.nearness import growth_to_cover
from generator.part.part import Feature, Part, Plan
from generator.part.relation import covers
from generator.recipe.model import Recipe

ID = "fallen-pieces"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``falls-out`` for pieces within what is cut through an insert, and ``cut-off`` for pieces at its edge."""
    for insert in plan.inserts:
        through = [f for f in insert.features if is_through(insert, f) and f.region]
        if through and insert.profile:
            ways: dict[str, str] = {}
            for piece in islands(insert.profile, union(*(f.region for f in through))):
                around = _around(piece, through)
                feature = around or through[0]
                if feature.name not in ways:
                    ways[feature.name] = _remedy(recipe, plan, insert, feature)
                yield _finding(insert, piece, feature, ways[feature.name], inside=around is not None)


def _remedy(recipe: Recipe, plan: Plan, insert: Part, feature: Feature) -> str:
    """Return the bridges that hold what falls out, as wide as was tried; other advice where none do."""
    apart = "let the piece in separately"
    if not covers(insert.profile, feature.region):
        over = growth_to_cover(insert.profile, feature.region)
        where = f"where it reaches {over:.2f} mm over the edge no bridge holds anything"
        return f"bring {feature.name} onto {insert.name} first: {where}"
    if recipe.inlays[insert.name.removeprefix("insert-")].artwork[feature.path.split(".")[3]].bridges is not None:
        return apart
    walls = recipe.limits.walls
    width = widest_bridge(feature.asked or feature.region, insert.profile, walls.sound.value)
    if width >= walls.thinnest.value - MODEL.same_mm:
        return f"set {feature.path}.bridges.width to {width:g} mm, or {apart}"
    if not width:
        return apart
    times = no_less(walls.thinnest.value / width).removesuffix(" mm")
    return f"{apart}, or draw it at least {times} times as large, with bridges of {walls.thinnest.value:g} mm"


def _finding(insert: Part, piece: Region, feature: Feature, remedy: str, *, inside: bool) -> Finding:
    """Return the finding of one loose piece."""
    at, size = inner_point(piece) or bounds(piece).centre, area(piece)
    box = bounds(piece)
    what = f"a piece of {box.width_mm:.2f} × {box.height_mm:.2f} mm, {size:.2f} mm²"
    message = (
        f"{what}, falls out of {insert.name} inside {feature.name}"
        if inside
        else f"{what}, is cut off from {insert.name} by {feature.name}"
    )
    return Finding(
        check=ID,
        code="falls-out" if inside else "cut-off",
        severity=Severity.WARNS,
        message=message,
        feature=feature.name,
        point_mm=at,
        face="top",
        figure=size,
        limit=0.0,
        unit="mm²",
        source=GEOMETRY,
        remedy=remedy,
        path=feature.path,
    )


def _around(piece: Region, through: Sequence[Feature]) -> Feature | None:
    """Return the feature one of whose cuts goes round the piece; None if it takes several, or the insert's edge."""
    contour = outer_contour(piece)
    for f in through:
        outlines = [outer_contour(p) for p in separated(f.region)]
        holder = holder_of(contour, outlines)
        point = inner_point(piece)
        if holder is not None and point is not None and winding_numbers(f.region, [point])[0] <= 0:
            return f
    return None


CHECK = Check(
    ID,
    "pieces that fall out of inserts",
    "Where letters are cut through an insert, the inside of an O or an A is joined to nothing: it falls out when the "
    "last of its outline is cut, and may be thrown by the cutter.",
    GEOMETRY,
    run,
    limits=("walls.sound", "walls.thinnest"),
)
