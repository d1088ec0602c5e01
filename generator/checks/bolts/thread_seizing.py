"""Will stainless bolts seize in their threads?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.checks.check import Check
from generator.estimate.joint import groups, told
from generator.part.part import Plan
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import LUBRICATED

ID = "thread-seizing"
SOURCE = "common practice, from memory: austenitic stainless steel galls under pressure"
STAINLESS = "ISO 3506-1"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``unlubricated`` for every group of stainless bolts whose threads are not lubricated."""
    for group in groups(recipe, plan):
        joint = group[0]
        if joint.strength.standard != STAINLESS or joint.group.threads == LUBRICATED:
            continue
        yield Finding(
            check=ID,
            code="unlubricated",
            severity=Severity.NOTES,
            message=f"{told(group)} of {joint.strength.name} may seize in their threads and break when taken out",
            feature=f"hole-{joint.bolt.name}",
            point_mm=joint.bolt.at,
            face="top",
            source=SOURCE,
            remedy=f"set {joint.path}.threads to lubricated",
            path=joint.path,
        )


CHECK = Check(
    ID,
    "stainless bolts that seize",
    "Stainless steel welds itself cold to its nut or thread, most of all to stainless steel: the bolt cannot be taken "
    "out again without breaking. Grease or paste for threads prevents it, and lowers the torque.",
    SOURCE,
    run,
)
