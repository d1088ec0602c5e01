"""Artwork on inserts and engravings in the cover: from the drawn outlines to features that a cutter can make."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from generator.base.errors import Mistake, blamed
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outline.transform import moved
from generator.part.bolts import mistake
from generator.part.bridges import bridged, sheet_round
from generator.part.corners import as_made, cut_by
from generator.part.heights import Heights, level
from generator.part.materials import fill_of
from generator.part.part import Face, Feature
from generator.recipe.model import Recipe
from generator.recipe.model_inlay import AS_DRAWN, CUT_THROUGH

__all__ = ["artwork_features", "cutter_mm", "engraving_features", "room_of"]


def room_of(inlay: Region) -> tuple[Region, tuple[float, float]]:
    """Return an inlay's outline moved so that the middle of its box is the origin, and that middle, mm."""
    centre = bounds(inlay).centre
    return moved(inlay, -centre[0], -centre[1]), centre


def cutter_mm(recipe: Recipe, name: str, corners: str, path: str, mistakes: list[Mistake]) -> float:
    """Return the diameter of the cutter in use, mm: the one named, or the smallest that corners are made for.

    It is 0 where no end mill is there, or corners stay as drawn and none is named.

    Args:
        recipe: names the tools.
        name: the tool asked for; empty for the smallest end mill.
        corners: ``matched`` or ``as drawn``.
        path: recipe path of ``cutter``, for the mistake of a tool that is not there.
        mistakes: where that mistake goes.
    """
    if name and name not in recipe.tools:
        there = ", ".join(f"`{n}`" for n in recipe.tools) or "none yet"
        mistakes.append(mistake(path, f"`{name}`", f"the name of a tool ({there})", "name one, or add it to `tools`"))
    if name:
        return recipe.tools[name].diameter if name in recipe.tools else 0.0
    if corners == AS_DRAWN:
        return 0.0
    return min((t.diameter for t in recipe.tools.values() if t.kind == "end mill"), default=0.0)


def artwork_features(
    recipe: Recipe, name: str, profile: Region, drawn: Mapping[str, Region], mistakes: list[Mistake]
) -> tuple[Feature, ...]:
    """Return the features of the insert ``name``, one for every artwork, in the order of the recipe.

    Args:
        recipe: says what is done with each.
        name: of the inlay.
        profile: outline of the insert, which bridges lead to.
        drawn: the outlines by name, where they lie on the cover.
        mistakes: where contradictions go.

    Raises: GeometryError: corners or bridges cannot be made; carries the recipe path.
    """
    return tuple(_artwork(recipe, name, art, profile, region, mistakes) for art, region in drawn.items())


def _artwork(
    recipe: Recipe, insert: str, name: str, profile: Region, region: Region, mistakes: list[Mistake]
) -> Feature:
    path, inlay = f"inlays.{insert}.artwork.{name}", recipe.inlays[insert]
    artwork, top_mm = inlay.artwork[name], level(inlay.stock.thickness)
    cutter = cutter_mm(recipe, artwork.cutter, artwork.corners, f"{path}.cutter", mistakes)
    through, drawn = artwork.done == CUT_THROUGH, artwork.corners == AS_DRAWN
    if through and artwork.bridges is not None:
        with blamed(f"{path}.bridges"):
            sheet = sheet_round(region, profile)
            region = bridged(region, sheet, width_mm=artwork.bridges.width, count=artwork.bridges.count)
    with blamed(f"{path}.outline"):
        made, asked = as_made(region, cut_by(region, 0.0 if drawn else cutter / 2.0))
    return Feature(
        name=f"{'cut' if through else 'engraving'}-{name}",
        layer=f"insert-{'cut' if through else 'engraving'}-{insert}",
        face=Face.TOP,
        region=made,
        z_from_mm=0.0 if through else level(top_mm - artwork.depth),
        z_to_mm=top_mm,
        path=path,
        asked=asked,
        cutter_mm=cutter,
        as_drawn=drawn,
        fill=None if through else fill_of(artwork.fill),
    )


def engraving_features(
    recipe: Recipe, drawn: Mapping[str, Region], heights: Heights, mistakes: list[Mistake]
) -> Iterator[Feature]:
    """Yield the engravings in the cover's top face.

    Raises: GeometryError: corners cannot be made; carries the recipe path.
    """
    for name, region in drawn.items():
        engraving, path = recipe.cover.engravings[name], f"cover.engravings.{name}"
        as_drawn = engraving.corners == AS_DRAWN
        cutter = cutter_mm(recipe, engraving.cutter, engraving.corners, f"{path}.cutter", mistakes)
        with blamed(f"{path}.outline"):
            made, asked = as_made(region, cut_by(region, 0.0 if as_drawn else cutter / 2.0))
        yield Feature(
            name=f"engraving-{name}",
            layer=f"engraving-{name}",
            face=Face.TOP,
            region=made,
            z_from_mm=heights.below_top(engraving.depth),
            z_to_mm=heights.thickness_mm,
            path=path,
            asked=asked,
            cutter_mm=cutter,
            as_drawn=as_drawn,
            fill=fill_of(engraving.fill),
        )
