"""Says loudly what clamping a cover in a load-bearing joint means."""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.checks.check import Check
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "load-bearing"
SOURCE = "common practice, no source: soft plate under a bolt head settles and loses preload"
COSMETIC = "the cover is cosmetic: it never replaces, thins or bears for the original"
IN_THE_JOINT = (
    "clamp the cover in a joint that bears load; whether soft metal may go into it is for the equipment's maker or a "
    f"qualified engineer to decide, and {COSMETIC}"
)


def run(_recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``in-the-joint`` if bolts of a load-bearing original clamp the cover, ``cosmetic`` if it has none."""
    if not plan.load_bearing:
        return
    clamped = bool(plan.bolts)
    yield Finding(
        check=ID,
        code="in-the-joint" if clamped else "cosmetic",
        severity=Severity.WARNS if clamped else Severity.NOTES,
        message=f"THE ORIGINAL BEARS LOAD: {len(plan.bolts)} bolts {IN_THE_JOINT}"
        if clamped
        else f"THE ORIGINAL BEARS LOAD: {COSMETIC}",
        feature="bolt-holes" if clamped else "",
        point_mm=plan.bolts[0].at if clamped else None,
        face="top" if clamped else "",
        source=SOURCE,
        remedy=(
            "hold the cover by screws of its own, or give cover.seats.diameter and cover.seats.depth "
            f"{plan.cover.thickness_mm:g} mm so that the heads bear on the original; ask the maker or an engineer first"
            if clamped
            else "keep it so: hold the cover by screws or adhesive of its own"
        ),
        path="original.load_bearing",
    )


CHECK = Check(
    ID,
    "cover on a load-bearing original",
    "Soft metal in a bolted joint creeps and settles; the joint loses preload and may loosen or fail.",
    SOURCE,
    run,
)
