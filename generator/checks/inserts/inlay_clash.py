"""Do the inlay pockets keep clear of bolts, seats, openings, dowels and each other?"""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.units import MODEL
from generator.checks.check import Check, no_less, no_more
from generator.outline.measure import bounds
from generator.outline.offset import offset_region
from generator.part.clearing import Room, outline_at, shift_clear, shrink_clear, told_place
from generator.part.nearness import Near, near_features, shared_mm2, widest
from generator.part.part import Feature, Plan
from generator.part.relation import covers
from generator.recipe.model import Recipe
from generator.recipe.model_inlay import ON_COVER, Artwork

ID = "inlay-clash"
CODES = (("bolt-holes", "meets-bolt"), ("seats", "meets-seat"), ("openings", "meets-opening"))


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``meets-bolt``, ``meets-seat``, ``meets-opening``, ``meets-dowel``, ``meets-inlay`` and ``thin-wall``."""
    features = plan.cover.features
    pockets = [f for f in features if f.is_top_recess]
    rivals = [f for f in features if f.layer != "bottom-pocket" and not _in_seat(f, features)]
    by_name = {f.name: f for f in features}
    for near in near_features(pockets, rivals, recipe.limits.walls.sound.value):
        others = [widest(f) for f in rivals if f.name != near.first.name]
        room = Room(plan.cover.profile, others, recipe.limits.walls.sound.value)
        remedy = _remedy(recipe, plan, near, by_name[near.second], room)
        yield _finding(recipe.limits.walls.sound, near, by_name[near.second], remedy)


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


def _remedy(recipe: Recipe, plan: Plan, near: Near, rival: Feature, room: Room) -> str:
    """Return the shortest move and the least shrinking that leave the wall to everything, as edits; each was tried."""
    pocket = near.first
    outline = outline_at(recipe, pocket.path)
    edits = []
    stays = any(art.origin == ON_COVER for art in _artwork(recipe, pocket))
    if not stays and (place := shift_clear(pocket.region, room, outline.at_mm, _away(near))):
        edits.append(f"set {pocket.path}.outline.at to {told_place(place)}")
    shrink = shrink_clear(pocket.region, room)
    if shrink is not None and _holds_artwork(plan, pocket, shrink):
        edits.append(f"set {pocket.path}.outline.grow to at most {no_more(outline.grow_mm - shrink)}")
    return ", or ".join(edits) or (
        f"no move of {pocket.name} by itself leaves {no_less(room.wall_mm)} to everything on the cover: move "
        f"{rival.name}, too, or draw {pocket.name} smaller"
    )


def _artwork(recipe: Recipe, pocket: Feature) -> tuple[Artwork, ...]:
    """Return the artwork of the insert in a pocket; none for an engraving."""
    inlay = recipe.inlays.get(pocket.layer.removeprefix("inlay-pocket-"))
    return () if inlay is None or pocket.layer.startswith("engraving") else tuple(inlay.artwork.values())


def _away(near: Near) -> tuple[float, float] | None:
    """Return the direction from the place of a finding to the middle of its feature; None where they are one."""
    middle = bounds(near.first.region).centre
    dx, dy = middle.x - near.at.x, middle.y - near.at.y
    far = hypot(dx, dy)
    return (dx / far, dy / far) if far > MODEL.same_mm else None


def _holds_artwork(plan: Plan, pocket: Feature, shrink_mm: float) -> bool:
    """Return True if the insert still holds its artwork when its pocket is so much smaller all round."""
    name = pocket.layer.removeprefix("inlay-pocket-")
    made = [(p.profile, f.region) for p in plan.inserts if p.name == f"insert-{name}" for f in p.features]
    return all(covers(offset_region(profile, -shrink_mm), art) for profile, art in made if profile)


def _finding(sound: Figure, near: Near, rival: Feature, remedy: str) -> Finding:
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
        remedy=remedy,
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
