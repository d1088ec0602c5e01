"""Does the floor over the bottom pocket keep its shape when somebody presses on it?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.checks.check import Check, thicker
from generator.formulas.plates import thick_enough
from generator.part.floors import Floor, floors
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "floor-stress"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``dents`` for the floors over the bottom pocket that a finger's load bends for good."""
    proof, safety = plan.cover.material.proof_mpa, recipe.limits.floor.safety.value
    if proof is None:
        return
    load, spot = recipe.limits.floor.finger.value, recipe.limits.floor.finger_radius.value
    for floor in floors(plan.cover):
        stress = floor.stress(load, spot, floor.thickness_mm)
        if proof < safety * stress:
            yield _finding(recipe, plan, floor, stress, proof)


def _finding(recipe: Recipe, plan: Plan, floor: Floor, stress: float, proof: float) -> Finding:
    """Return the finding of one floor."""
    limits = recipe.limits.floor
    load, spot, safety = limits.finger.value, limits.finger_radius.value, limits.safety
    enough = thick_enough(lambda t: floor.stress(load, spot, t), proof / safety.value, floor.thickness_mm)
    return Finding(
        check=ID,
        code="dents",
        severity=Severity.WARNS,
        message=f"{'the floor over' if floor.name == 'bottom-pocket' else 'the floor under'} {floor.name}, "
        f"{floor.thickness_mm:.3g} mm thick and about {floor.told}, is bent by {stress:.0f} MPa under {load:g} N; "
        f"{plan.cover.material.name} yields at {proof:g} MPa",
        feature=floor.name,
        point_mm=floor.at,
        face="bottom" if floor.name == "bottom-pocket" else "top",
        figure=proof / stress,
        limit=safety.value,
        unit=safety.unit,
        source=safety.told_source,
        remedy=thicker(recipe, plan, plan.cover.thickness_mm + enough - floor.thickness_mm),
        path=floor.path,
    )


CHECK = Check(
    ID,
    "floor that a finger dents",
    "Over the bottom pocket the cover is a plate held at its edges; bent beyond its proof strength it stays bent, and "
    "an insert in it comes loose.",
    "Roark's Formulas for Stress and Strain, 7th edition, tables 11.2 case 17 and 11.4 case 8b, with Westergaard's "
    "equivalent radius; an estimate: floors count as the clamped disc or rectangle "
    "round them, or one by largest disc within and area, whichever gives least",
    run,
    formula="disc: greater of 3 F / (2 π t²) and (1 + ν) ln(r / r0') times that; rectangle: greater of β2 F / t² and "
    "3 F ((1 + ν) ln(2 b / (π r0')) + β1) / (2 π t²)",
    limits=("floor.finger", "floor.finger_radius", "floor.safety"),
)
