"""A snow crystal: arms with pairs of branches round a plate."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, inf, pi, radians, sin, tan

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.region import Region
from generator.shapes.emblems.around import all_round, each_turned, polar
from generator.shapes.emblems.finish import corner_radius, finished, size
from generator.shapes.emblems.remedy import demand
from generator.shapes.emblems.twig import Branch, Twig, twig_chain
from generator.shapes.shape import Context, Shape

LEAN = radians(60.0)
"""Branches of a snow crystal leave its arm at 60 degrees, as its lattice asks."""


@frozen_record(kw_only=True)
class Snowflake:
    """A snow crystal with one arm upwards."""

    size: float = size("Diameter of the circle round it.")
    arms: int = f.count("Number of arms; nature knows six.", default=6, at_least=3, at_most=12, example=6)
    branches: int = f.count("Pairs of branches on an arm.", default=3, at_least=0, at_most=8, example=3)
    line: float | None = f.length(
        "Width of every line; without it 0.036 of the size.", default=None, above=0, at_most=200, example=1.4
    )
    plate: float = f.number(
        "Plate in the middle, across corners, as a share of the size; 0 for none.",
        default=0.26,
        at_least=0,
        at_most=0.6,
        example=0.26,
    )
    corner_radius: float = corner_radius()


def draw(params: Snowflake, context: Context) -> Region:
    """Return the crystal.

    Raises: GeometryError: the line is too wide or the corner radius does not fit; says what would.
    """
    return finished(params, _sharp)


def _sharp(params: Snowflake) -> list[Contour]:
    line = 0.036 * params.size if params.line is None else params.line
    half, reach = pi / params.arms, params.size / 2.0
    demand(line < 0.5 * reach * sin(half), "line", line, "leaves no gap between the arms")
    plate = params.plate * reach * cos(half)  # to its flats
    meet = line / 2.0 / sin(half)  # where two arms without a plate meet
    flat = plate > line / 2.0 * cos(half) / sin(half) * 1.05
    start = plate / cos(half) - line / 2.0 * tan(half) if flat else meet * cos(half)
    arm = twig_chain(Twig(start, reach, line), _branches(params, line, start))
    # without a plate the sides of neighbouring arms end in one point
    contours = [_upwards(all_round(arm if flat else arm[:-1], params.arms))]
    inner = plate - line
    if flat and inner > 0.5 * line:
        hole = [polar(inner / cos(half), 2.0 * half * k) for k in range(params.arms)]
        contours += [c.reversed() for c in each_turned(hole, 1, pi / 2.0)]
    return contours


def _upwards(contour: Contour) -> Contour:
    return each_turned(contour.vertices, 1, pi / 2.0)[0]


def _branches(params: Snowflake, line: float, start: float) -> Sequence[Branch]:
    """Return the branches, evenly along the arm, no longer than the arms beside and the rim of the crystal allow.

    Those that would be too short to stand out are left out.
    """
    n, reach, half = params.branches, params.size / 2.0, pi / params.arms
    # the far corner, its rounding, and the round end
    least = line / 2.0 * ((1.0 + cos(LEAN)) / sin(LEAN) + 1.0) + 1.05 * params.corner_radius / tan(LEAN / 2.0)
    found = []
    for k in range(n):
        at = start + (reach - start) * (k + 0.55) / (n + 0.75)
        slack = sin(LEAN) - cos(LEAN) * tan(half)
        beside = (at * tan(half) - 1.2 * line / cos(half)) / slack if slack > 1e-3 else inf
        length = min(0.62 * (reach - at), beside)
        if length > least:
            found.append(Branch(at, length, LEAN))
    return found


SHAPE = Shape("snowflake", Snowflake, draw, "A snow crystal with arms and branches.")
