"""Do clamps and tabs stand clear of the cutter, the part and the dowels?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import hypot

from generator.base.finding import Finding, Severity
from generator.base.practice import CUTTER_WITHOUT_TOOLS, GEOMETRY
from generator.checks.check import NOISE, Check, no_less
from generator.estimate.holding import outline_of
from generator.outline.contour import Point
from generator.outline.create import circle
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.part.clamp_places import ClampPlace, clamp_places, free_mm
from generator.part.holding import tabs_of
from generator.part.part import Plan, Tab
from generator.part.relation import meets
from generator.recipe.model import Recipe
from generator.recipe.model_holding import Holding

ID = "clamps"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``in-the-way``, ``on-dowel`` and ``off-blank`` for clamps, ``tab-at-dowel`` for tabs."""
    held = recipe.holding
    if not isinstance(held, Holding) or not plan.cover.profile:
        return
    outline = outline_of(recipe, plan)
    cutter = outline.used[1].diameter if outline else CUTTER_WITHOUT_TOOLS.value
    holes = [Region((c,)) for c in plan.blank.dowel_holes]
    for found in _clamps(recipe, plan, held, cutter, holes):
        yield from found
    for k, tab in enumerate(tabs_of(recipe, plan.cover.profile, cutter)):
        yield from _tab(recipe, k, tab, holes)


def _clamps(
    recipe: Recipe, plan: Plan, held: Holding, cutter_mm: float, holes: list[Region]
) -> Iterator[list[Finding]]:
    """Yield what is wrong with each clamp, with one place that mends all of it."""
    at = [Point(*p) for p in held.clamps]
    found = [list(_clamp(plan, held, k, p, cutter_mm, holes)) for k, p in enumerate(at)]
    bad = [k for k, faults in enumerate(found) if faults]
    if not bad:
        return
    places = clamp_places(plan, at, held.clamp_radius, cutter_mm, bad)
    for k in bad:
        remedy = _moved(places.get(k), f"holding.clamps[{k}]", cutter_mm + recipe.limits.flip.frame.value)
        yield [replace(f, remedy=remedy) for f in found[k]]


def _moved(place: ClampPlace | None, path: str, least_mm: float) -> str:
    """Return the edit that takes a clamp where it may stand; a larger blank has a margin of so much at least."""
    if place is None:
        return f"leave {path} out and hold the part otherwise: no place beside it is clear of cutter, dowels and clamps"
    edit = f"set {path} to `[{place.at.x:g} mm, {place.at.y:g} mm]`"
    if not place.margin_mm:
        return edit
    margin = no_less(max(place.margin_mm, least_mm))
    return f"set cover.stock.margin to at least {margin} and {edit}; the blank is too small for it as it is"


def _clamp(plan: Plan, held: Holding, k: int, at: Point, cutter_mm: float, holes: list[Region]) -> Iterator[Finding]:
    """Yield what is wrong with one clamp; what mends it is found for all together."""
    disc, path = Region((circle(at, held.clamp_radius),)), f"holding.clamps[{k}]"
    free = free_mm(plan, at) - held.clamp_radius
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
            "",
            (free, cutter_mm),
        )
    for hole in holes:
        if meets(disc, hole):
            said = f"clamp {k + 1} stands on a dowel"
            yield _finding("on-dowel", Severity.WARNS, said, bounds(hole).centre, path, "")
    if not meets(disc, plan.blank.region):
        yield _finding("off-blank", Severity.WARNS, f"clamp {k + 1} does not reach the blank", at, path, "")


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
