"""What does a pressed-in insert do to the plate round it?"""

from __future__ import annotations

from collections.abc import Iterator
from math import floor

from generator.base.finding import Finding, Severity
from generator.checks.check import NOISE, Check, no_less
from generator.formulas.fits import hoop_stress, ring_stress
from generator.part.bonds import bond_ways
from generator.part.inlays import gap_of
from generator.part.part import Part, Plan
from generator.part.pressing import Pressed, pressed
from generator.recipe.model import Recipe

ID = "press-stress"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``yields`` for pressed-in inserts that, at worst, stretch the plate round them beyond what it bears.

    And ``insert-yields`` for those that are themselves crushed.
    """
    safety, proof = recipe.limits.metals.press_safety, plan.cover.material.proof_mpa or 0.0
    for insert in plan.inserts:
        press = pressed(recipe, plan, insert)
        if press is None:
            continue
        pressure = press.pressure(insert, plan.cover, press.over_mm)
        stress = ring_stress(pressure, press.radius_mm, press.ring_mm)
        if safety.value * stress > proof * (1.0 + NOISE):
            yield _plate(recipe, plan, insert, press, (pressure, stress, proof))
        own = insert.material.proof_mpa or 0.0
        if safety.value * pressure > own * (1.0 + NOISE):
            yield _insert(recipe, plan, insert, press, (pressure, own))


def _plate(recipe: Recipe, plan: Plan, insert: Part, press: Pressed, figures: tuple[float, float, float]) -> Finding:
    """Return the finding of an interference that stretches the plate too far."""
    pressure, stress, proof = figures
    hoop = hoop_stress(pressure, press.radius_mm, press.ring_mm)
    message = (
        f"pressed in, it stretches the plate round it by {hoop:.0f} MPa, {stress:.0f} MPa with its pressure; "
        f"{plan.cover.material.name} yields at {proof:g}"
    )
    return _finding(recipe, plan, insert, press, ("yields", message), proof / stress)


def _insert(recipe: Recipe, plan: Plan, insert: Part, press: Pressed, figures: tuple[float, float]) -> Finding:
    """Return the finding of an insert that is crushed: in a solid disc the pressure is the stress everywhere."""
    pressure, proof = figures
    message = f"pressed in, it is squeezed by {pressure:.0f} MPa; {insert.material.name} yields at {proof:g}"
    return _finding(recipe, plan, insert, press, ("insert-yields", message), proof / pressure)


def _finding(recipe: Recipe, plan: Plan, insert: Part, press: Pressed, said: tuple[str, str], factor: float) -> Finding:
    """Return a finding with the gap that mends it: stresses go with the interference."""
    (code, message), safety = said, recipe.limits.metals.press_safety
    name = insert.name.removeprefix("insert-")
    return Finding(
        check=ID,
        code=code,
        severity=Severity.WARNS,
        message=f"insert {name} may be too large by {press.over_mm:.3f} mm a side at worst: {message}",
        feature=insert.name,
        point_mm=press.at,
        face="top",
        figure=factor,
        limit=safety.value,
        unit=safety.unit,
        source=safety.told_source,
        remedy=_lighter(recipe, name, press, press.over_mm * factor / safety.value) + bond_ways(recipe, plan, insert),
        path=f"inlays.{name}.fit",
    )


def _lighter(recipe: Recipe, name: str, press: Pressed, bears_mm: float) -> str:
    """Return the edit that has it pressed in by no more than it bears and still held; empty where there is none.

    Its gap may be as wide as press-holds lets it; where that is not enough, sizes must be held closer.
    """
    size, limits = recipe.tolerances.size, recipe.limits.inserts
    now = gap_of(recipe.inlays[name]).value
    grown, loose = press.over_mm - (size - now), limits.rattles.value
    gap = now + press.over_mm - bears_mm
    none = f"inlays.{name}.adhesive to none, or "
    if gap + size <= loose:
        return f"set inlays.{name}.gap to at least {no_less(gap)} and {none}"
    closer = floor(50.0 * (loose + bears_mm - grown) + NOISE) / 100.0
    if closer <= 0.0 or loose - closer < limits.gap_tight.value - NOISE:
        return ""
    edit = f"set tolerances.size to {closer:g} mm and inlays.{name}.gap to {loose - closer:g} mm"
    return f"{edit} and {none}"


CHECK = Check(
    ID,
    "stress round pressed-in inserts",
    "An insert that is a little too large stretches the plate round its pocket; a thin wall between pocket and edge "
    "bulges or tears. Sizes are taken at their limits and the temperature at its worst.",
    "Lamé's thick ring round a solid disc, as in DIN 7190-1; von Mises",
    run,
    formula="interference = tolerances.size + growth in heat or cold - gap; p = δ / (r ((1-ν)/E1 + (k+ν)/E2)), "
    "k = (R²+r²)/(R²-r²), r from the insert's area, R to the nearest edge or hole; stress in the plate p √(k²+k+1), "
    "in the insert p",
    limits=("metals.press_safety",),
)
