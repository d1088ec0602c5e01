"""An outer shape that is a polygon with sides in even directions, its corners rounded."""

from __future__ import annotations

from itertools import combinations
from math import pi

import numpy as np

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Point
from generator.outline.region import Region
from generator.outline.transform import moved
from generator.shapes.outer.keep import Keep, box_middle, keep_round, margin_field
from generator.shapes.outer.rounds import (
    Rounds,
    band_round,
    half_planes,
    outline_of,
    reach_of,
    rounds_of_points,
)
from generator.shapes.outer.sizes import Sizes, fitted
from generator.shapes.outer.smallest import smallest
from generator.shapes.shape import OUTER, Context, Shape

REGULAR, CLOSE = "regular", "close"


@frozen_record(kw_only=True)
class RoundedPolygon:
    """A polygon whose sides lie against the original's margin."""

    margin: float = margin_field()
    count: int = f.count("Number of sides.", default=6, at_least=3, at_most=24, example=8)
    turn: float = f.angle("Where the first side faces.", default=pi / 2.0, example=90)
    corner_radius: float | None = f.length(
        "Radius of the corners; without it, the margin.", default=None, above=0, at_most=1000, example=10
    )
    sides: str = f.word(
        "`regular`: all sides are as long as each other; `close`: each side lies as close to the original as the "
        "margin allows.",
        (REGULAR, CLOSE),
        default=CLOSE,
        example=REGULAR,
    )
    across_flats: float | None = f.length(
        "Twice the distance from the middle to the sides (regular); without it, as small as the margin allows.",
        default=None,
        above=0,
        at_most=4000,
        example=110,
    )
    centre: tuple[float, float] | None = f.point(
        "Middle of a regular polygon; without it, where the smallest one lies.", default=None, example=[0, 0]
    )


def draw(params: RoundedPolygon, context: Context) -> Region:
    """Return the polygon.

    Raises: GeometryError: its size is too small for the margin, or its corners too large; says the smallest change.
    """
    keep = keep_round(context, params.margin, turn=params.turn, centre=params.centre, middle=box_middle)
    return fitted(params, keep, _outline, Sizes(("across_flats",), ("corner_radius", "count")))


def _outline(params: RoundedPolygon, keep: Keep) -> Contour:
    normals = [2.0 * pi * k / params.count for k in range(params.count)]
    band = band_round(keep)
    reaches = [reach_of(band, angle) for angle in normals]
    radius = params.corner_radius if params.corner_radius is not None else keep.margin
    middle = Point(0.0, 0.0)
    if params.sides == REGULAR or params.across_flats is not None:
        middle, least = (middle, max(reaches)) if params.centre is not None else _smallest_regular(normals, reaches)
        if params.across_flats is not None:
            inset = params.across_flats / 2.0 - radius
            return moved(outline_of(_polygon(normals, [inset] * len(normals), radius)), *middle)
        reaches = [least] * len(normals)

    def grown(by: float) -> Contour:
        insets = [r + keep.margin + by - radius for r in reaches]
        return moved(outline_of(_polygon(normals, insets, radius)), *middle)

    return grown(0.0 if radius <= keep.margin else smallest(grown, keep, 0.0))


def _polygon(normals: list[float], insets: list[float], radius: float) -> Rounds:
    return rounds_of_points(half_planes(normals, insets), radius)


def _smallest_regular(normals: list[float], reaches: list[float]) -> tuple[Point, float]:
    """Return middle and half the width across flats of the smallest regular polygon round it all.

    The least a with ``n·c + a ≥ reach`` for every side is taken where three sides bind (a linear programme in the
    plane); where several middles do, the middle of them is taken.
    """
    n = np.column_stack([np.cos(normals), np.sin(normals), np.ones(len(normals))])
    h = np.array(reaches)
    groups = np.array(list(combinations(range(len(normals)), 3)))
    matrices = n[groups]
    able = np.abs(np.linalg.det(matrices)) > 1e-9
    found = np.linalg.solve(matrices[able], h[groups[able]][..., None])[..., 0]
    sound = found[(found @ n.T >= h - 1e-9).all(axis=1)]
    least = float(sound[:, 2].min())
    best = sound[sound[:, 2] <= least + 1e-9]
    low, high = best.min(axis=0), best.max(axis=0)
    return Point(float(low[0] + high[0]) / 2.0, float(low[1] + high[1]) / 2.0), least


SHAPE = Shape(
    "rounded_polygon",
    RoundedPolygon,
    draw,
    "A polygon with sides in even directions, its corners rounded.",
    family=OUTER,
)
