"""Does the floor over the bottom pocket spring away from the cutter?"""

from __future__ import annotations

from collections.abc import Iterator
from math import floor as whole

from generator.base.cutting import feed_range, force_of
from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.checks.check import Check, thicker
from generator.estimate.times import kind_of_part
from generator.formulas.cutting import specific_force
from generator.formulas.plates import thick_enough
from generator.part.floors import MPA_PER_GPA, Floor, floors
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "floor-under-cutting"
THOUSANDTHS = 1000.0
LEAST_DOWN = 0.02
"""Passes of less than this many diameters are no remedy (our own choice)."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``springs`` for the floors that give under the cutter by more than depths may be off."""
    modulus = plan.cover.material.youngs_gpa
    row = force_of(kind_of_part(recipe, plan.cover))
    if modulus is None or row is None or not plan.tool_diameters:
        return
    limits = recipe.limits.floor
    allowed = limits.bends_for_depth.value * recipe.tolerances.depth
    for floor in floors(plan.cover):
        diameter = _cutter(plan, floor)
        feed = feed_range(row.kind, diameter)[1]
        down = recipe.making.step_down * diameter
        force = limits.tool_axial.value * specific_force(row.kc1, row.m, feed) * down * feed
        given = floor.deflection(force, modulus * MPA_PER_GPA, floor.thickness_mm)
        if allowed > 0.0 and given > allowed:
            yield _finding(recipe, plan, floor, (diameter, force, given, allowed))


def _cutter(plan: Plan, floor: Floor) -> float:
    """Return the largest end mill at hand that goes into the floor's recess; the smallest if none does."""
    sizes = sorted(d for _, d in plan.tool_diameters)
    return next((d for d in reversed(sizes) if d <= floor.short_mm), sizes[0])


def _finding(recipe: Recipe, plan: Plan, floor: Floor, cut: tuple[float, float, float, float]) -> Finding:
    """Return the finding of one floor."""
    diameter, force, given, allowed = cut
    modulus = (plan.cover.material.youngs_gpa or 0.0) * MPA_PER_GPA
    enough = thick_enough(lambda t: floor.deflection(force, modulus, t), allowed, floor.thickness_mm)
    down = whole(recipe.making.step_down * allowed / given * THOUSANDTHS) / THOUSANDTHS
    passes = f"set making.step_down to at most {down:g}, or " if down >= LEAST_DOWN else ""
    more = thicker(recipe, plan, plan.cover.thickness_mm + enough - floor.thickness_mm)
    return Finding(
        check=ID,
        code="springs",
        severity=Severity.WARNS,
        message=f"{'the floor over' if floor.name == 'bottom-pocket' else 'the floor under'} {floor.name}, "
        f"{floor.thickness_mm:.3g} mm thick and about {floor.told}, gives {given:.3f} mm under an end mill of "
        f"{diameter:g} mm, about {force:.0f} N: it chatters and comes out too thick",
        feature=floor.name,
        point_mm=floor.at,
        face="bottom" if floor.name == "bottom-pocket" else "top",
        figure=given,
        limit=allowed,
        unit="mm",
        source=_source(recipe.limits.floor.bends_for_depth),
        remedy=f"{passes}{more}; or fill the pocket under it with wax or a fitted block while the second face is cut",
        path=floor.path,
    )


def _source(figure: Figure) -> str:
    return f"tolerances.depth of the recipe; share of it: {figure.told_source}"


CHECK = Check(
    ID,
    "floor that springs under the cutter",
    "Whichever face is cut second, the floor between the pockets then hangs free: the cutter pushes it away, or pulls "
    "it up, and it springs back. Depths are off by as much, and thin floors chatter.",
    "Roark, tables as in floor-deflection; specific cutting force kc = kc1 h^-m by VDI 3323 groups (ISCAR 2017, read)",
    run,
    formula="force = share x kc x depth of a pass x feed a tooth (the fastest chart's), one tooth cutting; deflection "
    "as in floor-deflection, against tolerances.depth",
    limits=("floor.tool_axial", "floor.bends_for_depth"),
)
