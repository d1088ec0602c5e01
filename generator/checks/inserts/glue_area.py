"""Is there enough bond to hold every piece of an insert?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.adhesives import Adhesive
from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.checks.check import NOISE, Check, no_less
from generator.formulas.adhesive import bond_area, bond_force
from generator.outline.measure import area, length
from generator.outline.region import Region
from generator.outline.separate import separated
from generator.part.metals import adhesive_of, after_cuts, far_corners
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

ID = "glue-area"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``small`` for the smallest piece of a bonded insert whose bond does not hold what a nail picks at."""
    for insert in plan.inserts:
        adhesive = adhesive_of(recipe.inlays[insert.name.removeprefix("insert-")])
        if adhesive is None or not insert.profile:
            continue
        depth = plan.cover.thickness_mm - insert.seat_z_mm
        pieces = [(_bond(p, insert, depth), p) for p in separated(after_cuts(insert))]
        held = [(bond_force(a, adhesive.strength_mpa, recipe.limits.inserts.bond_share.value), a, p) for a, p in pieces]
        weak = [h for h in held if h[0] < recipe.limits.inserts.holds.value - NOISE]
        if weak:
            force, size, piece = min(weak, key=lambda h: h[0])
            yield _finding(recipe, insert, adhesive, (force, size, len(weak)), piece)


def _bond(piece: Region, insert: Part, depth: float) -> float:
    """Return the bonded area of a piece: its face and the part of its edge that is in the pocket, mm²."""
    return area(piece) + length(piece) * min(insert.thickness_mm, depth)


def _finding(
    recipe: Recipe, insert: Part, adhesive: Adhesive, held: tuple[float, float, int], piece: Region
) -> Finding:
    """Return the finding of the piece that is held worst."""
    name = insert.name.removeprefix("insert-")
    force, size, count = held
    limit: Figure = recipe.limits.inserts.holds
    needed = bond_area(limit.value, adhesive.strength_mpa, recipe.limits.inserts.bond_share.value)
    others = f" ({count} such pieces)" if count > 1 else ""
    thick = recipe.inlays[name].stock.thickness + (needed - size) / length(piece)
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
        remedy=f"set inlays.{name}.stock.thickness to at least {no_less(thick)}, or draw it larger or join it to its "
        "neighbours",
        path=f"inlays.{name}.outline",
    )


CHECK = Check(
    ID,
    "bond that holds every piece",
    "A dot or a thin stroke that is let in by itself has little face to hold it; it is the first to be picked out or "
    "lost.",
    "mechanics; shear strengths of adhesives from memory (epoxy 15 MPa, others 10), and only a share of them is "
    "counted on",
    run,
    formula="(area of the piece + length of its edge x depth in the pocket) x strength of the adhesive x share of it",
    limits=("inserts.holds", "inserts.bond_share"),
)
