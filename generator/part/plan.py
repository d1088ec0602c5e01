"""From a recipe to the 2.5D plan: every outline drawn, every height known, nothing judged yet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from generator.base.errors import Mistake, RecipeError
from generator.base.sharing import NOTHING_SHARED, Sharing
from generator.outline.create import circle
from generator.outline.region import Region
from generator.part.artwork import artwork_features, cutter_mm, engraving_features
from generator.part.blank import blank_of, dowel_points, flip_axis, largest_end_mill_mm
from generator.part.bolts import bolts_of, mistake, seat_of
from generator.part.drawn import Drawn, draw_all, filled
from generator.part.heights import Heights, heights_of, level
from generator.part.holding import clamps_of, held_words, tabs_of
from generator.part.inlays import inlay_depth, insert_part, pocket_feature
from generator.part.materials import material_of
from generator.part.notches import notched
from generator.part.part import Blank, Bolt, Face, Feature, FlipAxis, Part, Plan
from generator.part.seats import rims_of, seat_features, seat_size
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels
from generator.shapes.shape import Files

__all__ = ["filled", "make_plan"]

THIN_MM = 1e-6
"""A feature shallower than this has no depth."""


def make_plan(recipe: Recipe, *, files: Files, sharing: Sharing = NOTHING_SHARED) -> Plan:
    """Return the 2.5D plan of a recipe.

    Args:
        recipe: read and typed; lengths mm.
        files: the files that the recipe names.
        sharing: keeps outlines for recipes that have the same.

    Raises:
        RecipeError: the recipe contradicts itself; all contradictions at once, with recipe paths but no lines.
        GeometryError: an outline cannot be drawn; carries its recipe path.
    """
    mistakes: list[Mistake] = []
    heights = heights_of(recipe.cover.stock)
    bolts = bolts_of(recipe, mistakes)
    seats = _seats(recipe, bolts, heights, mistakes)
    drawn = draw_all(recipe, rims_of(bolts, seats), files, mistakes, sharing)
    pockets = _inlay_pockets(recipe, drawn, heights, mistakes)
    profile, notching = _notched(drawn, mistakes)
    openings = tuple(_openings(drawn, heights))
    flip = flip_axis(recipe, drawn.outer)
    blank = blank_of(recipe, drawn.outer, heights.thickness_mm, dowel_points(recipe, drawn.outer, flip, mistakes))
    features = (
        _bottom_pocket(recipe, drawn.pocket),
        *_bolt_holes(bolts, heights),
        *seats,
        *(f for f in openings if f.name not in notching),
        *pockets,
        *engraving_features(recipe, drawn.engravings, heights, mistakes),
        *_dowels_inside(recipe, blank, heights),
    )
    inserts = _inserts(recipe, drawn, features, mistakes)
    mistakes += _without_depth(features)
    if mistakes:
        raise RecipeError(mistakes)
    cover = _cover(recipe, heights, profile, features)
    notches = tuple(f for f in openings if f.name in notching)
    return replace(_plan(recipe, drawn, cover, inserts, bolts, blank, flip), notches=notches)


def _inserts(recipe: Recipe, drawn: Drawn, features: tuple[Feature, ...], mistakes: list[Mistake]) -> tuple[Part, ...]:
    """Return the inserts with their artwork, in the order of the recipe; none for a pocket that is a mistake."""
    by_name = {f.name: f for f in features}
    out = []
    for name, inlay in recipe.inlays.items():
        pocket = by_name.get(f"inlay-pocket-{name}")
        if pocket is not None:
            bare = insert_part(name, inlay, pocket)
            artwork = artwork_features(recipe, name, bare.profile, drawn.artwork.get(name, {}), mistakes)
            out.append(replace(bare, features=artwork))
    return tuple(out)


def _cover(recipe: Recipe, heights: Heights, profile: Region, features: tuple[Feature, ...]) -> Part:
    """Return the cover as a part."""
    return Part(
        name="cover",
        material=material_of(recipe.cover.material),
        thickness_mm=heights.thickness_mm,
        profile=profile,
        features=features,
        rim_break_mm=recipe.cover.edge_break,
    )


def _plan(
    recipe: Recipe,
    drawn: Drawn,
    cover: Part,
    inserts: tuple[Part, ...],
    bolts: tuple[Bolt, ...],
    blank: Blank,
    flip: FlipAxis,
) -> Plan:
    """Return the plan of a cover whose parts are known."""
    return Plan(
        name=recipe.name,
        title=recipe.title,
        revision=recipe.revision,
        notes=recipe.notes,
        load_bearing=recipe.original.load_bearing,
        original_height_mm=recipe.original.height,
        footprint=drawn.footprint,
        cover=cover,
        inserts=inserts,
        bolts=bolts,
        blank=blank,
        flip=flip,
        tool_diameters=tuple((n, t.diameter) for n, t in recipe.tools.items() if t.kind == "end mill"),
        outer=drawn.outer,
        units=recipe.units,
        held=held_words(recipe),
        tabs=tabs_of(recipe, cover.profile, largest_end_mill_mm(recipe)),
        clamps=clamps_of(recipe),
    )


def _notched(drawn: Drawn, mistakes: list[Mistake]) -> tuple[Region, frozenset[str]]:
    """Return the cover's outline and the names of the features that would notch it."""
    profile, notching = notched(drawn.outer, drawn.openings)
    if not profile:
        found = "openings that take the whole cover away"
        mistakes.append(mistake("original.openings", found, "openings that leave a cover", "make them smaller"))
    return profile, frozenset(f"opening-{name}" for name in notching)


def _bottom_pocket(recipe: Recipe, pocket: Region) -> Feature:
    """Return the pocket that the original stands in."""
    depth = level(recipe.original.height + recipe.clearance.above)
    return Feature("bottom-pocket", "bottom-pocket", Face.BOTTOM, pocket, 0.0, depth, path="clearance")


def _bolt_holes(bolts: tuple[Bolt, ...], heights: Heights) -> Iterator[Feature]:
    """Yield a through hole for every bolt."""
    for b in bolts:
        region = Region((circle(b.at, b.hole_mm / 2.0),))
        yield Feature(f"hole-{b.name}", "bolt-holes", Face.TOP, region, 0.0, heights.thickness_mm, path=b.path)


def _seats(recipe: Recipe, bolts: tuple[Bolt, ...], heights: Heights, mistakes: list[Mistake]) -> tuple[Feature, ...]:
    """Return the seats of all bolts; one mistake a group, however many bolts it has."""
    out: list[Feature] = []
    for i, group in enumerate(recipe.original.bolts):
        seat, path = seat_of(recipe, i)
        mine = [b for b in bolts if b.path == f"original.bolts[{i}]"]
        if seat is None or not mine:
            continue
        size = seat_size(seat, group.thread, mine[0].hole_mm, path, mistakes)
        if size is not None:
            out += [f for b in mine for f in seat_features(b, size, path, heights)]
    return tuple(out)


def _openings(drawn: Drawn, heights: Heights) -> Iterator[Feature]:
    """Yield a through cut for every opening."""
    for name, region in drawn.openings:
        path = f"original.openings.{name}"
        yield Feature(f"opening-{name}", "openings", Face.TOP, region, 0.0, heights.thickness_mm, path=path)


def _inlay_pockets(recipe: Recipe, drawn: Drawn, heights: Heights, mistakes: list[Mistake]) -> tuple[Feature, ...]:
    """Return the inlay pockets in the order of the recipe."""
    out = []
    for name, region in drawn.inlays:
        inlay, path = recipe.inlays[name], f"inlays.{name}"
        depth = inlay_depth(inlay, path, mistakes)
        cutter = cutter_mm(recipe, inlay.cutter, inlay.corners, f"{path}.cutter", mistakes)
        if depth is not None:
            out.append(pocket_feature(name, inlay, region, depth, cutter, heights))
    return tuple(out)


def _dowels_inside(recipe: Recipe, blank: Blank, heights: Heights) -> Iterator[Feature]:
    """Yield the dowel holes that stay in the finished part because the recipe wants them inside."""
    if isinstance(recipe.dowels, Dowels) and recipe.dowels.place == "inside":
        for k, contour in enumerate(blank.dowel_holes, start=1):
            region = Region((contour,))
            top = heights.thickness_mm
            yield Feature(f"dowel-hole-{k}", "dowel-holes", Face.BOTTOM, region, 0.0, top, path="dowels")


def _without_depth(features: tuple[Feature, ...]) -> list[Mistake]:
    """Return a mistake for every feature that the measured thickness leaves without depth."""
    return [
        mistake(
            f.path,
            f"{f.name} of no depth in the measured thickness",
            "a depth larger than nominal less measured thickness",
            "set cover.stock.depths_from to own face, or make it deeper",
        )
        for f in features
        if f.depth_mm <= THIN_MM
    ]
