"""Outlines of the top face and of artwork drawn again with other keys, where they lie on the cover."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import ceil, floor

from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.contour import Point
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outline.transform import ORIGIN, moved, scaled
from generator.part.artwork import room_of
from generator.part.clearing import outline_at
from generator.part.part import Feature, Plan
from generator.part.resize import drawn_again
from generator.recipe.model import Recipe
from generator.recipe.model_inlay import ON_COVER

__all__ = ["Place", "fewer_letters", "is_bounded", "larger_region", "letters_in", "place_of"]

STEP = 100.0
MOST_LINES = 4
"""More lines than this are not offered (chosen)."""
FEWER = (1.0, 0.9, 0.8)
"""Of the letters that were reckoned so many are tried: not all are equally wide."""
LARGER = (1.0, 1.04, 1.1)
"""The same for the region: its margin does not grow along."""

Does = Callable[[Region], bool]
"""Says of a region, where it would lie on the cover, whether it would do."""


@frozen_record
class Place:
    """An outline, and what its own origin and its region are on the cover.

    Attributes:
        outline: as the recipe has it.
        room: what it is fitted into if it asks for that, about its own origin.
        origin: where its origin lies on the cover, mm.
    """

    outline: OutlineSpec
    room: Region
    origin: Point

    def drawn(self, outline: OutlineSpec, room: Region | None = None) -> Region | None:
        """Return another outline where it would lie; None if it cannot be drawn, or needs a file."""
        region = drawn_again(outline, self.room if room is None else room)
        return None if region is None else moved(region, *self.origin)


def place_of(recipe: Recipe, plan: Plan, feature: Feature) -> Place:
    """Return where an inlay pocket, an engraving or artwork is drawn."""
    outline, keys = outline_at(recipe, feature.path), feature.path.split(".")
    if keys[0] == "cover" or len(keys) == 2:
        return Place(outline, plan.outer, ORIGIN)
    layer = f"inlay-pocket-{keys[1]}"
    pocket = next(f for f in plan.cover.features if f.layer == layer)
    inlay = pocket.asked or pocket.region
    if recipe.inlays[keys[1]].artwork[keys[3]].origin == ON_COVER:
        return Place(outline, inlay, ORIGIN)
    room, centre = room_of(inlay)
    return Place(outline, room, Point(*centre))


def is_bounded(outline: OutlineSpec) -> bool:
    """Return True for an outline that is as large as what it is fitted into lets it be."""
    return getattr(outline.params, "fit", None) is not None


def fewer_letters(place: Place, factor: float, does: Does) -> list[str]:
    """Return how many letters there may be, in one line and in several, each tried; none for what is no text.

    Args:
        place: of the text.
        factor: by which its letters would have to be larger.
        does: whether a region would do.
    """
    params = place.outline.params
    if place.outline.kind != "text" or factor <= 1.0:
        return []
    written = params.lines or tuple(params.say.splitlines())
    longest = max(written, key=len)
    for share in FEWER:
        count = floor(len(longest) / factor * share)
        if count < 1 or count >= len(longest):
            continue
        if _does(place, (longest[:count].strip(),), does):
            many = _lines(place, longest, count, does)
            return [f"write at most {count} letter{'s' if count > 1 else ''} in a line{many}"]
    return []


def letters_in(place: Place, share: float) -> int:
    """Return how many letters of a text's longest line take a share of its width, about, a margin left; 1 at least."""
    params = place.outline.params
    longest = max(params.lines or tuple(params.say.splitlines()), key=len)
    return max(1, floor(len(longest) * share * FEWER[-1]))


def _lines(place: Place, text: str, count: int, does: Does) -> str:
    """Return how many lines with so many letters would do, in words; empty if it is one."""
    needed = ceil(len(text) / count)
    for lines in range(min(MOST_LINES, needed), 1, -1):
        parts = tuple(text[k * count : (k + 1) * count].strip() for k in range(lines))
        if all(parts) and _does(place, parts, does):
            return f" and at most {lines} lines"
    return " and a single line"


def _does(place: Place, lines: tuple[str, ...], does: Does) -> bool:
    if not all(lines):
        return False
    params = replace(place.outline.params, say="", lines=lines)
    region = place.drawn(replace(place.outline, params=params))
    return region is not None and does(region)


def larger_region(place: Place, factor: float, does: Does) -> list[str]:
    """Return how large what it is fitted into must be at least, tried; none for what is not fitted into its inlay."""
    fit = getattr(place.outline.params, "fit", None)
    if fit is None or getattr(fit, "outline", None) is not None or getattr(fit, "box", None) is not None:
        return []
    for share in LARGER:
        times = ceil(factor * share * STEP - MODEL.same_mm) / STEP
        room = scaled(place.room, times)
        region = place.drawn(place.outline, room)
        if region is not None and does(region):
            box = bounds(room)
            size = f"{box.width_mm:.1f} x {box.height_mm:.1f} mm"
            return [f"fit it into a region at least {times:g} times as large, {size}"]
    return []
