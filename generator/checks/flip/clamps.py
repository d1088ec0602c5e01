"""Do clamps and tabs stand clear of the cutter, the part and the dowels?"""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from generator.base.finding import Finding, Severity
from generator.base.practice import CUTTER_WITHOUT_TOOLS, GEOMETRY
from generator.checks.check import NOISE, Check
from generator.estimate.holding import outline_of
from generator.outline.contour import Point
from generator.outline.create import circle
from generator.outline.distance import point_distance
from generator.outline.measure import bounds
from generator.outline.predicates import Side, contains_point
from generator.outline.region import Region
from generator.part.holding import tabs_of
from generator.part.part import Plan, Tab
from generator.part.relation import meets
from generator.recipe.model import Recipe
from generator.recipe.model_holding import Holding

ID = "clamps"
A_LITTLE_MM = 0.1
"""Room beyond what is needed, in remedies."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``in-the-way``, ``on-dowel`` and ``off-blank`` for clamps, ``tab-at-dowel`` for tabs."""
    held = recipe.holding
    if not isinstance(held, Holding) or not plan.cover.profile:
        return
    outline = outline_of(recipe, plan)
    cutter = outline.used[1].diameter if outline else CUTTER_WITHOUT_TOOLS.value
    holes = [Region((c,)) for c in plan.blank.dowel_holes]
    for k, at in enumerate(held.clamps):
        yield from _clamp(plan, held, k, Point(*at), cutter, holes)
    for k, tab in enumerate(tabs_of(recipe, plan.cover.profile, cutter)):
        yield from _tab(recipe, k, tab, holes)


def _clamp(plan: Plan, held: Holding, k: int, at: Point, cutter_mm: float, holes: list[Region]) -> Iterator[Finding]:
    """Yield what is wrong with one clamp."""
    disc, path = Region((circle(at, held.clamp_radius),)), f"holding.clamps[{k}]"
    free = _free_mm(plan, at) - held.clamp_radius
    if free < cutter_mm - NOISE:
        yield _finding(
            "in-the-way",
            Severity.FORBIDS,
            f"the end mill of {cutter_mm:g} mm that goes round the part runs into clamp {k + 1}: "
            + (
                f"only {free:.3g} mm are between part and clamp"
                if free > 0.0
                else f"it reaches {-free:.3g} mm over the part"
            ),
            at,
            path,
            _away(plan, at, path, cutter_mm + held.clamp_radius),
            (free, cutter_mm),
        )
    for hole in holes:
        if meets(disc, hole):
            where = bounds(hole).centre
            yield _finding(
                "on-dowel",
                Severity.WARNS,
                f"clamp {k + 1} stands on a dowel",
                where,
                path,
                _off(at, where, path, held.clamp_radius + bounds(hole).width_mm / 2.0),
            )
    if not meets(disc, plan.blank.region):
        yield _finding(
            "off-blank",
            Severity.WARNS,
            f"clamp {k + 1} does not reach the blank",
            at,
            path,
            f"move {path} onto the blank, or set cover.stock.margin larger",
        )


def _free_mm(plan: Plan, at: Point) -> float:
    """Return how far a point is from the part, mm; negative inside it."""
    away = point_distance(plan.cover.profile, at).distance_mm
    return -away if contains_point(plan.cover.profile, at) is Side.INSIDE else away


def _away(plan: Plan, at: Point, path: str, needed_mm: float) -> str:
    """Return the edit that takes a clamp out of the way, straight away from the nearest edge of the part."""
    edge = point_distance(plan.cover.profile, at).point
    sign = -1.0 if _free_mm(plan, at) < 0.0 else 1.0
    dx, dy = sign * (at.x - edge.x), sign * (at.y - edge.y)
    far = hypot(dx, dy)
    if far <= 0.0:
        return f"move {path} {needed_mm:.4g} mm away from the part"
    x, y = (round(e + d / far * (needed_mm + A_LITTLE_MM), 2) for e, d in ((edge.x, dx), (edge.y, dy)))
    return f"set {path} to `[{x:g} mm, {y:g} mm]`; it has to stand on the blank there"


def _off(at: Point, dowel: Point, path: str, needed_mm: float) -> str:
    """Return the edit that takes a clamp off a dowel, straight away from it."""
    far = hypot(at.x - dowel.x, at.y - dowel.y)
    dx, dy = ((at.x - dowel.x) / far, (at.y - dowel.y) / far) if far > 0.0 else (1.0, 0.0)
    x, y = (round(d + e * (needed_mm + A_LITTLE_MM), 2) for d, e in ((dowel.x, dx), (dowel.y, dy)))
    return f"set {path} to `[{x:g} mm, {y:g} mm]`; it has to stand clear of the cutter there, too"


def _tab(recipe: Recipe, k: int, tab: Tab, holes: list[Region]) -> Iterator[Finding]:
    """Yield ``tab-at-dowel`` for a tab whose root in the frame a dowel hole weakens."""
    for hole in holes:
        centre = bounds(hole).centre
        gap = hypot(centre.x - tab.root.x, centre.y - tab.root.y) - (bounds(hole).width_mm + tab.width_mm) / 2.0
        if gap < recipe.limits.walls.sound.value:
            yield _finding(
                "tab-at-dowel",
                Severity.WARNS,
                f"tab {k + 1} hangs on the frame where a dowel hole weakens it: {max(gap, 0.0):.3g} mm "
                "are between them",
                tab.root,
                f"holding.at[{k}]",
                f"move holding.at[{k}] some degrees on, or leave holding.at out",
                (gap, recipe.limits.walls.sound.value),
                recipe.limits.walls.sound.told_source,
            )


def _finding(
    code: str,
    severity: Severity,
    message: str,
    at: Point,
    path: str,
    remedy: str,
    held: tuple[float, float] | None = None,
    source: str = GEOMETRY,
) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature="blank",
        point_mm=at,
        face="top",
        figure=held[0] if held else None,
        limit=held[1] if held else None,
        unit="mm" if held else "",
        source=source,
        remedy=remedy,
        path=path,
    )


CHECK = Check(
    ID,
    "clamps and tabs clear of everything",
    "A clamp in the cutter's way ends the cutter, the clamp and often the part; one on a dowel tilts the blank.",
    GEOMETRY,
    run,
    formula="holding.clamp_radius round every clamp, and the cutter's diameter round the part",
    limits=("walls.sound",),
)
