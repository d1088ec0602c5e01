"""Which key of the recipe makes corners rounder: every edit is drawn and measured before it is told."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import islice

from generator.base.errors import GeometryError
from generator.base.fields import Kind, OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.base.remedy import no_less
from generator.base.units import MODEL
from generator.outline.contour import Point
from generator.outline.distance import point_distance
from generator.outline.reach import largest_cutter
from generator.outline.region import EMPTY, Region
from generator.outline.rounding import rounded
from generator.outline.separate import separated
from generator.part.drawn import opening_region
from generator.part.notches import notched
from generator.part.part import Feature, Plan
from generator.part.redraw import place_of
from generator.part.relation import covers
from generator.part.seats import rims_of
from generator.recipe.keys import AT_MOST_ONE, keys_of
from generator.recipe.model import Recipe
from generator.shapes.draw import draw_outline
from generator.shapes.shape import Context

__all__ = ["rounded_by", "takes_cutter"]

MOST_TRIES = 6
"""Edits that are drawn for one finding (chosen: some hundredths of a second)."""
OUTER = "cover.outer"
OF_CORNERS = ("rectangle", "polygon", "regular_polygon", "sector")
"""Kinds whose ``radius`` is that of their corners, not of the whole."""

Does = Callable[[Region], bool]
Draws = Callable[[OutlineSpec], Region | None]


@frozen_record
class _Edited:
    """An outline, its recipe path, and how the region in question is drawn with another one in its place."""

    outline: OutlineSpec
    key: str
    draws: Draws


def takes_cutter(region: Region, radius_mm: float, *, outside: bool) -> bool:
    """Return True if a cutter of a radius leaves nothing, in a region or round each of its pieces."""
    try:
        pieces = separated(region) if outside else (region,)
        least = min(largest_cutter(p, outside=outside).radius_mm for p in pieces)
    except GeometryError:
        return False
    return least >= radius_mm - MODEL.model_mm


def rounded_by(recipe: Recipe, plan: Plan, key: str, radius_mm: float, does: Does, at: Point | None = None) -> str:
    """Return the edit that gives corners a radius (``set K.round_corners to at least 4 mm``); empty if none does.

    Args:
        recipe: the recipe at hand.
        plan: its plan.
        key: recipe path of the outline to be rounder: of the cover, an opening, an inlay, artwork, an engraving.
        radius_mm: wanted.
        does: whether a region would do: for the cover its outline with what notches it.
        at: the corner in question; openings that end there are tried first.
    """
    told = no_less(radius_mm)
    radius = float(told.partition(" ")[0])
    tries = (t for edited in _edited(recipe, plan, key, at) for t in _tries(edited, radius))
    for edit, edited, outline in islice(tries, MOST_TRIES):
        region = edited.draws(outline)
        if region and does(region):
            return f"set {edit} to at least {told}"
    return ""


def _tries(edited: _Edited, radius_mm: float) -> Iterator[tuple[str, _Edited, OutlineSpec]]:
    """Yield the keys that may make corners rounder, with the outline changed: the modifier, then radii of the kind."""
    spec = edited.outline
    if spec.round_corners_mm < radius_mm:
        yield f"{edited.key}.round_corners", edited, replace(spec, round_corners_mm=radius_mm)
    for word in _radii(spec):
        params = replace(spec.params, **{word: radius_mm})
        if (getattr(spec.params, word) or 0.0) < radius_mm:
            yield f"{edited.key}.{spec.kind}.{word}", edited, replace(spec, params=params)


def _radii(spec: OutlineSpec) -> Iterator[str]:
    """Yield the keys of an outline's kind that say how round its corners are, and may stand beside those given."""
    record: type = type(spec.params)
    for word, one in keys_of(record).items():
        corner = word.endswith("_radius") or (word == "radius" and spec.kind in OF_CORNERS)
        beside = [w for group in getattr(record, AT_MOST_ONE, ()) if word in group for w in group if w != word]
        if corner and one.spec.kind is Kind.LENGTH and not any(getattr(spec.params, w) for w in beside):
            yield word


# ------------------------------------------------------------------ outlines and how they are drawn
def _edited(recipe: Recipe, plan: Plan, key: str, at: Point | None) -> Iterator[_Edited]:
    names = key.split(".")
    if key == OUTER:
        yield _Edited(recipe.cover.outer, OUTER, lambda spec: _cover(recipe, plan, spec, {}))
        for name in _notching(recipe, plan, at):
            outline = recipe.original.openings[name].outline
            draws = _notch(recipe, plan, name)
            yield _Edited(outline, f"original.openings.{name}.outline", draws)
    elif names[:2] == ["original", "openings"]:
        outline = recipe.original.openings[names[2]].outline
        yield _Edited(outline, key, lambda spec: _opening(recipe, plan, names[2], spec))
    else:
        feature = _feature(plan, key.removesuffix(".outline"))
        if feature is not None:
            place = place_of(recipe, plan, feature)
            yield _Edited(place.outline, key, place.drawn)


def _feature(plan: Plan, path: str) -> Feature | None:
    return next((f for p in plan.parts for f in p.features if f.path == path), None)


def _notch(recipe: Recipe, plan: Plan, name: str) -> Draws:
    return lambda spec: _cover(recipe, plan, recipe.cover.outer, {name: spec})


def _cover(recipe: Recipe, plan: Plan, outer: OutlineSpec, openings: dict[str, OutlineSpec]) -> Region | None:
    """Return the cover's outline with another outer shape or openings; None where that does not do."""
    try:
        region = plan.outer if outer is recipe.cover.outer else _outer(recipe, plan, outer)
        profile, _ = notched(region, _all_openings(recipe, plan, openings))
    except GeometryError:
        return None
    kept = (f.region for f in plan.cover.features if covers(plan.cover.profile, f.region))
    return profile if all(covers(profile, r) for r in kept) else None


def _outer(recipe: Recipe, plan: Plan, outer: OutlineSpec) -> Region:
    """Return another outer shape: drawn, or the one there is with its corners rounded where that is the same.

    Rounding is done last but for growing, turning and moving: it need not be drawn again, nor its file be read.

    Raises: GeometryError: it cannot be drawn.
    """
    old, radius = recipe.cover.outer, outer.round_corners_mm
    plain = not old.round_corners_mm and not old.grow_mm
    if plain and replace(outer, round_corners_mm=0.0) == old:
        return Region.of(rounded(c, radius) for c in plan.outer)
    return draw_outline(replace(outer, path=OUTER), _context(plan))


def _context(plan: Plan) -> Context:
    pocket = next((f.region for f in plan.cover.features if f.layer == "bottom-pocket"), EMPTY)
    seats = [f for f in plan.cover.features if f.layer == "seats"]
    return Context(footprint=plan.footprint, pocket=pocket, seats=rims_of(plan.bolts, seats))


def _all_openings(recipe: Recipe, plan: Plan, others: dict[str, OutlineSpec]) -> Sequence[tuple[str, Region]]:
    if plan.outer == plan.cover.profile and not others:
        return ()
    return [
        (name, _opening_with(recipe, plan, name, others.get(name, opening.outline)))
        for name, opening in recipe.original.openings.items()
    ]


def _opening_with(recipe: Recipe, plan: Plan, name: str, outline: OutlineSpec) -> Region:
    """Return an opening with another outline.

    Raises: GeometryError: it cannot be drawn.
    """
    opening = replace(recipe.original.openings[name], outline=outline)
    return opening_region(opening, _context(plan), f"original.openings.{name}")


def _opening(recipe: Recipe, plan: Plan, name: str, outline: OutlineSpec) -> Region | None:
    try:
        return _opening_with(recipe, plan, name, outline)
    except GeometryError:
        return None


def _notching(recipe: Recipe, plan: Plan, at: Point | None) -> list[str]:
    """Return the openings that notch the cover's outline, those that end at a place first."""
    inside = {f.path for f in plan.cover.features}
    names = [n for n in recipe.original.openings if f"original.openings.{n}" not in inside]
    found = []
    for name in names:
        region = _opening(recipe, plan, name, recipe.original.openings[name].outline)
        if region is not None:
            found.append((point_distance(region, at).distance_mm if at is not None else 0.0, name))
    return [name for _, name in sorted(found)]
