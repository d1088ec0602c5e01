"""Can a bonded insert be peeled out by its edge?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.checks.check import NOISE, Check, no_more
from generator.part.heights import level
from generator.part.metals import far_corners, is_bonded
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "peel-edge"
PROUD, OWN_FACE = "proud", "own face"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``stands-out`` for bonded inserts that stand proud by so much that what catches them peels them off."""
    limit = recipe.limits.inserts.stands_out
    for insert in plan.inserts:
        name = insert.name.removeprefix("insert-")
        proud = level(insert.seat_z_mm + insert.thickness_mm - plan.cover.thickness_mm)
        most = limit.value * insert.thickness_mm + NOISE
        if not insert.profile or not is_bonded(recipe.inlays[name]) or proud <= most:
            continue
        yield Finding(
            check=ID,
            code="stands-out",
            severity=Severity.WARNS,
            message=f"insert {name} of {insert.thickness_mm:g} mm stands out of its pocket by {proud:.4g} mm: what "
            "catches its edge peels it off",
            feature=insert.name,
            point_mm=far_corners(insert.profile)[0].at,
            face="top",
            figure=proud / insert.thickness_mm,
            limit=limit.value,
            unit=limit.unit,
            source=limit.told_source,
            remedy=_remedy(recipe, name, limit.value * insert.thickness_mm),
            path=f"inlays.{name}",
        )


def _remedy(recipe: Recipe, name: str, most_mm: float) -> str:
    """Return the edit that lets the insert lie deeper: its own key, or what made the pocket shallower than asked."""
    if recipe.inlays[name].sits == PROUD:
        return f"set inlays.{name}.by to at most {no_more(most_mm)}"
    if recipe.cover.stock.measured is not None and recipe.cover.stock.depths_from != OWN_FACE:
        return f"set cover.stock.depths_from to `{OWN_FACE}`"
    return f"deepen the pocket of inlays.{name}, or cut the insert from a thinner sheet"


CHECK = Check(
    ID,
    "inserts that peel",
    "Bonds hold well against sliding and badly against peeling. The pocket's wall takes what pushes at an insert's "
    "edge; the more of the edge stands out above it, the more is left to the bond.",
    "common practice in bonding, no source",
    run,
    formula="height above the top face over the insert's thickness",
    limits=("inserts.stands_out",),
)
