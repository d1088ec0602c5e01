"""Can the drawing be told from an older one?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import CUSTOM
from generator.checks.check import Check
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "title-block"


def run(recipe: Recipe, _plan: Plan) -> Iterator[Finding]:
    """Yield ``no-revision`` for a recipe whose files cannot be told from older ones."""
    if not recipe.revision.strip():
        yield Finding(
            check=ID,
            code="no-revision",
            severity=Severity.WARNS,
            message="no revision: nobody can tell these files from those of the last time",
            feature="cover",
            source=CUSTOM,
            remedy="leave revision out, then it is A, or set revision to `B`",
            path="revision",
        )


CHECK = Check(
    ID,
    "title block",
    "Files outlive their folders; what goes to a shop must say which version it is.",
    CUSTOM,
    run,
)
