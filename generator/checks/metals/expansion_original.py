"""Does the cover still go over the original and its bolts in heat and cold?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import dist

from generator.base.finding import Finding, Severity
from generator.base.materials import Material
from generator.base.plain_metals import PlainMetal, plain_metal
from generator.base.practice import GEOMETRY
from generator.base.standards import clearance_hole
from generator.checks.check import NOISE, Check, no_less
from generator.formulas.expansion import mismatch
from generator.part.metals import MADE_AT_C, far_corners, warmth
from generator.part.part import Bolt, Plan
from generator.recipe.model import Recipe

ID = "expansion-original"
COARSE = "coarse"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``clearance-closes`` where the pocket shrinks onto the original, ``bolts-bind`` where holes leave bolts."""
    original = plain_metal(recipe.original.material)
    if original is None or plan.cover.material.cte_per_k is None:
        return
    yield from _round_it(recipe, plan, original)
    yield from _at_bolts(recipe, plan, original)


def _round_it(recipe: Recipe, plan: Plan, original: PlainMetal) -> Iterator[Finding]:
    """Yield the finding of a pocket that closes on the original."""
    far = far_corners(plan.footprint)[0]
    by = max(warmth(recipe), key=lambda k: _outgrows(original, plan.cover.material, far.corner_mm, k))
    taken = _outgrows(original, plan.cover.material, far.corner_mm, by)
    left = recipe.clearance.around - taken
    if left >= -NOISE:
        return
    yield Finding(
        check=ID,
        code="clearance-closes",
        severity=Severity.WARNS,
        message=f"at {MADE_AT_C + by:g} °C the original outgrows its pocket by {taken:.3f} mm at its far corner: the "
        f"clearance of {recipe.clearance.around:g} mm closes",
        feature="bottom-pocket",
        point_mm=far.at,
        face="bottom",
        figure=left,
        limit=0.0,
        unit="mm",
        source=GEOMETRY,
        remedy=f"set clearance.around to at least {no_less(taken)}",
        path="clearance.around",
    )


def _at_bolts(recipe: Recipe, plan: Plan, original: PlainMetal) -> Iterator[Finding]:
    """Yield the finding of the two bolts that lie farthest apart, if their holes move off them."""
    pairs = [p for p in combinations(plan.bolts, 2) if p[0].thread and p[1].thread]
    if not pairs:
        return
    first, second = max(pairs, key=lambda p: dist(p[0].at, p[1].at))
    span, by = dist(first.at, second.at), max(warmth(recipe), key=abs)
    moved = 0.5 * abs(_outgrows(original, plan.cover.material, span, by))
    play = min(_play(first), _play(second)) + recipe.tolerances.bolt_play
    if moved <= play + NOISE:
        return
    yield Finding(
        check=ID,
        code="bolts-bind",
        severity=Severity.WARNS,
        message=f"at {MADE_AT_C + by:g} °C the holes of {first.name} and {second.name}, {span:.4g} mm apart, move "
        f"{moved:.3f} mm off their bolts each: more than the {play:.3f} mm that these have",
        feature=f"hole-{first.name}",
        point_mm=first.at,
        face="top",
        figure=moved,
        limit=play,
        unit="mm",
        source=GEOMETRY,
        remedy=_more_play(first, moved - recipe.tolerances.bolt_play)
        + "choose a metal for the cover that grows like the original, or make one hole a slot of "
        f"{no_less(2.0 * (moved - play))} more",
        path=f"{first.path}.fit",
    )


def _more_play(bolt: Bolt, needed: float) -> str:
    """Return the edit to larger holes, if these do."""
    coarse = 0.5 * (clearance_hole(bolt.thread, COARSE) - _diameter(bolt))
    return f"set {bolt.path}.fit to {COARSE}, or " if coarse >= needed else ""


def _outgrows(original: PlainMetal, cover: Material, reach_mm: float, by_k: float) -> float:
    """Return by how much the original outgrows the cover over a length, mm."""
    assert cover.cte_per_k is not None
    return mismatch(original.cte_per_k, cover.cte_per_k, reach_mm, by_k)


def _play(bolt: Bolt) -> float:
    """Return how far a bolt can move in its hole from the middle, mm."""
    return 0.5 * (bolt.hole_mm - _diameter(bolt))


def _diameter(bolt: Bolt) -> float:
    return float(bolt.thread.removeprefix("M"))


CHECK = Check(
    ID,
    "cover and original in heat and cold",
    "A cover of one metal over an original of another grows more or less than it does: its pocket closes on the "
    "original, and its holes move off the bolts, most where these lie far apart.",
    "(α1 - α2) L ΔT, any text of physics",
    run,
    formula="(difference of α) x length x (temperature - 20 °C): the far corner's distance from the middle against the "
    "clearance; half the distance of the outermost bolts against half of hole less bolt",
)
