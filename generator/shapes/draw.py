"""Draw an outline as a recipe describes it: its kind, then what is done to it.

The order never changes: mirror, add, cut, round corners, grow, turn, move.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from generator.base.errors import ContourError, GeometryError
from generator.base.fields import OutlineSpec
from generator.outline.combine import difference, union
from generator.outline.offset import offset_region
from generator.outline.predicates import explain_contour
from generator.outline.region import Region
from generator.outline.rounding import rounded
from generator.outline.transform import ACROSS_X, ACROSS_Y, mirrored, moved, turned
from generator.shapes import SHAPES
from generator.shapes.registry import Registered
from generator.shapes.shape import Context

DEEPEST = 40
"""Outlines within outlines go no deeper than this (chosen: far beyond any bracket, far within the stack)."""


def draw_outline(spec: OutlineSpec, context: Context, *, depth: int = 0) -> Region:
    """Return the region that ``spec`` describes, valid: contours simple, outer ones counter-clockwise.

    Args:
        spec: the outline as read from a recipe.
        context: what shapes may ask for beyond their own numbers.
        depth: how many outlines this one lies within.

    Raises:
        GeometryError: it cannot be drawn; carries the recipe path, says the figures and what would do.
        ContourError: what was drawn crosses itself or has no area; carries the segment's number and the point too.
    """
    if depth > DEEPEST:
        raise GeometryError(f"outlines lie more than {DEEPEST} deep within each other", path=spec.path)
    inner = replace(context, nested=partial(draw_outline, context=context, depth=depth + 1))
    try:
        plain = shape_named(spec.kind).draw(spec.params, inner)
        demand_valid(plain)
        region = _modified(spec, plain, inner)
        if region is not plain:
            demand_valid(region)
    except GeometryError as error:
        raise _located(error, spec) from error
    return region


def shape_named(kind: str) -> Registered:
    """Return the registered shape called ``kind``.

    Raises: GeometryError: there is none.
    """
    for shape in SHAPES:
        if shape.name == kind:
            return shape
    raise GeometryError(f"no outline is called {kind!r}; there are: {', '.join(s.name for s in SHAPES)}")


def demand_valid(region: Region) -> None:
    """Return quietly if the region has area and every contour is closed, simple and not degenerate.

    Raises: ContourError: one is not, or nothing is left; carries the contour's number, the segment and the point.
    """
    if not region:
        raise ContourError("nothing is left of the outline: it has no area")
    for number, contour in enumerate(region):
        problem = explain_contour(contour)
        if problem is not None:
            raise ContourError(
                f"the outline is not sound: {problem.message}; change what lies there",
                contour=str(number),
                segment=problem.segment,
                point_mm=problem.point,
            )


def _modified(spec: OutlineSpec, region: Region, context: Context) -> Region:
    """Return the region with the modifiers of ``spec`` applied, in their order."""
    if spec.mirror in ("x", "both"):
        region = union(region, mirrored(region, ACROSS_X))
    if spec.mirror in ("y", "both"):
        region = union(region, mirrored(region, ACROSS_Y))
    if spec.add:
        region = union(region, *(context.nested(o) for o in spec.add))
    if spec.cut:
        region = difference(region, *(context.nested(o) for o in spec.cut))
    if spec.round_corners_mm:
        region = Region.of(rounded(c, spec.round_corners_mm) for c in region)
    if spec.grow_mm:
        region = offset_region(region, spec.grow_mm)
    if spec.turn_rad:
        region = turned(region, spec.turn_rad)
    if spec.at_mm != (0.0, 0.0):
        region = moved(region, *spec.at_mm)
    return region


def _located(error: GeometryError, spec: OutlineSpec) -> GeometryError:
    """Return ``error`` with the recipe path of the innermost outline it came from; all else is kept."""
    return error.placed(error.path or (f"{spec.path}.{spec.kind}" if spec.path else spec.kind))
