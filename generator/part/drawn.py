"""Every outline of a recipe, drawn: one that cannot be drawn hides none of the others."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace

from generator.base.errors import DRAWABLE, GeometryError, Mistake, RecipeError, blamed
from generator.base.fields import OutlineSpec
from generator.base.frozen_record import frozen_record
from generator.base.sharing import NOTHING_SHARED, Sharing
from generator.outline.combine import union
from generator.outline.contour import Point
from generator.outline.measure import signed_area
from generator.outline.offset import offset_region
from generator.outline.region import EMPTY, Region
from generator.outline.transform import moved
from generator.part.artwork import room_of
from generator.part.shared_outlines import shared_outline
from generator.recipe.model import Opening, Recipe
from generator.recipe.model_inlay import ON_COVER, Inlay
from generator.shapes.draw import draw_outline
from generator.shapes.shape import Context, Files

__all__ = ["Drawn", "draw_all", "filled", "opening_region"]


@frozen_record
class Drawn:
    """The outlines of a recipe, drawn."""

    footprint: Region
    pocket: Region
    outer: Region
    openings: tuple[tuple[str, Region], ...]
    inlays: tuple[tuple[str, Region], ...]
    artwork: Mapping[str, Mapping[str, Region]]
    engravings: Mapping[str, Region]


def filled(region: Region) -> Region:
    """Return the region with its holes filled."""
    outers = [Region((c,)) for c in region if signed_area(c) > 0.0]
    return union(*outers) if len(outers) > 1 else Region(tuple(c for r in outers for c in r))


def draw_all(
    recipe: Recipe,
    rims: tuple[tuple[Point, float], ...],
    files: Files,
    mistakes: Sequence[Mistake],
    sharing: Sharing = NOTHING_SHARED,
) -> Drawn:
    """Return every outline of the recipe, drawn, or taken from what other recipes share.

    Raises:
        GeometryError: one cannot be drawn; carries its recipe path.
        RecipeError: several cannot, or one cannot and the recipe contradicts itself (``mistakes``) as well.
    """
    tries = _Tries()
    context = Context(files=files, sharing=sharing)
    footprint, pocket = EMPTY, EMPTY
    with tries.one():
        footprint = _draw_one(recipe.original.footprint, context, "original.footprint")
        with blamed("clearance.around"):
            pocket = _grown(filled(footprint), recipe.clearance.around)
    context = replace(context, footprint=footprint, pocket=pocket, seats=rims)
    openings = []
    for name, opening in recipe.original.openings.items():
        with tries.one():
            openings.append((name, opening_region(opening, context, f"original.openings.{name}")))
    outer = EMPTY
    if pocket:  # outer shapes follow the pocket: without one their own mistakes cannot be told
        with tries.one():
            outer = _draw_one(recipe.cover.outer, context, "cover.outer")
    inlays, artwork = [], {}
    for name, inlay in recipe.inlays.items():
        with tries.one():
            inlays.append((name, _draw_one(inlay.outline, replace(context, room=outer), f"inlays.{name}.outline")))
            artwork[name] = _draw_artwork(name, inlay, inlays[-1][1], context, tries)
    engravings = {}
    for name, engraving in recipe.cover.engravings.items():
        with tries.one():
            path = f"cover.engravings.{name}.outline"
            engravings[name] = _draw_one(engraving.outline, replace(context, room=outer), path)
    tries.end(mistakes)
    return Drawn(footprint, pocket, outer, tuple(openings), tuple(inlays), artwork, engravings)


def _draw_artwork(name: str, inlay: Inlay, outline: Region, context: Context, tries: _Tries) -> dict[str, Region]:
    """Return the artwork of an inlay, drawn about the middle of its outline and moved there."""
    room, (x, y) = room_of(outline)
    out = {}
    for art, given in inlay.artwork.items():
        with tries.one():
            path = f"inlays.{name}.artwork.{art}.outline"
            if given.origin == ON_COVER:
                out[art] = _draw_one(given.outline, replace(context, room=outline), path)
            else:
                out[art] = moved(_draw_one(given.outline, replace(context, room=room), path), x, y)
    return out


def opening_region(opening: Opening, context: Context, path: str) -> Region:
    """Return an opening with its clearance.

    Raises: GeometryError: it cannot be drawn; carries its recipe path.
    """
    drawn = _draw_one(opening.outline, context, f"{path}.outline")
    with blamed(f"{path}.clearance"):
        return _grown(drawn, opening.clearance)


class _Tries:
    """Keeps what could not be drawn, so that one outline does not hide the mistakes of the next."""

    def __init__(self) -> None:
        self._errors: list[GeometryError] = []

    @contextmanager
    def one(self) -> Iterator[None]:
        """Keep the geometry error of the block."""
        try:
            yield
        except GeometryError as error:
            self._errors.append(error)

    def end(self, mistakes: Sequence[Mistake]) -> None:
        """Raise what was kept: alone as it is, several or with ``mistakes`` as one recipe error."""
        if len(self._errors) == 1 and not mistakes:
            raise self._errors[0]
        if self._errors:
            undrawn = [Mistake("", 0, 0, e.path, str(e), DRAWABLE) for e in self._errors]
            raise RecipeError([*mistakes, *undrawn])


def _draw_one(spec: OutlineSpec, context: Context, path: str) -> Region:
    """Return the drawn outline; an empty one is an error too."""
    with blamed(spec.path or path):
        region = shared_outline(spec if spec.path else replace(spec, path=path), context, draw_outline)
        if not region:
            raise GeometryError("the outline encloses nothing")
        return region


def _grown(region: Region, by_mm: float) -> Region:
    """Return the region grown by an offset; growing by nothing changes no digit."""
    return offset_region(region, by_mm) if by_mm else region
