"""Which characteristics a solid model carries with its faces: diameters of holes and seats, thickness, depths."""

from __future__ import annotations

from collections.abc import Iterator

from generator.estimate.characteristic import BLANK, Characteristic, Kind
from generator.estimate.characteristics import characteristics
from generator.outline.contour import Point
from generator.part.heights import level
from generator.part.part import Face, Part, Plan
from generator.part.relation import box_of
from generator.part.toleranced import Toleranced
from generator.recipe.model import Recipe

__all__ = ["toleranced_sizes"]


def toleranced_sizes(recipe: Recipe, plan: Plan) -> tuple[Toleranced, ...]:
    """Return the sizes of cover and inserts that a model can carry, in the order of their numbers."""
    return tuple(_sizes(recipe, plan))


def _sizes(recipe: Recipe, plan: Plan) -> Iterator[Toleranced]:
    parts = {part.name: part for part in plan.parts}
    for c in characteristics(recipe, plan):
        if c.part == BLANK:
            continue
        part = parts[c.part]
        if c.kind is Kind.DIAMETER and not c.is_outside:
            yield _size(c, _axes(c, part), is_diameter=True)
        elif c.kind is Kind.THICKNESS:
            yield _size(c, (c.place,), to_z=part.thickness_mm)
        elif c.kind is Kind.DEPTH:
            z = part.thickness_mm if c.face is Face.TOP else 0.0
            floor = level(z - c.nominal_mm if c.face is Face.TOP else c.nominal_mm)
            yield _size(c, _axes(c, part) if c.count > 1 else (c.place,), from_z=z, to_z=floor)


def _size(
    c: Characteristic, places: tuple[Point, ...], *, is_diameter: bool = False, from_z: float = 0.0, to_z: float = 0.0
) -> Toleranced:
    lower, upper = level(c.lower_mm - c.nominal_mm), level(c.upper_mm - c.nominal_mm)
    return Toleranced(c.number, c.part, c.what, is_diameter, c.nominal_mm, lower, upper, places, from_z, to_z)


def _axes(c: Characteristic, part: Part) -> tuple[Point, ...]:
    """Return the middles of all features that are alike; of an insert's hole, which is no feature, the one place."""
    regions = {f.name: f.region for f in part.features}
    if all(name in regions for name in c.features):
        return tuple(box_of(regions[name]).centre for name in c.features)
    return (c.place,)
