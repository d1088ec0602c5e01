"""Do the openings lie in the cover, and does it stay in one piece round them?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less
from generator.outline.measure import bounds
from generator.part.nearness import Near, near_features, shared_mm2, thin_walls, widest
from generator.part.part import Feature, Plan
from generator.part.relation import meets
from generator.recipe.model import Recipe

ID = "opening-in-outer"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``outside``, ``thin-web`` to edge or neighbour, ``takes-bolt`` and ``runs-out``."""
    cover, sound = plan.cover, recipe.limits.walls.sound
    by_name = {f.name: f for f in cover.features}
    openings = [f for f in cover.features if f.layer == "openings"]
    inside = [f for f in openings if meets(cover.profile, f.region)]
    for f in openings:
        if f not in inside:
            yield _outside(f)
    yield from _notches(recipe, openings)
    for near in thin_walls(cover.profile, inside, sound.value):
        yield _thin(sound, near, "the cover's edge")
    for near in near_features(inside, inside, sound.value):
        if not near.meets:
            yield _thin(sound, near, near.second)
    for near in near_features(inside, [f for f in cover.features if f.layer == "bolt-holes"], sound.value):
        yield _bolt(near, by_name[near.second]) if near.meets else _thin(sound, near, near.second)


def _outside(opening: Feature) -> Finding:
    """Return the finding of an opening that the cover does not reach."""
    return Finding(
        check=ID,
        code="outside",
        severity=Severity.WARNS,
        message=f"{opening.name} lies outside the cover: nothing is cut for it",
        feature=opening.name,
        point_mm=bounds(opening.region).centre,
        face="top",
        source=GEOMETRY,
        remedy=f"leave {opening.path} out, or correct its place with {opening.path}.outline.at",
        path=opening.path,
    )


def _notches(recipe: Recipe, openings: list[Feature]) -> Iterator[Finding]:
    """Yield a note for every opening that runs out over the edge and so became part of the outline."""
    names = {f.name for f in openings}
    for name in recipe.original.openings:
        if f"opening-{name}" not in names:
            yield Finding(
                check=ID,
                code="runs-out",
                severity=Severity.NOTES,
                message=f"opening {name} runs out over the cover's edge: it is cut as a notch of the outline",
                feature="outer-profile",
                face="top",
                source=GEOMETRY,
                remedy=f"leave it so if meant, else move original.openings.{name} inwards",
                path=f"original.openings.{name}",
            )


def _thin(sound: Figure, near: Near, other: str) -> Finding:
    """Return the finding of little metal beside an opening."""
    need = sound.value - near.gap_mm
    return Finding(
        check=ID,
        code="thin-web",
        severity=Severity.WARNS,
        message=f"{near.first.name} leaves only {near.gap_mm:.3f} mm to {other}",
        feature=near.first.name,
        point_mm=near.at,
        face="top",
        figure=near.gap_mm,
        limit=sound.value,
        unit="mm",
        source=sound.told_source,
        remedy=f"move {near.first.path} away by {no_less(need)}, or lower {near.first.path}.clearance by as much",
        path=near.first.path,
    )


def _bolt(near: Near, hole: Feature) -> Finding:
    """Return the finding of a bolt in an opening."""
    return Finding(
        check=ID,
        code="takes-bolt",
        severity=Severity.WARNS,
        message=f"{near.second} lies in {near.first.name}: that bolt holds nothing of the cover there",
        feature=near.first.name,
        point_mm=near.at,
        face="top",
        figure=shared_mm2(widest(near.first), widest(hole)),
        limit=0.0,
        unit="mm²",
        source=GEOMETRY,
        remedy=f"shrink {near.first.path} by {no_less(bounds(widest(near.first)).width_mm / 2.0)} on that side, "
        "or leave the bolt out",
        path=near.first.path,
    )


CHECK = Check(
    ID,
    "openings in the cover",
    "An opening must stay open in the cover, too; narrow webs beside it break in milling or later.",
    GEOMETRY,
    run,
    limits=("walls.sound",),
)
