"""Do the general tolerances say something, and do they leave the cover its fit?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.general_tolerances import CLASSES, SOURCE, linear_class, linear_tolerance, names_the_standard
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.part.part import Plan
from generator.part.relation import box_of
from generator.recipe.model import Recipe

ID = "general-tolerance"
PATH = "tolerances.general"
USUAL = "set tolerances.general to `ISO 2768-mK`"
HALF = 0.5
"""A pocket that is narrower by its tolerance is so by half on either side, if the original lies in its middle."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``none-given``, ``unknown-class``, ``other-standard``, ``eats-clearance`` and ``finer-than-machine``."""
    general = recipe.tolerances.general.strip()
    letter = linear_class(general)
    if letter:
        yield from _clearance(recipe, plan, letter)
        yield from _machine(recipe, plan, letter)
    elif not general:
        yield _finding("none-given", "no general tolerances: what a drawing does not tolerance may be anything", USUAL)
    elif names_the_standard(general):
        message = f"general tolerances {general}: ISO 2768-1 has the classes f, m, c and v"
        yield _finding("unknown-class", message, USUAL)
    else:
        message = f"general tolerances {general} are not known here: the fit was not held against them"
        yield _finding("other-standard", message, f"leave it, or {USUAL}", Severity.NOTES)


def _clearance(recipe: Recipe, plan: Plan, letter: str) -> Iterator[Finding]:
    """Yield ``eats-clearance`` if the class lets the bottom pocket come out too narrow for the original."""
    pocket = next((f for f in plan.cover.features if f.name == "bottom-pocket"), None)
    gap, share = recipe.clearance.around, recipe.limits.shop.general_share
    if pocket is None or not pocket.region or gap <= 0.0:
        return
    box = box_of(pocket.region)
    size = max(box.width_mm, box.height_mm)
    off = linear_tolerance(letter, size)
    if off is None or off * HALF <= share.value * gap + MODEL.same_mm:
        return
    finer = (c for c in reversed(CLASSES[: CLASSES.index(letter)]) if _fits(c, size, share.value * gap))
    other = next((f"set {PATH} to `ISO 2768-{c}K`, or " for c in finer), "")
    yield _finding(
        "eats-clearance",
        f"ISO 2768-{letter} lets the bottom pocket, {size:.1f} mm long, be off by ± {off:g} mm, {off * HALF:g} mm a "
        f"side; the clearance is {gap:g} mm: only the plan, which asks ± "
        f"{recipe.tolerances.size:g} mm of pockets, keeps the original from jamming",
        f"{other}set clearance.around to at least {no_less(off * HALF / share.value)}",
        figure=off * HALF,
        limit=share.value * gap,
        source=f"{SOURCE}; share of the clearance: {share.told_source}",
    )


def _fits(letter: str, size: float, gap: float) -> bool:
    off = linear_tolerance(letter, size)
    return off is not None and off * HALF <= gap


def _machine(recipe: Recipe, plan: Plan, letter: str) -> Iterator[Finding]:
    """Yield ``finer-than-machine`` if the class asks more of the smallest hole than the machine holds."""
    holes = [b.hole_mm for b in plan.bolts]
    off = linear_tolerance(letter, min(holes)) if holes else None
    holds = recipe.making.accuracy
    if off is not None and off < holds - MODEL.same_mm:
        coarser = next((c for c in CLASSES if (linear_tolerance(c, min(holes)) or 0.0) >= holds), "")
        yield _finding(
            "finer-than-machine",
            f"ISO 2768-{letter} asks ± {off:g} mm of holes of {min(holes):g} mm; the machine holds ± {holds:g} mm",
            (f"set {PATH} to `ISO 2768-{coarser}K`, or " if coarser else "")
            + f"set making.accuracy to at most {off:g} mm, if the machine holds that",
            figure=off,
            limit=holds,
            source=f"making.accuracy of the recipe; {SOURCE}",
        )


def _finding(
    code: str,
    message: str,
    remedy: str,
    severity: Severity = Severity.WARNS,
    *,
    figure: float | None = None,
    limit: float | None = None,
    source: str = SOURCE,
) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature="bottom-pocket" if code == "eats-clearance" else "cover",
        figure=figure,
        limit=limit,
        unit="" if figure is None else "mm",
        source=source,
        remedy=remedy,
        path=PATH,
    )


CHECK = Check(
    ID,
    "general tolerances",
    "What a drawing says nothing of is made to its general tolerances. A coarse class lets the bottom pocket come out "
    "too small for the original, and nobody is to blame.",
    f"{SOURCE}",
    run,
    formula="half of what the class allows at the pocket's length, against share x clearance.around",
    limits=("shop.general_share",),
)
