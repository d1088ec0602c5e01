"""Edits that leave a sound wall beside the bottom pocket, each tried on a plan: move, less clearance, shallower."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from math import hypot
from typing import Final

from generator.base.errors import GeometryError, RecipeError
from generator.base.remedy import no_more
from generator.base.units import MODEL
from generator.fit.case import case_of
from generator.fit.chance import chance_of
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outline.transform import moved
from generator.part.clearing import Room, outline_at, shift_clear, told_place
from generator.part.nearness import widest
from generator.part.part import Bolt, Feature, Plan
from generator.part.plan import make_plan
from generator.part.pocket_walls import PocketWall, cut_key, pocket_walls
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import COVER_ONLY, Seat
from generator.recipe.model_inlay import ON_COVER
from generator.shapes.shape import NoFiles

__all__ = ["edits_of"]

LEAST_MM: Final = 0.1
"""Nothing shallower, and no smaller clearance, is offered (our own choice)."""
STEP: Final = 100.0


def edits_of(recipe: Recipe, plan: Plan, wall: PocketWall) -> list[str]:
    """Return the edits that leave a sound wall, tried; none for a recipe whose outlines come from files."""
    return [*_moves(recipe, plan, wall), *_less_clearance(recipe, plan, wall), *_shallower(recipe, plan, wall)]


def _mends(recipe: Recipe, wall: PocketWall) -> bool:
    """Return True if a recipe has no thin wall at this cut, nor one that breaks in elsewhere."""
    try:
        plan = make_plan(recipe, files=NoFiles())
    except (GeometryError, RecipeError):
        return False
    own = frozenset(f"original.bolts[{i}]" for i, g in enumerate(recipe.original.bolts) if g.holds == COVER_ONLY)
    key = cut_key(wall.cut, plan.bolts)
    left = pocket_walls(plan, own, recipe.limits.walls.sound.value)
    return all(cut_key(w.cut, plan.bolts) != key for w in left)


# ------------------------------------------------------------------ farther away
def _moves(recipe: Recipe, plan: Plan, wall: PocketWall) -> Iterator[str]:
    """Yield the edit that puts the cut where it has a sound wall to everything."""
    path, key = wall.cut.path, cut_key(wall.cut, plan.bolts)
    bolt = next((b for b in plan.bolts if b.name == key), None)
    if bolt is not None:
        yield from _moved_bolt(recipe, plan, wall, bolt)
    elif path.startswith("original.openings."):
        name = path.removeprefix("original.openings.")
        opening = recipe.original.openings[name]

        def with_place(at: tuple[float, float]) -> Recipe:
            there = replace(opening, outline=replace(opening.outline, at_mm=at))
            openings = {**recipe.original.openings, name: there}
            return replace(recipe, original=replace(recipe.original, openings=openings))

        inside = wall.cut not in plan.notches
        place = _place(recipe, plan, wall, opening.outline.at_mm, inside=inside)
        if place is not None and _mends(with_place(place), wall):
            yield f"set {path}.outline.at to {told_place(place)}"
    elif wall.cut.is_top_recess and not _fixed(recipe, path):
        place = _place(recipe, plan, wall, outline_at(recipe, path).at_mm, inside=True)
        if place is not None:
            yield f"set {path}.outline.at to {told_place(place)}"


def _fixed(recipe: Recipe, path: str) -> bool:
    """Return True for an inlay with artwork that stays where it is on the cover."""
    inlay = recipe.inlays.get(path.removeprefix("inlays."))
    return inlay is not None and any(a.origin == ON_COVER for a in inlay.artwork.values())


def _place(
    recipe: Recipe, plan: Plan, wall: PocketWall, at: tuple[float, float], *, inside: bool
) -> tuple[float, float] | None:
    """Return the nearest place of a cut with a sound wall to everything; None if none is found."""
    others = [widest(f) for f in (*plan.cover.features, *plan.notches) if f.name != wall.cut.name and f.region]
    room = Room(plan.cover.profile if inside else None, others, recipe.limits.walls.sound.value)
    return shift_clear(widest(wall.cut), room, at, _away(wall, widest(wall.cut)))


def _away(wall: PocketWall, region: Region) -> tuple[float, float] | None:
    """Return the direction from the wall to the cut's middle; None where they are one."""
    middle = bounds(region).centre
    dx, dy = middle.x - wall.at.x, middle.y - wall.at.y
    far = hypot(dx, dy)
    return (dx / far, dy / far) if far > MODEL.same_mm else None


def _moved_bolt(recipe: Recipe, plan: Plan, wall: PocketWall, bolt: Bolt) -> Iterator[str]:
    """Yield the edit that moves one of the cover's own screws; the original's bolts stay where they are."""
    number = int(bolt.path[len("original.bolts[") : -1])
    group = recipe.original.bolts[number]
    mine = [b for b in plan.bolts if b.path == bolt.path]
    if group.holds != COVER_ONLY or len(group.at) != len(mine):
        return
    own = {f.name for f in plan.cover.features if cut_key(f, plan.bolts) == bolt.name}
    pocket = next(f for f in plan.cover.features if f.layer == "bottom-pocket")
    others = [widest(f) for f in plan.cover.features if f.name not in own and f is not pocket and f.region]
    sound = recipe.limits.walls.sound.value
    every = Room(plan.cover.profile, [*others, pocket.region], sound)
    rest = Room(plan.cover.profile, others, sound)
    mine_at, seat = mine.index(bolt), _widest_of(plan, own)
    for region in (wall.cut.region, seat):
        place = shift_clear(region, every, bolt.at, _away(wall, region))
        if place is None or not rest.holds(moved(seat, place[0] - bolt.at.x, place[1] - bolt.at.y)):
            continue
        places = tuple(place if k == mine_at else at for k, at in enumerate(group.at))
        groups = tuple(replace(g, at=places) if i == number else g for i, g in enumerate(recipe.original.bolts))
        if _mends(replace(recipe, original=replace(recipe.original, bolts=groups)), wall):
            yield f"set {bolt.path}.at to `[{', '.join(told_place(p) for p in places)}]`"
            return


def _widest_of(plan: Plan, names: set[str]) -> Region:
    """Return the widest region of a bolt's hole and seat."""
    return max((widest(f) for f in plan.cover.features if f.name in names), key=lambda r: bounds(r).width_mm)


# ------------------------------------------------------------------ a smaller pocket
def _less_clearance(recipe: Recipe, plan: Plan, wall: PocketWall) -> Iterator[str]:
    """Yield the smaller clearance that is enough, where the cover still goes over the original as likely as it must."""
    needed = recipe.limits.walls.sound.value - wall.wall_mm
    around = recipe.clearance.around - needed
    if around < LEAST_MM:
        return
    less = replace(recipe, clearance=replace(recipe.clearance, around=_down(around)))
    case = replace(case_of(recipe, plan), clearance_mm=_down(around))
    likely = chance_of(case, recipe.tolerances.samples).share >= recipe.limits.fit.chance.value
    if likely and _mends(less, wall):
        yield f"set clearance.around to at most {no_more(around)}"


def _down(value_mm: float) -> float:
    return int(value_mm * STEP + 1e-6) / STEP


# ------------------------------------------------------------------ shallower
def _shallower(recipe: Recipe, plan: Plan, wall: PocketWall) -> Iterator[str]:
    """Yield the depth of a seat or an engraving that keeps it a sound wall above the pocket."""
    pocket = next(f for f in plan.cover.features if f.layer == "bottom-pocket")
    depth = _down(plan.cover.thickness_mm - pocket.z_to_mm - recipe.limits.walls.sound.value)
    if depth < LEAST_MM:
        return
    changed = _with_depth(recipe, wall.cut, depth)
    if changed is not None and _mends(changed, wall):
        yield f"set {wall.cut.path}.depth to at most {no_more(depth)}"


def _with_depth(recipe: Recipe, cut: Feature, depth_mm: float) -> Recipe | None:
    """Return the recipe with another depth of a seat or an engraving; None for any other cut."""
    with_depth: Callable[[Seat], Seat] = lambda seat: replace(seat, depth=depth_mm)  # noqa: E731
    if cut.path == "cover.seats" and isinstance(recipe.cover.seats, Seat):
        return replace(recipe, cover=replace(recipe.cover, seats=with_depth(recipe.cover.seats)))
    if cut.path.startswith("cover.engravings."):
        name = cut.path.removeprefix("cover.engravings.")
        engravings = {**recipe.cover.engravings, name: replace(recipe.cover.engravings[name], depth=depth_mm)}
        return replace(recipe, cover=replace(recipe.cover, engravings=engravings))
    if cut.path.endswith(".seat"):
        number = int(cut.path[len("original.bolts[") : -len("].seat")])
        group = recipe.original.bolts[number]
        if isinstance(group.seat, Seat):
            groups = list(recipe.original.bolts)
            groups[number] = replace(group, seat=with_depth(group.seat))
            return replace(recipe, original=replace(recipe.original, bolts=tuple(groups)))
    return None
