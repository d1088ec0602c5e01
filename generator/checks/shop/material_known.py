"""Is enough known of materials of one's own for the checks to speak?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.checks.check import Check
from generator.part.part import Plan
from generator.recipe.model import Recipe
from generator.recipe.model_material import OwnMaterial

ID = "material-known"
SILENT = {
    "stiffness": "floors that give",
    "strength": "stresses",
    "expansion": "heat and cold",
    "anodic_index": "metals that corrode each other",
}
"""What is not judged without each of the keys."""


def run(recipe: Recipe, _plan: Plan) -> Iterator[Finding]:
    """Yield ``unjudged`` for materials of one's own that leave checks without a figure to reckon with."""
    if isinstance(recipe.cover.material, OwnMaterial):
        yield from _unjudged("cover", recipe.cover.material, "cover.material", tuple(SILENT))
    for name, inlay in recipe.inlays.items():
        if isinstance(inlay.material, OwnMaterial):
            needed = (
                ("strength", "expansion", "anodic_index") if inlay.fit == "press" else ("expansion", "anodic_index")
            )
            yield from _unjudged(f"insert-{name}", inlay.material, f"inlays.{name}.material", needed)


def _unjudged(part: str, own: OwnMaterial, path: str, needed: tuple[str, ...]) -> Iterator[Finding]:
    """Yield the note on one material; nothing if it has all that is needed."""
    missing = [key for key in needed if getattr(own, key) is None]
    if missing:
        yield Finding(
            check=ID,
            code="unjudged",
            severity=Severity.NOTES,
            message=f"{own.name} of {part} has no {_listed(missing)}: nothing is said of "
            f"{_listed([SILENT[key] for key in missing])}",
            feature=part,
            source="common practice, no source",
            remedy=f"add {_listed(missing)} to {path} from the maker's data sheet, or leave it",
            path=path,
        )


def _listed(words: list[str]) -> str:
    return f"{', '.join(words[:-1])} and {words[-1]}" if len(words) > 1 else words[0]


CHECK = Check(
    ID,
    "materials known well enough",
    "A check that lacks a figure is silent, and silence reads like praise.",
    "common practice, no source",
    run,
)
