"""Does artwork lie on its insert, with an edge round it and a floor under it?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less, no_more
from generator.outline.combine import difference
from generator.outline.contour import Point
from generator.outline.measure import bounds
from generator.part.nearness import growth_to_cover, sticks_out_at, wall_mm
from generator.part.part import Feature, Part, Plan
from generator.recipe.model import Recipe

ID = "artwork-in-insert"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``breaks-out``, ``thin-edge``, ``too-deep`` and ``thin-floor`` for the artwork of every insert."""
    for insert in plan.inserts:
        for artwork in insert.features:
            yield from _at_the_edge(recipe, insert, artwork)
            yield from _in_depth(recipe, insert, artwork)


def _at_the_edge(recipe: Recipe, insert: Part, artwork: Feature) -> Iterator[Finding]:
    """Yield the finding of artwork that reaches over the insert's edge or nearly so."""
    if not insert.profile:
        return  # told by the check of its gap
    least = recipe.limits.walls.thinnest
    wall, at, over = wall_mm(insert.profile, artwork.region)
    if over:
        outside = difference(artwork.region, insert.profile)
        place = sticks_out_at(insert.profile, outside) if outside else at
        reach = growth_to_cover(insert.profile, artwork.region)
        message = f"{artwork.name} reaches {reach:.2f} mm over the edge of {insert.name}"
        yield _finding(least, artwork, "breaks-out", Severity.FORBIDS, message, place, -reach, _smaller(artwork))
    elif wall < least.value:
        message = f"{artwork.name} leaves an edge of only {wall:.3f} mm on {insert.name}"
        short = least.value - wall
        grow = recipe.inlays[insert.name.removeprefix("insert-")].outline.grow_mm + short
        remedy = f"set {_inlay(artwork)}.outline.grow to at least {no_less(grow)}, or make the artwork smaller"
        yield _finding(least, artwork, "thin-edge", Severity.WARNS, message, at, wall, remedy)


def _in_depth(recipe: Recipe, insert: Part, artwork: Feature) -> Iterator[Finding]:
    """Yield the finding of an engraving that goes through its insert or nearly so."""
    if artwork.layer.startswith("insert-cut"):
        return
    least = recipe.limits.walls.thinnest
    floor, at = artwork.z_from_mm, Point(*bounds(artwork.region).centre)
    if floor <= 0.0:
        message = (
            f"{artwork.name}, {artwork.depth_mm:g} mm deep, goes through {insert.name} of {insert.thickness_mm:g} mm"
        )
        remedy = f"set {artwork.path}.depth to at most {no_more(insert.thickness_mm / 2.0)}, or `done: cut through`"
        yield _finding(least, artwork, "too-deep", Severity.FORBIDS, message, at, floor, remedy)
    elif floor < least.value:
        message = f"{artwork.name} leaves a floor of {floor:.3f} mm in {insert.name}"
        remedy = f"set {artwork.path}.depth to at most {no_more(max(0.05, insert.thickness_mm - least.value))}"
        yield _finding(least, artwork, "thin-floor", Severity.WARNS, message, at, floor, remedy)


def _inlay(artwork: Feature) -> str:
    return artwork.path.partition(".artwork.")[0]


def _smaller(artwork: Feature) -> str:
    """Return the edit that shrinks artwork which is too large, or moves it."""
    box = bounds(artwork.region)
    return (
        f"make it smaller than {box.width_mm:.2f} x {box.height_mm:.2f} mm, move it with {artwork.path}.outline.at, or "
        f"let {_inlay(artwork)}.outline grow by 1 mm and more"
    )


def _finding(
    least: Figure, artwork: Feature, code: str, severity: Severity, message: str, at: Point, figure: float, remedy: str
) -> Finding:
    forbids = severity is Severity.FORBIDS
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature=artwork.name,
        point_mm=at,
        face="top",
        figure=figure,
        limit=0.0 if forbids else least.value,
        unit="mm",
        source=GEOMETRY if forbids else least.told_source,
        remedy=remedy,
        path=f"{artwork.path}.depth" if code in ("too-deep", "thin-floor") else f"{artwork.path}.outline",
    )


CHECK = Check(
    ID,
    "artwork on its insert",
    "Letters that reach the edge open the insert's rim; a rim or floor thinner than half a millimetre bends in work.",
    GEOMETRY,
    run,
    limits=("walls.thinnest",),
)
