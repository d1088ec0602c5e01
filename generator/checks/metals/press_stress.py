"""What does a pressed-in insert do to the plate round it?"""

from __future__ import annotations

from collections.abc import Iterator
from math import pi, sqrt

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.materials import Material
from generator.checks.check import Check, no_less
from generator.formulas.expansion import mismatch
from generator.formulas.fits import hoop_stress, press_pressure, ring_stress
from generator.outline.distance import boundary_distance
from generator.outline.measure import area
from generator.part.inlays import gap_of
from generator.part.metals import Far, far_corners, is_bonded, warmth
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

ID = "press-stress"
MEGA = 1000.0
"""GPa to MPa."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``yields`` for pressed-in inserts that, at worst, stretch the plate round them beyond what it bears."""
    for insert in plan.inserts:
        inlay = recipe.inlays[insert.name.removeprefix("insert-")]
        if insert.profile and not is_bonded(inlay) and _known(insert.material) and _known(plan.cover.material):
            far = far_corners(insert.profile)[0]
            over = _interference(recipe, plan, insert, far, gap_of(inlay).value)
            if over > 0.0:
                yield from _stressed(recipe, plan, insert, far, over)


def _known(material: Material) -> bool:
    return None not in (material.youngs_gpa, material.proof_mpa, material.cte_per_k)


def _interference(recipe: Recipe, plan: Plan, insert: Part, far: Far, gap: float) -> float:
    """Return by how much the insert is too large at worst, a side, mm: sizes at their limits, the worst temperature."""
    inner, outer = insert.material.cte_per_k, plan.cover.material.cte_per_k
    assert inner is not None
    assert outer is not None
    grown = max(mismatch(inner, outer, far.corner_mm, by) for by in warmth(recipe))
    return recipe.tolerances.size + max(grown, 0.0) - gap


def _stressed(recipe: Recipe, plan: Plan, insert: Part, far: Far, over: float) -> Iterator[Finding]:
    """Yield the finding of an interference that stretches the plate too far."""
    safety = recipe.limits.metals.press_safety
    radius = sqrt(area(far.piece) / pi)
    ring = radius + boundary_distance(insert.profile, plan.cover.profile).distance_mm
    pressure = _pressure(over, radius, ring, insert.material, plan.cover.material)
    stress = ring_stress(pressure, radius, ring)
    proof = plan.cover.material.proof_mpa
    assert proof is not None
    if stress > proof / safety.value:
        name = insert.name.removeprefix("insert-")
        gap = gap_of(recipe.inlays[name]).value + over * (1.0 - proof / safety.value / stress)
        hoop = hoop_stress(pressure, radius, ring)
        message = (
            f"insert {name} may be too large by {over:.3f} mm a side at worst: pressed in, it stretches the plate "
            f"round it by {hoop:.0f} MPa, {stress:.0f} MPa with its pressure; {plan.cover.material.name} yields at "
            f"{proof:g}"
        )
        yield _finding(insert, far, message, proof / stress, safety, gap)


def _pressure(over: float, radius: float, ring: float, inner: Material, outer: Material) -> float:
    assert inner.youngs_gpa is not None
    assert outer.youngs_gpa is not None
    return press_pressure(over, radius, ring, inner.youngs_gpa * MEGA, outer.youngs_gpa * MEGA)


def _finding(insert: Part, far: Far, message: str, factor: float, safety: Figure, gap: float) -> Finding:
    name = insert.name.removeprefix("insert-")
    return Finding(
        check=ID,
        code="yields",
        severity=Severity.WARNS,
        message=message,
        feature=insert.name,
        point_mm=far.at,
        face="top",
        figure=factor,
        limit=safety.value,
        unit=safety.unit,
        source=safety.told_source,
        remedy=f"set inlays.{name}.gap to at least {no_less(gap)} and inlays.{name}.adhesive to none, or fit it by "
        "hand and bond it",
        path=f"inlays.{name}.fit",
    )


CHECK = Check(
    ID,
    "stress round pressed-in inserts",
    "An insert that is a little too large stretches the plate round its pocket; a thin wall between pocket and edge "
    "bulges or tears. Sizes are taken at their limits and the temperature at its worst.",
    "Lamé's thick ring round a solid disc, as in DIN 7190-1; von Mises",
    run,
    formula="interference = tolerances.size + growth in heat or cold - gap; p = δ / (r ((1-ν)/E1 + (k+ν)/E2)), "
    "k = (R²+r²)/(R²-r²), r from the insert's area, R to the cover's edge; stress = p √(k² + k + 1)",
    limits=("metals.press_safety",),
)
