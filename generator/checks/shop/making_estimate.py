"""What does making take: stock, setups, tools, time, money?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.errors import GeometryError
from generator.base.finding import Finding, Severity
from generator.checks.check import Check
from generator.estimate.making import Estimate, estimate
from generator.estimate.operations import DRILLED, REAMED
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "making-estimate"
SOURCE = (
    "published charts for carbide end mills, named in the report; they disagree by factors; spreads: our own choice"
)


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``takes`` with what making takes, and ``long`` where cutting takes longer than the limit."""
    if not plan.cover.profile:
        return
    try:
        found = estimate(recipe, plan)
    except GeometryError:
        return  # told by the check that the part can be built
    yield Finding(
        check=ID,
        code="takes",
        severity=Severity.NOTES,
        message=_told(found),
        feature="blank",
        source=SOURCE,
        remedy="leave it; state your machine in making to have it nearer",
        path="making",
    )
    longest = recipe.limits.shop.longest_cutting
    if found.cutting.likely > longest.value:
        yield _long(found, longest.value, longest.told_source)


def _told(found: Estimate) -> str:
    piece = found.pieces[0]
    x, y, z = piece.size_mm
    work = "" if found.work_cost is None else f"; work {_span(*found.work_cost)} {found.currency}"
    stock = "" if found.material_cost is None else f"; material {found.material_cost:.2f} {found.currency}"
    return (
        f"an estimate: the cover weighs {piece.part_mass_g:.0f} g, from a blank of {x:g} x {y:g} x {z:g} mm; "
        f"{found.setups} setups, {_tools(found)}, {_span(found.whole.least, found.whole.most)} minutes{stock}{work}"
    )


def _tools(found: Estimate) -> str:
    """Return how many tools are used, and which of them the recipe's tools do not hold."""
    missing = ", ".join(f"{kind} {diameter:g} mm" for kind, diameter in found.missing)
    return f"{found.tools} tools" + (f" ({len(found.missing)} not at hand: {missing})" if missing else "")


def _span(least: float, most: float) -> str:
    low, high = f"{least:.0f}", f"{most:.0f}"
    return low if low == high else f"{low} to {high}"


def _long(found: Estimate, limit: float, source: str) -> Finding:
    """Return the finding of a job that cuts for long, with the operation that takes longest."""
    milled = [s for s in found.steps if s.operation.done not in (DRILLED, REAMED)] or list(found.steps)
    slowest = max(milled, key=lambda s: s.minutes.likely)
    op = slowest.operation
    return Finding(
        check=ID,
        code="long",
        severity=Severity.WARNS,
        message=f"the tools cut for some {found.cutting.likely:.0f} minutes; the longest is {op.what} of {op.part}, "
        f"{slowest.minutes.likely:.0f} minutes by a tool of {op.diameter_mm:g} mm",
        feature=op.what,
        figure=found.cutting.likely,
        limit=limit,
        unit="min",
        source=source,
        remedy=f"add an end mill larger than {op.diameter_mm:g} mm to tools, or give making.step_down more than "
        "the cutter takes now",
        path="tools",
    )


CHECK = Check(
    ID,
    "what making takes",
    "Time and stock are what a cover costs; a fine cutter that clears a large pocket takes hours where a larger one "
    "takes minutes.",
    SOURCE,
    run,
    formula="n = 1000 vc / (π D), feed = n z fz, time = way / feed; pockets: volume / (step down x step over x feed); "
    "a tenth to a half more for ways through the air; once by the fastest and once by the slowest figures of the "
    "charts, and their geometric mean; setups x making.setup + changes x making.tool_change, divided by and times "
    "making.spread",
    limits=("shop.longest_cutting",),
)
