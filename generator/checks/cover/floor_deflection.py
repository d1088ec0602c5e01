"""Does the floor over the bottom pocket give when somebody presses on it?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.checks.check import Check, thicker
from generator.formulas.plates import thick_enough
from generator.part.floors import MPA_PER_GPA, Floor, floors
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "floor-deflection"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``gives`` for the floors over the bottom pocket that bend too far under a finger's load."""
    modulus = plan.cover.material.youngs_gpa
    if modulus is None:
        return
    for floor in floors(plan.cover):
        given = floor.deflection(recipe.limits.floor.finger.value, modulus * MPA_PER_GPA, floor.thickness_mm)
        if given > recipe.limits.floor.gives.value:
            yield _finding(recipe, plan, floor, given, modulus * MPA_PER_GPA)


def _finding(recipe: Recipe, plan: Plan, floor: Floor, given: float, modulus: float) -> Finding:
    """Return the finding of one floor."""
    load, limit = recipe.limits.floor.finger.value, recipe.limits.floor.gives
    enough = thick_enough(lambda t: floor.deflection(load, modulus, t), limit.value, floor.thickness_mm)
    rests = given >= recipe.clearance.above
    return Finding(
        check=ID,
        code="gives",
        severity=Severity.WARNS,
        message=f"{'the floor over' if floor.name == 'bottom-pocket' else 'the floor under'} {floor.name}, "
        f"{floor.thickness_mm:.3g} mm thick and about {floor.told}, gives {given:.3f} mm under {load:g} N"
        f"{': it comes to rest on the original' if rests else ''}",
        feature=floor.name,
        point_mm=floor.at,
        face="bottom" if floor.name == "bottom-pocket" else "top",
        figure=given,
        limit=limit.value,
        unit=limit.unit,
        source=limit.told_source,
        remedy=thicker(recipe, plan, plan.cover.thickness_mm + enough - floor.thickness_mm),
        path=floor.path,
    )


CHECK = Check(
    ID,
    "floor that gives under a finger",
    "Over the bottom pocket the cover is a plate held at its edges. A thin one booms when it is tapped, gives under a "
    "thumb, and works at the bond of an insert in it.",
    "Roark's Formulas for Stress and Strain, 7th edition, tables 11.2 case 17 and 11.4 case 8b; Timoshenko, Plates and "
    "Shells, sections 19 and 44; an estimate: floors count as the clamped disc or rectangle "
    "round them, or one by largest disc within and area, whichever gives least",
    run,
    formula="disc w = F r² / (16 π D), D = E t³ / (12 (1 - ν²)); rectangle w = α F b² / (E t³), α 0.0611 to 0.0791",
    limits=("floor.finger", "floor.gives"),
)
