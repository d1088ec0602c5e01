"""Do the inlay pockets keep clear of bolts, seats, openings, dowels and each other?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less
from generator.part.nearness import Near, near_features, shared_mm2, widest
from generator.part.part import Feature, Plan
from generator.recipe.model import Recipe

ID = "inlay-clash"
CODES = (("bolt-holes", "meets-bolt"), ("seats", "meets-seat"), ("openings", "meets-opening"))


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``meets-bolt``, ``meets-seat``, ``meets-opening``, ``meets-dowel``, ``meets-inlay`` and ``thin-wall``."""
    features = plan.cover.features
    pockets = [f for f in features if f.is_top_recess]
    rivals = [f for f in features if f.layer != "bottom-pocket" and not _in_seat(f, features)]
    by_name = {f.name: f for f in features}
    for near in near_features(pockets, rivals, recipe.limits.walls.sound.value):
        yield _finding(recipe.limits.walls.sound, near, by_name[near.second])


def _in_seat(feature: Feature, features: tuple[Feature, ...]) -> bool:
    """Return True for a hole whose seat is wider: the seat speaks for both. The same for a cone below its bore."""
    bolt = feature.name.removeprefix("hole-").removeprefix("seat-")
    wider = {"bolt-holes": f"seat-{bolt}", "seats": f"seat-{bolt}-bore"}.get(feature.layer)
    return any(f.name == wider for f in features)


def _code(rival: Feature) -> str:
    """Return the finding's code for what an inlay meets."""
    for layer, code in (*CODES, ("dowel-holes", "meets-dowel")):
        if rival.layer.startswith(layer):
            return code
    return "meets-inlay"


def _finding(sound: Figure, near: Near, rival: Feature) -> Finding:
    """Return the finding of an inlay pocket that meets something, or nearly so."""
    pocket = near.first
    shared = shared_mm2(widest(pocket), widest(rival)) if near.meets else 0.0
    what = "runs into" if near.meets else f"leaves a wall of only {near.gap_mm:.3f} mm to"
    return Finding(
        check=ID,
        code=_code(rival) if near.meets else "thin-wall",
        severity=Severity.FORBIDS if near.meets else Severity.WARNS,
        message=f"{pocket.name} {what} {rival.name}" + (f"; they share {shared:.2f} mm²" if shared else ""),
        feature=pocket.name,
        point_mm=near.at,
        face="top",
        figure=shared if near.meets else near.gap_mm,
        limit=0.0 if near.meets else sound.value,
        unit="mm²" if near.meets else "mm",
        source=GEOMETRY if near.meets else sound.told_source,
        remedy=f"move it with {pocket.path}.outline.at, or shrink it with {pocket.path}.outline.grow, "
        f"until {no_less(sound.value)} are left to {rival.name}",
        path=f"{pocket.path}.outline",
    )


CHECK = Check(
    ID,
    "inlays clear of everything else",
    "A bolt or opening that crosses an inlay cuts the insert; a thin wall between two pockets lifts off in milling.",
    GEOMETRY,
    run,
    limits=("walls.sound",),
)
