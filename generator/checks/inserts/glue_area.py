"""Is there enough bond to hold every piece of an insert?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import ceil, sqrt

from generator.base.adhesives import KEY_OF, Adhesive
from generator.base.errors import GeometryError, RecipeError
from generator.base.fields import OutlineSpec
from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.checks.check import NOISE, Check, no_less
from generator.formulas.adhesive import bond_area, bond_force
from generator.outline.measure import area, length
from generator.outline.region import Region
from generator.part.bonds import bonds, may_be_thicker
from generator.part.metals import adhesive_of, far_corners
from generator.part.part import Part, Plan
from generator.part.plan import make_plan
from generator.part.relation import covers, meets
from generator.part.resize import larger
from generator.recipe.model import Recipe
from generator.shapes.shape import NoFiles

ID = "glue-area"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``small`` for the smallest piece of a bonded insert whose bond does not hold what a nail picks at."""
    for insert in plan.inserts:
        adhesive = adhesive_of(recipe, recipe.inlays[insert.name.removeprefix("insert-")])
        if adhesive is None or not insert.profile:
            continue
        share = recipe.limits.inserts.bond_share.value
        held = [(bond_force(a, adhesive.shear.value, share), a, p) for a, p in bonds(plan, insert)]
        weak = [h for h in held if h[0] < recipe.limits.inserts.holds.value - NOISE]
        if weak:
            force, size, piece = min(weak, key=lambda h: h[0])
            yield _finding(recipe, plan, insert, adhesive, (force, size, len(weak)), piece)


def _finding(
    recipe: Recipe, plan: Plan, insert: Part, adhesive: Adhesive, held: tuple[float, float, int], piece: Region
) -> Finding:
    """Return the finding of the piece that is held worst."""
    name = insert.name.removeprefix("insert-")
    force, size, count = held
    limit: Figure = recipe.limits.inserts.holds
    needed = bond_area(limit.value, adhesive.shear.value, recipe.limits.inserts.bond_share.value)
    others = f" ({count} such pieces)" if count > 1 else ""
    more = (needed - size) / length(piece)
    thick = recipe.inlays[name].stock.thickness + more
    ways = [f"set inlays.{name}.stock.thickness to at least {no_less(thick)}"]
    return Finding(
        check=ID,
        code="small",
        severity=Severity.WARNS,
        message=f"a piece of insert {name} is held by {size:.3g} mm² of bond{others}: about {force:.2g} N, and a nail "
        "picks it out",
        feature=insert.name,
        point_mm=far_corners(piece)[0].at,
        face="top",
        figure=force,
        limit=limit.value,
        unit=limit.unit,
        source=limit.told_source,
        remedy=", or ".join(
            (ways if may_be_thicker(recipe, plan, insert, more) else [])
            + [_larger(recipe, name, _times(area(piece), size - area(piece), needed), needed)]
            + ["join it to its neighbours"]
        ),
        path=f"inlays.{name}.outline",
    )


def _larger(recipe: Recipe, name: str, times: float, needed_mm2: float) -> str:
    """Return the edit that draws the insert so much larger, tried on a plan of it; else what it would need."""
    inlay = recipe.inlays[name]

    def does(outline: OutlineSpec) -> bool:
        other = replace(recipe, inlays={**recipe.inlays, name: replace(inlay, outline=outline)})
        try:
            plan = make_plan(other, files=NoFiles())
        except (GeometryError, RecipeError):
            return False
        (insert,) = (i for i in plan.inserts if i.name == f"insert-{name}")
        least = min((held for held, _ in bonds(plan, insert)), default=0.0)
        return least >= needed_mm2 - NOISE and _has_room(plan, name)

    found = larger(inlay.outline, f"inlays.{name}.outline", times, does)
    told = f"draw it at least {times:.2f} times as large: every piece needs {needed_mm2:.3g} mm² of bond"
    return found.edits if found else f"{told}, and room for that in the cover"


def _has_room(plan: Plan, name: str) -> bool:
    """Return True if a pocket lies in the cover and meets nothing else that is cut from its face or through it."""
    pocket = next(f for f in plan.cover.features if f.name == f"inlay-pocket-{name}")
    others = [f for f in plan.cover.features if f is not pocket and f.region and f.z_to_mm > pocket.z_from_mm]
    return covers(plan.cover.profile, pocket.region) and not any(meets(f.region, pocket.region) for f in others)


def _times(face: float, edge: float, needed: float) -> float:
    """Return how many times as large a piece must be drawn: its face grows with the square, its edge as it does."""
    return ceil(50.0 * (sqrt(edge * edge + 4.0 * face * needed) - edge) / face) / 100.0


CHECK = Check(
    ID,
    "bond that holds every piece",
    "A dot or a thin stroke that is let in by itself has little face to hold it; it is the first to be picked out or "
    "lost.",
    "mechanics; shear strengths of adhesives from memory and only a share of them is counted on",
    run,
    formula="(area of the piece + length of its edge x depth in the pocket) x strength of the adhesive x share of it",
    limits=("inserts.holds", "inserts.bond_share", *(f"inserts.{key}_shear" for key in KEY_OF.values())),
)
