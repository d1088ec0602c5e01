"""Does the adhesive under an insert follow when insert and cover grow differently?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.checks.check import NOISE, Check
from generator.formulas.expansion import film_strain, mismatch
from generator.part.bonds import gap_ways, stretch_of
from generator.part.inlays import gap_of
from generator.part.metals import MADE_AT_C, adhesive_of, far_corners, warmth
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

ID = "expansion-bond"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``film-shears`` for bonded inserts whose far corner slips too far for the film that holds it."""
    outer = plan.cover.material.cte_per_k
    for insert in plan.inserts:
        inlay, inner = recipe.inlays[insert.name.removeprefix("insert-")], insert.material.cte_per_k
        film, adhesive = gap_of(inlay).value, adhesive_of(recipe, inlay)
        if outer is None or inner is None or not insert.profile or adhesive is None or film <= NOISE:
            continue
        limit = stretch_of(recipe, adhesive)
        far = max(far_corners(insert.profile), key=lambda far: far.corner_mm)
        by = max(warmth(recipe), key=abs)
        slip = abs(mismatch(inner, outer, far.corner_mm, by))
        if film_strain(slip, film) > limit.value + NOISE:
            yield _finding(insert, (film, slip, by), far.at, limit, gap_ways(recipe, plan, insert))


def _finding(
    insert: Part, figures: tuple[float, float, float], at: tuple[float, float], limit: Figure, ways: str
) -> Finding:
    """Return the finding of a film that is sheared too far."""
    film, slip, by = figures
    name = insert.name.removeprefix("insert-")
    return Finding(
        check=ID,
        code="film-shears",
        severity=Severity.WARNS,
        message=f"at {MADE_AT_C + by:g} °C the far corner of insert {name} slips {slip:.3f} mm over its pocket's "
        f"floor: a film of {film:g} mm is sheared by {film_strain(slip, film):.2f} of its thickness",
        feature=insert.name,
        point_mm=at,
        face="top",
        figure=film_strain(slip, film),
        limit=limit.value,
        unit=limit.unit,
        source=limit.told_source,
        remedy=ways,
        path=f"inlays.{name}.material",
    )


CHECK = Check(
    ID,
    "bonds of inserts in heat and cold",
    "Insert and cover grow differently, and the adhesive between them takes the difference: most at the insert's far "
    "corner, where bonds begin to come off. The film under the insert is taken to be as thick as the gap beside it.",
    "shear of a thin film between stiff faces (mechanics); (α1 - α2) L ΔT, any text of physics",
    run,
    formula="(difference of α) x distance of the far corner from the middle x (temperature - 20 °C) / film's thickness",
    limits=("metals.film_strain", "inserts.elastic_stretch"),
)
