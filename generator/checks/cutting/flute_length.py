"""Are the cutters' flutes as long as what they cut is deep?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less, no_more
from generator.estimate.cutters import Deep, deep_cuts
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "flute-length"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``too-short`` for what is deeper than the flutes of every end mill that goes into it."""
    for deep in deep_cuts(recipe, plan):
        if not deep.reaching:
            yield _finding(deep)


def _finding(deep: Deep) -> Finding:
    """Return the finding of one cut, with the end mill whose flutes come nearest."""
    name, tool = max(deep.mills, key=lambda x: x[1].flute_length or 0.0)
    flutes = tool.flute_length or 0.0
    other = "" if deep.fits_mm > 100.0 else f" of at most {no_more(deep.fits_mm)}"
    return Finding(
        check=ID,
        code="too-short",
        severity=Severity.WARNS,
        message=f"{deep.feature} is cut {deep.depth_mm:.4g} mm deep; of the end mills that get into it `{name}` has "
        f"the longest flutes, {flutes:g} mm: above them its shank rubs on the wall",
        feature=deep.feature,
        point_mm=deep.at,
        face=deep.face.value,
        figure=deep.depth_mm,
        limit=flutes,
        unit="mm",
        source=f"{GEOMETRY}; flutes as stated in tools.{name}",
        remedy=f"set tools.{name}.flute_length to at least {no_less(deep.depth_mm)}; that is a longer cutter, or "
        f"another{other}, or one whose shank is ground back above the flutes",
        path=f"tools.{name}.flute_length",
    )


CHECK = Check(
    ID,
    "flutes as long as the cut is deep",
    "Only the flutes cut. Below a wall higher than they are, the shank rubs, heats and breaks the cutter.",
    GEOMETRY,
    run,
    formula="depth, less what a pocket from the other face has taken away before, against tools.*.flute_length",
)
