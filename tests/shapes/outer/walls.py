"""The eight originals as outer shapes see them, and how their wall is measured twice: exactly, and by facets."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import yaml
from shapely.geometry import Point as Spot

from generator.outline.combine import union
from generator.outline.contour import Point
from generator.outline.create import circle
from generator.outline.distance import boundary_distance
from generator.outline.offset import offset_region
from generator.outline.predicates import contains_region, tangent_joints
from generator.outline.region import Region
from generator.shapes.shape import Context
from tests.shapes.oracle import polygon_of
from tests.shapes.recipe_form import drawn
from tests.shapes.test_originals import bolts_of

FOLDER = Path(__file__).parents[2] / "data" / "originals"
NAMES = sorted(p.stem for p in FOLDER.glob("*.json"))
SEAT_MM = 7.5
"""Radius of every seat; some reach over the footprint."""


@cache
def around(name: str, seat_mm: float = SEAT_MM) -> Context:
    recipe = yaml.safe_load((FOLDER / f"{name}.yaml").read_text())["original"]
    footprint = drawn(recipe["footprint"])
    rims = tuple((Point(float(x), float(y)), seat_mm) for x, y, _ in bolts_of(recipe))
    return Context(footprint=footprint, pocket=offset_region(footprint, 0.3), seats=rims)


@cache
def enclosed(name: str) -> Region:
    context = around(name)
    return union(context.pocket, *(Region.of([circle(at, r)]) for at, r in context.seats))


def exact_wall(outer: Region, name: str) -> float:
    """The least wall by the kernel's closed form; -1 when something sticks out."""
    inner = enclosed(name)
    return boundary_distance(outer, inner).distance_mm if contains_region(outer, inner) else -1.0


def facet_wall(outer: Region, name: str) -> float:
    """The same by fine facets and an independent library, wrong by a few facets' sags (0.1 µm each) at most."""
    context, shape = around(name), polygon_of(outer)
    pocket = polygon_of(context.pocket)
    if not shape.contains(pocket) or not all(shape.contains(Spot(*at)) for at, _ in context.seats):
        return -1.0
    seats = [shape.boundary.distance(Spot(*at)) - r for at, r in context.seats]
    return min([shape.boundary.distance(pocket), *seats])


def smooth(outer: Region) -> bool:
    return all(tangent_joints(c).all() for c in outer)
