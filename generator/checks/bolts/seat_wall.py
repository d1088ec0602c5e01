"""Do the seats stay inside the cover, clear of its edge, the openings and each other?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less, no_more
from generator.outline.measure import bounds
from generator.part.nearness import Near, growth_to_cover, near_features, shared_mm2, thin_walls, widest
from generator.part.notches import notch_at
from generator.part.part import Feature, Plan
from generator.recipe.model import Recipe

ID = "seat-wall"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``breaks-out``, ``into-opening`` or ``into-seat``, and ``thin-wall`` for what is nearly so."""
    features = plan.cover.features
    by_name = {f.name: f for f in features}
    seats = [f for f in features if f.layer.startswith("seats")]
    uppermost = [f for f in seats if f.z_to_mm >= plan.cover.thickness_mm]
    limit = recipe.limits.walls.sound.value
    for near in thin_walls(plan.cover.profile, uppermost, limit):
        yield _to_edge(recipe, plan, near)
    for near in near_features(uppermost, [f for f in features if f.layer == "openings"], limit):
        yield _between(recipe, near, by_name[near.second], "into-opening", f"move or shrink {_opening_path(near)}")
    for near in near_features(uppermost, uppermost, limit):
        yield _between(
            recipe,
            near,
            by_name[near.second],
            "into-seat",
            f"move the positions in {_bolt_path(plan, near.first)} apart",
        )


def _to_edge(recipe: Recipe, plan: Plan, near: Near) -> Finding:
    """Return the finding of a seat at the cover's edge, which an opening may have notched."""
    seat, profile = near.first, plan.cover.profile
    notch = notch_at(plan, widest(seat), recipe.limits.walls.sound.value)
    left = -growth_to_cover(profile, widest(seat)) if near.meets else near.gap_mm
    needed = recipe.limits.walls.sound.value - left
    message = (
        f"breaks out of the cover's edge by {-left:.2f} mm"
        if near.meets
        else f"leaves a wall of only {near.gap_mm:.3f} mm"
    )
    return Finding(
        check=ID,
        code="breaks-out" if near.meets else "thin-wall",
        severity=Severity.FORBIDS if near.meets else Severity.WARNS,
        message=f"{seat.name} {message}",
        feature=seat.name,
        point_mm=near.at,
        face="top",
        figure=left,
        limit=0.0 if near.meets else recipe.limits.walls.sound.value,
        unit="mm",
        source=GEOMETRY if near.meets else recipe.limits.walls.sound.told_source,
        remedy=_edge_edit(recipe, near, needed, notch),
        path=seat.path,
    )


def _edge_edit(recipe: Recipe, near: Near, needed_mm: float, notch: Feature | None) -> str:
    """Return the edit that gives a seat its wall to the edge: of the notch where there is one, else of the outline."""
    diameter = f"{near.first.path}.diameter to at most {no_more(bounds(widest(near.first)).width_mm - 2.0 * needed_mm)}"
    if notch is not None:
        edit = f"move or shrink {notch.path}, which notches the edge there, by at least {no_less(needed_mm)}"
    else:
        edit = f"set cover.outer.grow to at least {no_less(recipe.cover.outer.grow_mm + needed_mm)}"
    return edit if near.meets else f"{edit}, or {'set ' if notch else ''}{diameter}"


def _between(recipe: Recipe, near: Near, other: Feature, code: str, edit: str) -> Finding:
    """Return the finding of a seat beside an opening or another seat."""
    shared = shared_mm2(widest(near.first), widest(other)) if near.meets else 0.0
    what = f"shares {shared:.2f} mm² with" if near.meets else f"leaves only {near.gap_mm:.3f} mm to"
    return Finding(
        check=ID,
        code=code if near.meets else "thin-wall",
        severity=Severity.FORBIDS if near.meets else Severity.WARNS,
        message=f"{near.first.name} {what} {near.second}",
        feature=near.first.name,
        point_mm=near.at,
        face="top",
        figure=shared if near.meets else near.gap_mm,
        limit=0.0 if near.meets else recipe.limits.walls.sound.value,
        unit="mm²" if near.meets else "mm",
        source=GEOMETRY if near.meets else recipe.limits.walls.sound.told_source,
        remedy=f"{edit} until {no_less(recipe.limits.walls.sound.value)} are left",
        path=near.first.path,
    )


def _opening_path(near: Near) -> str:
    """Return the recipe path of the opening that a seat is near to."""
    return f"original.openings.{near.second.removeprefix('opening-')}"


def _bolt_path(plan: Plan, seat: Feature) -> str:
    """Return the recipe path of the bolt in a seat."""
    return next((b.path for b in plan.bolts if seat.name in (f"seat-{b.name}", f"seat-{b.name}-bore")), seat.path)


CHECK = Check(
    ID,
    "walls round the seats",
    "A seat that breaks out of the edge, or into an opening, leaves the bolt head without support on that side.",
    GEOMETRY,
    run,
    limits=("walls.sound",),
)
