"""Are depths given so that they can be told from each other, and from nothing?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from generator.base.finding import Finding, Severity
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.outline.measure import bounds
from generator.part.heights import level
from generator.part.part import Feature, Part, Plan
from generator.recipe.model import Recipe

ID = "depths-named"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``nearly-equal`` for depths of one part that differ by less than depths may be off.

    And ``may-vanish`` for cuts that are shallower than that.
    """
    apart = recipe.limits.shop.depths_apart
    least = apart.value * recipe.tolerances.depth
    source = f"tolerances.depth of the recipe; share of it: {apart.told_source}"
    for part in plan.parts:
        cut = sorted(((_depth(part, f), f) for f in part.features if _has_floor(part, f)), key=lambda x: x[0])
        shallow = {f.path: (depth, f) for depth, f in reversed(cut) if depth < least - MODEL.same_mm}
        yield from (_vanishes(f, depth, least, source) for depth, f in shallow.values())
        for (d, one), (e, other) in pairwise(cut):
            if MODEL.same_mm < e - d < least - MODEL.same_mm:
                yield _alike((d, one), (e, other), least, source)


def _has_floor(part: Part, feature: Feature) -> bool:
    """Return True for what is cut from the top face down to a floor of its own."""
    return (
        bool(feature.region) and feature.z_from_mm > 0.0 and feature.z_to_mm >= part.thickness_mm and not _cone(feature)
    )


def _cone(feature: Feature) -> bool:
    return feature.flare_mm > 0.0


def _depth(part: Part, feature: Feature) -> float:
    return level(part.thickness_mm - feature.z_from_mm)


def _vanishes(feature: Feature, depth: float, least: float, source: str) -> Finding:
    """Return the finding of a cut so shallow that it may not be there."""
    key = f"{feature.path}.depth" if feature.layer.startswith(("engraving", "seats")) else feature.path
    more = (
        f"set {key} to at least {no_less(least)}" if key != feature.path else f"make it at least {no_less(least)} deep"
    )
    return Finding(
        check=ID,
        code="may-vanish",
        severity=Severity.WARNS,
        message=f"{feature.name} is only {depth:.3g} mm deep, and depths may be off by ± {least:g} mm: some of it may "
        "come out as nothing",
        feature=feature.name,
        point_mm=bounds(feature.region).centre,
        face="top",
        figure=depth,
        limit=least,
        unit="mm",
        source=source,
        remedy=more,
        path=feature.path,
    )


def _alike(one: tuple[float, Feature], other: tuple[float, Feature], least: float, source: str) -> Finding:
    """Return the note on two depths that nobody can tell apart."""
    (d, a), (e, b) = one, other
    return Finding(
        check=ID,
        code="nearly-equal",
        severity=Severity.NOTES,
        message=f"{a.name} is {d:.4g} mm deep and {b.name} {e:.4g} mm: depths may be off by ± {least:g} mm, so nobody "
        "can tell the two apart, and one setting of the tool would do",
        feature=b.name,
        point_mm=bounds(b.region).centre,
        face="top",
        figure=e - d,
        limit=least,
        unit="mm",
        source=source,
        remedy=f"give both the same depth, {d:.4g} or {e:.4g} mm, or leave it",
        path=b.path,
    )


CHECK = Check(
    ID,
    "depths that can be told apart",
    "Every depth is a setting that somebody makes and measures. Two that differ by less than can be held are one depth "
    "written twice, and one that is less than can be held may be none at all.",
    "common practice, no source",
    run,
    limits=("shop.depths_apart",),
)
