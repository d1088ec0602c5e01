"""A laurel wreath: two branches that rise from below and leave an opening above, with room for letters inside."""

from __future__ import annotations

from math import cos, pi, radians, sin

import numpy as np

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.combine import union
from generator.outline.contour import Contour, Vertex
from generator.outline.create import arc_slot
from generator.outline.distance import boundary_points
from generator.outline.region import Region
from generator.outline.transform import ACROSS_Y, mirrored
from generator.shapes.emblems.around import polar
from generator.shapes.emblems.finish import corner_radius, finished, size
from generator.shapes.shape import Context, Shape

FOOT = radians(7.0)
"""Where the branches begin, from straight below (chosen by eye)."""
LENGTH = 0.97
"""Length of a leaf over the distance from pair to pair (chosen by eye)."""
SPLAY = radians(44.0)
"""How far leaves lean away from the branch (chosen by eye)."""
BELLY = 0.37
"""Bulge of both sides of a leaf: its width over its length (chosen by eye)."""


@frozen_record(kw_only=True)
class Laurel:
    """A wreath of two branches, mirror images of each other."""

    size: float = size("Diameter of the circle round the leaves, before their tips are rounded.")
    pairs: int = f.count("Pairs of leaves on each branch.", default=6, at_least=2, at_most=24, example=6)
    opening: float = f.angle(
        "Opening above, between the ends of the two branches, seen from the middle.",
        default=radians(40.0),
        at_least=0,
        at_most=240,
        example=40,
    )
    stem: float | None = f.length(
        "Width of the branches; without it 0.026 of the size, or as the corner radius asks.",
        default=None,
        above=0,
        at_most=200,
        example=1,
    )
    corner_radius: float = corner_radius()


def draw(params: Laurel, context: Context) -> Region:
    """Return the wreath.

    Raises: GeometryError: the corner radius does not fit; says which does.
    """
    return finished(params, _sharp)


def _sharp(params: Laurel) -> list[Contour]:
    full = params.size / 2.0
    stem = max(0.026 * params.size, 2.1 * params.corner_radius) if params.stem is None else params.stem
    span = pi - params.opening / 2.0 - FOOT
    pitch = span / (params.pairs + 1.45)  # a foot of half a pitch, the pairs, and the leaf at the end
    middle = full / _reach_share(pitch)
    length = LENGTH * pitch * middle
    first = FOOT - pi / 2.0
    end = first + pitch * (params.pairs + 0.4)
    parts = [Region((arc_slot((0.0, 0.0), middle, first, end - first, stem),))]
    for k in range(params.pairs):
        at = first + pitch * (k + 0.4)
        for lean in (SPLAY, -SPLAY):
            parts.append(Region((_leaf(polar(middle, at), at + pi / 2.0 - lean, length),)))
    foot = end - min(1.2 * stem / middle, pitch / 2.0)  # so that the leaf is as wide as the branch where that ends
    parts.append(Region((_leaf(polar(middle, foot), foot + pi / 2.0 + pitch / 2.0, length),)))
    branch = union(*parts)
    return [*branch, *mirrored(branch, ACROSS_Y)]


def _reach_share(pitch: float) -> float:
    """Return how far the outer leaves reach over the radius of the branch."""
    leaf = _leaf(polar(1.0, 0.0), pi / 2.0 - SPLAY, LENGTH * pitch)
    points = boundary_points(leaf, LENGTH * pitch / 100.0)
    return float(np.hypot(points[:, 0], points[:, 1]).max())


def _leaf(foot: Vertex, direction: float, length: float) -> Contour:
    tip = Vertex(foot.x + length * cos(direction), foot.y + length * sin(direction), BELLY)
    return Contour((foot._replace(bulge=BELLY), tip))


SHAPE = Shape("laurel", Laurel, draw, "A laurel wreath with an opening above.")
