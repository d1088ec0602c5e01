"""Does the floor bear the insert being pressed in?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.checks.check import NOISE, Check, thicker
from generator.formulas.fits import press_force
from generator.formulas.plates import thick_enough
from generator.outline.measure import area
from generator.part.floors import Floor, floors
from generator.part.part import Part, Plan
from generator.part.pressing import pressed
from generator.recipe.model import Recipe

ID = "press-floor"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``bends`` for floors under pressed-in inserts that the force of pressing them in may bend for good."""
    safety, proof = recipe.limits.metals.press_safety.value, plan.cover.material.proof_mpa or 0.0
    for insert in plan.inserts:
        press = pressed(recipe, plan, insert)
        if press is None or press.cold_over_mm <= 0.0:
            continue
        depth = min(insert.thickness_mm, plan.cover.thickness_mm - insert.seat_z_mm)
        yields = min(proof, insert.material.proof_mpa or 0.0)
        pressure = min(press.pressure(insert, plan.cover, press.cold_over_mm), yields)
        force = press_force(pressure, press.radius_mm, depth, recipe.limits.metals.friction.value)
        spread = force / area(insert.profile)
        pocket = f"inlay-pocket-{insert.name.removeprefix('insert-')}"
        for floor in floors(plan.cover):
            stress = floor.stress_under_pressure(spread, floor.thickness_mm)
            if floor.name == pocket and safety * stress > proof * (1.0 + NOISE):
                yield _finding(recipe, plan, insert, floor, (force, spread, proof))


def _finding(recipe: Recipe, plan: Plan, insert: Part, floor: Floor, load: tuple[float, float, float]) -> Finding:
    """Return the finding of one floor."""
    force, spread, proof = load
    safety = recipe.limits.metals.press_safety
    stress = floor.stress_under_pressure(spread, floor.thickness_mm)
    given = floor.deflection_under_pressure(spread, plan.cover.material, floor.thickness_mm)
    enough = thick_enough(lambda t: floor.stress_under_pressure(spread, t), proof / safety.value, floor.thickness_mm)
    name = insert.name.removeprefix("insert-")
    more = thicker(recipe, plan, plan.cover.thickness_mm + enough - floor.thickness_mm)
    return Finding(
        check=ID,
        code="bends",
        severity=Severity.WARNS,
        message=f"insert {name} may take {force:.0f} N to press in: the floor under it, {floor.thickness_mm:.3g} mm "
        f"thick and about {floor.told}, gives {given:.3f} mm and is bent by {stress:.0f} MPa; "
        f"{plan.cover.material.name} yields at {proof:g} MPa",
        feature=floor.name,
        point_mm=floor.at,
        face="top",
        figure=proof / stress,
        limit=safety.value,
        unit=safety.unit,
        source=safety.told_source,
        remedy=f"{more}, or press it in over a block that fills the bottom pocket, or fit it by hand and bond it",
        path=f"inlays.{name}.fit",
    )


CHECK = Check(
    ID,
    "floor under inserts that are pressed in",
    "What is pressed in pushes on the floor of its pocket, and over the bottom pocket that floor hangs free: it "
    "bulges, and the insert never lies flat again.",
    "force: DIN 7190-1; floor under a spread load: Roark, 7th edition, tables 11.2 case 10b and 11.4 case 8a; an "
    "estimate",
    run,
    formula="F = μ p 2 π r l, p as in press-stress at 20 °C but no more than the softer metal bears, spread over the "
    "insert's face; disc σ = 3 q r² / (4 t²), rectangle σ = β q b² / t², β 0.3078 to 0.5",
    limits=("metals.press_safety", "metals.friction"),
)
