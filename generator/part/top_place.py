"""What brings a recess of the top face back into the cover; each edit is tried before it is told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import ceil, floor

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.remedy import NOISE, STEP
from generator.base.units import MODEL
from generator.outline.measure import area
from generator.outline.offset import offset_region
from generator.outline.region import Region
from generator.part.clearing import STAYS, Room, outline_at, shift_into, told_place
from generator.part.corners import cut_by
from generator.part.inlays import gap_of
from generator.part.nearness import widest
from generator.part.part import Feature, Plan
from generator.part.resize import drawn_again, is_fitted
from generator.recipe.model import Recipe

__all__ = ["edits_into_cover"]

ROUNDINGS = 3
"""So many hundredths more are tried where what was reckoned is a trifle short."""


@frozen_record
class _Recess:
    """A recess of the top face, and where it has to stay.

    Attributes:
        recipe, plan: what it is part of.
        feature: the recess.
        room: the cover with the least wall, and what else is cut into its top face.
        short_mm: by how much it comes too near to the edge.
    """

    recipe: Recipe
    plan: Plan
    feature: Feature
    room: Room
    short_mm: float

    @property
    def drawn(self) -> Region:
        """Return its region before corners were made for a cutter."""
        return self.feature.asked or self.feature.region

    @property
    def key(self) -> str:
        """Return the recipe path of its outline."""
        return f"{self.feature.path}.outline"


def edits_into_cover(recipe: Recipe, plan: Plan, recess: Feature, short_mm: float) -> str:
    """Return the edits that bring a recess inside the cover: a larger cover, a smaller drawing, a move.

    Args:
        recipe: what it is part of.
        plan: the same, drawn.
        recess: an inlay pocket, or an engraving in the cover.
        short_mm: by how much it comes too near to the edge.
    """
    beside = [widest(f) for f in plan.cover.features if f.name != recess.name and f.layer != "bottom-pocket"]
    room = Room(plan.cover.profile, beside, recipe.limits.walls.sound.value)
    place = _Recess(recipe, plan, recess, room, short_mm)
    found = [*_fitted(place)] if is_fitted(outline_at(recipe, recess.path)) else [*_larger_cover(place), *_grown(place)]
    return ", or ".join([*found, *_shifted(place)]) or f"draw {place.key} smaller, or elsewhere"


def _larger_cover(place: _Recess) -> Iterator[str]:
    """Yield the edit that grows the cover."""
    grow = place.recipe.cover.outer.grow_mm
    to = ceil((grow + place.short_mm) * STEP - NOISE) / STEP
    if _is_held(place, offset_region(place.plan.cover.profile, to - grow), place.feature.region):
        yield f"set cover.outer.grow to at least {to:g} mm"


def _grown(place: _Recess) -> Iterator[str]:
    """Yield the edit that shrinks the drawing all round, unless that is another drawing or none."""
    grow = outline_at(place.recipe, place.feature.path).grow_mm
    to = floor((grow - place.short_mm) * STEP + NOISE) / STEP
    try:
        small = offset_region(place.drawn, to - grow)
        is_same = len(small) == len(place.drawn) and area(small) >= STAYS * area(place.drawn)
        if is_same and _is_made(place, small) and _is_held(place, place.plan.cover.profile, small):
            yield f"set {place.key}.grow to at most {to:g} mm"
    except GeometryError:
        return


def _is_made(place: _Recess, small: Region) -> bool:
    """Return True if the cutter, and the gap of an insert, take no piece more of a smaller drawing."""
    feature = place.feature
    if len(cut_by(small, feature.corners_mm)) != len(feature.region):
        return False
    gap = gap_of(place.recipe.inlays[feature.path.split(".")[1]]).value if feature.path.startswith("inlays") else 0.0
    return not gap or len(offset_region(small, -gap)) == len(offset_region(feature.region, -gap))


def _fitted(place: _Recess) -> Iterator[str]:
    """Yield the edit that gives a drawing that is fitted into the cover a wider margin: it grows with the cover."""
    outline = outline_at(place.recipe, place.feature.path)
    fit = outline.params.fit
    for more in range(ROUNDINGS):
        margin = ceil((fit.margin + place.short_mm) * STEP - MODEL.same_mm + more) / STEP
        wider = replace(outline, params=replace(outline.params, fit=replace(fit, margin=margin)))
        region = drawn_again(wider, place.plan.outer)
        if region is not None and _is_held(place, place.plan.cover.profile, region):
            yield f"set {place.key}.{outline.kind}.fit.margin to at least {margin:g} mm"
            return


def _shifted(place: _Recess) -> Iterator[str]:
    """Yield the edit that moves the drawing."""
    at = outline_at(place.recipe, place.feature.path).at_mm
    if to := shift_into(place.feature.region, place.room, at):
        yield f"set {place.key}.at to {told_place(to)}"


def _is_held(place: _Recess, profile: Region, region: Region) -> bool:
    return Room(profile, (), place.room.wall_mm).is_held(region)
