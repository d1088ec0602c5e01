"""How far do the cutters bend as they cut?"""

from __future__ import annotations

from collections.abc import Iterator
from math import floor

from generator.base.finding import Finding, Severity
from generator.base.practice import OWN
from generator.checks.check import Check, no_more
from generator.estimate.bending import Bent, bent_of
from generator.estimate.cutters import deep_cuts
from generator.formulas.cutting import CARBIDE_MPA, overhang_for
from generator.part.part import Plan
from generator.recipe.model import Recipe

ID = "cutter-deflection"
LEAST_DOWN = 0.02
"""Passes of less than this many diameters are no remedy (our own choice)."""
THOUSANDTHS = 1000.0


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``bends`` for every end mill in use that its own cutting force bends by more than sizes may be off."""
    allowed = recipe.limits.cutting.deflection.value * recipe.tolerances.size
    worst: dict[str, Bent] = {}
    deepest: dict[str, float] = {}
    for deep in deep_cuts(recipe, plan):
        bent, (name, _) = bent_of(recipe, plan, deep), deep.used
        deepest[name] = max(deepest.get(name, 0.0), deep.below_mm)
        if bent is not None and (name not in worst or bent.by_mm > worst[name].by_mm):
            worst[name] = bent
    for name, bent in worst.items():
        if allowed > 0.0 and bent.by_mm > allowed:
            yield _finding(recipe, name, bent, allowed, deepest[name])


def _finding(recipe: Recipe, name: str, bent: Bent, allowed_mm: float, deepest_mm: float) -> Finding:
    tool, stated = recipe.tools[name], recipe.tools[name].stick_out is not None
    return Finding(
        check=ID,
        code="bends",
        severity=Severity.WARNS,
        message=f"`{name}`, {tool.diameter:g} mm, {'stands' if stated else 'taken to stand'} {bent.out_mm:g} mm out of "
        f"its holder, bends by some {bent.by_mm:.3f} mm under some {bent.force_n:.0f} N as it cuts {bent.deep.feature} "
        "in full passes: walls lean by as much unless a light pass finishes them",
        feature=bent.deep.feature,
        point_mm=bent.deep.at,
        face=bent.deep.face.value,
        figure=bent.by_mm,
        limit=allowed_mm,
        unit="mm",
        source=f"tolerances.size of the recipe; share of it: {recipe.limits.cutting.deflection.told_source}",
        remedy=_remedy(recipe, name, bent, allowed_mm, deepest_mm),
        path=f"tools.{name}",
    )


def _remedy(recipe: Recipe, name: str, bent: Bent, allowed_mm: float, deepest_mm: float) -> str:
    """Return the edits that make it bend no more than is allowed: lighter passes, or a shorter grip.

    It has to stand out as far as the deepest of its cuts goes down.
    """
    tool = recipe.tools[name]
    full = min(recipe.making.step_down, bent.deep.depth_mm / tool.diameter)
    down = floor(full * allowed_mm / bent.by_mm * THOUSANDTHS) / THOUSANDTHS
    out = overhang_for(allowed_mm, bent.force_n, tool.diameter, CARBIDE_MPA)
    edits = []
    if out >= deepest_mm:
        edits.append(f"set tools.{name}.stick_out to at most {no_more(out)}")
    if down >= LEAST_DOWN:
        edits.append(f"set making.step_down to at most {down:g}")
    return ", or ".join(edits) or f"add an end mill thicker than {tool.diameter:g} mm to tools"


CHECK = Check(
    ID,
    "cutters that bend",
    "A cutter springs away from what it cuts. Walls lean, pockets come out too narrow, and what has to go in does not.",
    "cantilever of 0.8 of the cutter's diameter (Mitsubishi Materials, rigidity of end mills: 0.7 to 0.8, read); "
    f"specific cutting force by VDI 3323 groups (ISCAR 2017, read); without stick_out: flutes and one diameter, {OWN}",
    run,
    formula="y = F l³ / (3 E I), I = π (0.8 D)⁴ / 64, E = 580 GPa (solid carbide); F = kc x depth of a pass x feed a "
    "tooth (the fastest chart's), one tooth cutting; against tolerances.size",
    limits=("cutting.deflection",),
)
