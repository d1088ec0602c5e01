"""What brings artwork back onto its insert: a move, a smaller drawing, a larger inlay; each tried before it is told."""

from __future__ import annotations

from dataclasses import replace
from math import ceil, floor

from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.contour import Point
from generator.outline.measure import bounds
from generator.outline.offset import offset_region
from generator.outline.region import Region
from generator.outline.transform import ORIGIN, moved
from generator.part.artwork import room_of
from generator.part.clearing import Room, halved, outline_at, shift_into, told_place
from generator.part.corners import cut_by
from generator.part.cutter_loss import is_torn
from generator.part.nearness import growth_to_cover, wall_mm, widest
from generator.part.part import Feature, Part, Plan
from generator.part.resize import drawn_again, factor_into, is_fitted, is_from_file, smaller
from generator.recipe.model import Recipe
from generator.recipe.model_inlay import ON_COVER

__all__ = [
    "ArtworkPlace",
    "artwork_place",
    "drawn_smaller",
    "is_cut",
    "larger_inlay",
    "lies_and_is_cut",
    "shifted",
]

STEP = 100.0
"""Lengths are told in hundredths of a millimetre."""
ROUNDINGS = 3
"""So many hundredths more are tried where what was reckoned is a trifle short."""


@frozen_record
class ArtworkPlace:
    """Artwork, and where it has to stay.

    Attributes:
        artwork: the feature.
        outline: what it is drawn from.
        origin: where the outline's origin lies on the cover, mm.
        room: the insert, with the least edge round artwork.
        inlay: the inlay's outline, drawn.
        grow_mm: what that outline grows by in the recipe.
        on_cover: what an inlay that grows must keep clear of.
    """

    artwork: Feature
    outline: OutlineSpec
    origin: Point
    room: Room
    inlay: Region
    grow_mm: float
    on_cover: Room


def artwork_place(recipe: Recipe, plan: Plan, artwork: Feature) -> ArtworkPlace:
    """Return where artwork has to stay."""
    _, name, _, art = artwork.path.split(".")
    insert = _insert(plan, name)
    layer = f"inlay-pocket-{name}"
    pocket = next(f for f in plan.cover.features if f.layer == layer)
    inlay = pocket.asked or pocket.region
    on_cover = recipe.inlays[name].artwork[art].origin == ON_COVER
    others = [widest(f) for f in plan.cover.features if f.layer not in (layer, "bottom-pocket")]
    limits = recipe.limits.walls
    beside = [f.region for f in insert.features if f.name != artwork.name and f.region]
    return ArtworkPlace(
        artwork=artwork,
        outline=outline_at(recipe, artwork.path),
        origin=ORIGIN if on_cover else Point(*bounds(inlay).centre),
        room=Room(insert.profile, beside, limits.thinnest.value),
        inlay=inlay,
        grow_mm=recipe.inlays[name].outline.grow_mm,
        on_cover=Room(plan.cover.profile, others, limits.sound.value),
    )


def _insert(plan: Plan, name: str) -> Part:
    return next(p for p in plan.inserts if p.name == f"insert-{name}")


def shifted(place: ArtworkPlace) -> str:
    """Return the edit that moves the artwork onto its insert; empty if no move does."""
    to = shift_into(place.artwork.region, place.room, place.outline.at_mm)
    return f"set {place.artwork.path}.outline.at to {told_place(to)}" if to else ""


def drawn_smaller(place: ArtworkPlace) -> str:
    """Return the edits that draw the artwork so small that it fits where it lies; empty if it has no key for that."""
    path = f"{place.artwork.path}.outline"
    if is_fitted(place.outline):
        return _wider_margin(place, path)
    factor = factor_into(place.artwork.region, place.room, place.outline, place.origin)
    made = smaller(place.outline, path, factor, lambda o: _fits(place, o)) if factor else None
    return made.edits if made else ""


def _wider_margin(place: ArtworkPlace, path: str) -> str:
    """Return the edit that gives a fitted drawing a wider margin."""
    assert place.room.inside is not None
    params = place.outline.params
    wall, _, over = wall_mm(place.room.inside, place.artwork.region)
    short = place.room.wall_mm + (growth_to_cover(place.room.inside, place.artwork.region) if over else -wall)
    for more in range(ROUNDINGS):
        margin = ceil((params.fit.margin + short) * STEP - MODEL.same_mm + more) / STEP
        fit = replace(params.fit, margin=margin)
        if _fits(place, replace(place.outline, params=replace(params, fit=fit))):
            return f"set {path}.{place.outline.kind}.fit.margin to at least {margin:g} mm"
    return ""


def _fits(place: ArtworkPlace, outline: OutlineSpec) -> bool:
    """Return True if the outline lies on the insert; where it is drawn from a file, it was reckoned right."""
    room, _ = room_of(place.inlay)
    region = drawn_again(outline, room if place.origin != ORIGIN else place.inlay)
    if region is None:
        return is_from_file(outline)
    return lies_and_is_cut(place, moved(region, *place.origin))


def lies_and_is_cut(place: ArtworkPlace, region: Region) -> bool:
    """Return True if another drawing lies on the insert, and its cutter takes no piece of it."""
    return place.room.is_held(region) and is_cut(place, region)


def is_cut(place: ArtworkPlace, region: Region) -> bool:
    """Return True if the cutter takes no piece of another drawing, or takes some of this one already."""
    artwork = place.artwork
    now_torn = artwork.asked and artwork.asked != artwork.region and is_torn(artwork.asked, artwork.region)
    return bool(not artwork.corners_mm or now_torn or not is_torn(region, cut_by(region, artwork.corners_mm)))


def larger_inlay(place: ArtworkPlace) -> str:
    """Return the edit that grows the inlay until it holds the artwork; empty if the cover has no room for that."""
    if is_fitted(place.outline):
        return ""  # what is fitted into the inlay grows along
    profile, art = place.room.inside, place.artwork.region
    assert profile is not None

    def holds(by: float) -> bool:
        return Room(offset_region(profile, by), (), place.room.wall_mm).is_held(art)

    enough = growth_to_cover(profile, art) + 2.0 * place.room.wall_mm
    if not holds(enough):
        return ""
    reckoned = halved(enough, 0.0, holds) * STEP
    by = next(b for b in (floor(reckoned) / STEP, ceil(reckoned) / STEP) if holds(b))
    if not place.on_cover.holds(offset_region(place.inlay, by)):
        return ""
    inlay = place.artwork.path.partition(".artwork.")[0]
    grow = ceil((place.grow_mm + by) * STEP - MODEL.same_mm) / STEP
    return f"set {inlay}.outline.grow to at least {grow:g} mm"
