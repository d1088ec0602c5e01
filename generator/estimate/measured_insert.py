"""What is measured on an insert."""

from __future__ import annotations

from collections.abc import Iterator

from generator.estimate import allowed
from generator.estimate.characteristic import Kind, Wanted
from generator.estimate.measured_cover import sizes_of
from generator.estimate.measured_places import largest_piece, pieces_of, round_holes, spot_in
from generator.outline.measure import signed_area
from generator.outline.region import Region
from generator.part.describe import is_through
from generator.part.part import Face, Part
from generator.part.relation import box_of
from generator.recipe.model import Recipe

__all__ = ["insert_wanted"]


def insert_wanted(recipe: Recipe, insert: Part) -> Iterator[Wanted]:
    """Yield the insert's sizes, of loose pieces those of the largest; thickness; depth of engraving, size of cuts."""
    if not insert.profile:
        return
    inlay = insert.name.removeprefix("insert-")
    piece = largest_piece(insert.profile)
    single = pieces_of(insert.profile) == 1
    what = f"insert {inlay}" if single else f"insert {inlay}, largest piece"
    yield from sizes_of(insert.name, insert.name, what, piece, Face.TOP, allowed.insert_size(recipe, inlay))
    for wide, centre in round_holes(insert.profile) if single else ():
        size, hole = allowed.pocket_size(recipe, inlay), f"{insert.name}-hole"
        yield Wanted(insert.name, hole, Kind.DIAMETER, f"insert {inlay}, hole, diameter", wide, size, centre, Face.TOP)
    holes = Region.of(c.reversed() for c in insert.profile if signed_area(c) < 0.0)
    cuts = (*((holes,) if holes else ()), *(f.region for f in insert.features if f.region))
    at = spot_in(piece, cuts) or box_of(piece).centre
    thick = allowed.insert_thickness(recipe, inlay)
    yield Wanted(
        insert.name, insert.name, Kind.THICKNESS, f"insert {inlay}, thickness", insert.thickness_mm, thick, at, Face.TOP
    )
    for f in insert.features:
        if not f.region:
            continue
        box, said = box_of(f.region), f.name.replace("-", " ", 1)
        if is_through(insert, f):
            high = allowed.general(recipe, box.height_mm)
            what = f"{said}, over all along y"
            yield Wanted(insert.name, f.name, Kind.SIZE_Y, what, box.height_mm, high, box.centre, f.face)
        else:
            spot = spot_in(largest_piece(f.region)) or box.centre
            deep = allowed.depth(recipe)
            yield Wanted(insert.name, f.name, Kind.DEPTH, f"{said}, depth", f.depth_mm, deep, spot, f.face)
