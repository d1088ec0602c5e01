"""Mountains in a ring: a ridge with snow on its peaks, and a sun or moon above."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.combine import difference, intersection, union
from generator.outline.contour import Contour
from generator.outline.create import circle, polygon, ring
from generator.outline.region import Region
from generator.shapes.emblems.finish import corner_radius, finished, size
from generator.shapes.emblems.remedy import demand
from generator.shapes.shape import Context, Shape

Points = Sequence[tuple[float, float]]

RIDGES: dict[int, Points] = {
    1: ((-1.3, -0.9), (0.0, 0.56), (1.3, -0.9)),
    2: ((-1.3, -0.75), (-0.3, 0.54), (0.16, -0.1), (0.46, 0.2), (1.3, -0.86)),
    3: ((-1.3, -0.7), (-0.6, 0.1), (-0.38, -0.14), (0.06, 0.56), (0.5, -0.04), (0.66, 0.12), (1.3, -0.7)),
}
"""Corners of the ridge as shares of the inside radius (own drawing)."""
SNOW = ((-1.0, 0.4), (-0.3, 0.54), (0.2, 0.38), (0.52, 0.52), (1.0, 0.42))
"""Lower edge of the snow: across as a share of the peak's half width there, and down from the peak as a share of the
inside radius (own drawing)."""
SUN_AT, SUN = (-0.5, 0.47), 0.15
"""Place and radius of the sun as shares of the inside radius; opposite the highest peak (own drawing)."""


@frozen_record(kw_only=True)
class Peaks:
    """Mountains within a ring."""

    size: float = size("Outside diameter of the ring.")
    peaks: int = f.count("Number of peaks.", default=3, at_least=1, at_most=3, example=3)
    ring: float | None = f.length(
        "Width of the ring; without it 0.045 of the size.", default=None, above=0, at_most=500, example=1.8
    )
    line: float | None = f.length(
        "Width of the line of rock round the snow; without it 0.03 of the size, or as the corner radius asks.",
        default=None,
        above=0,
        at_most=200,
        example=1.2,
    )
    snow: bool = f.flag(
        "Snow lies on the highest peak: it is left open, with a line of rock round it, so that nothing is loose.",
        default=True,
        example=True,
    )
    sun: bool = f.flag("A sun stands above the ridge.", default=True, example=True)
    corner_radius: float = corner_radius()


def draw(params: Peaks, context: Context) -> Region:
    """Return ring, mountains and sun.

    Raises: GeometryError: ring, line or corner radius do not fit; says what would.
    """
    return finished(params, _sharp)


def _sharp(params: Peaks) -> list[Contour]:
    full = params.size / 2.0
    wide = 0.045 * params.size if params.ring is None else params.ring
    demand(wide < 0.4 * full, "ring", wide, "leaves no room inside")
    inside = full - wide
    ridge = [(x * inside, y * inside) for x, y in RIDGES[params.peaks]]
    top = max(range(len(ridge)), key=lambda k: ridge[k][1])
    disc = Region((circle((0.0, 0.0), full - wide / 2.0),))
    below = [(1.3 * inside, -1.3 * inside), (-1.3 * inside, -1.3 * inside)]
    rock = Region((polygon([*ridge, *below]),))
    whole = union(ring((0.0, 0.0), full, inside), intersection(rock, disc))
    if params.snow:
        line = max(0.03 * params.size, 2.1 * params.corner_radius) if params.line is None else params.line
        whole = difference(whole, Region((_snow(ridge, top, inside, line),)))
    if not params.sun:
        return [*whole]
    x, y = SUN_AT if ridge[top][0] >= 0.0 else (-SUN_AT[0], SUN_AT[1])
    return [*whole, circle((x * inside, y * inside), SUN * inside)]


def _snow(ridge: Points, top: int, inside: float, line: float) -> Contour:
    """Return the snow on the highest peak: within its flanks by the width of the line, down to an uneven edge.

    With s across for each step down a flank, the flanks shifted inwards by the line meet lower by
    ``line (sqrt(1 + s1²) + sqrt(1 + s2²)) / (s2 - s1)``.
    """
    (px, py), left, right = ridge[top], ridge[top - 1], ridge[top + 1]
    s1, s2 = (left[0] - px) / (py - left[1]), (right[0] - px) / (py - right[1])
    lower = line * (hypot(1.0, s1) + hypot(1.0, s2)) / (s2 - s1)
    demand(lower < 0.7 * inside * min(down for _, down in SNOW), "line", line, "leaves no snow between the flanks")
    x, y = px + s1 * lower + line * hypot(1.0, s1), py - lower
    edge = []
    for share, down in SNOW:
        depth = down * inside - lower
        edge.append((x + abs(share) * depth * (s1 if share < 0.0 else s2), y - depth))
    return polygon([(x, y), *edge])


SHAPE = Shape("peaks", Peaks, draw, "Mountains in a ring, with snow and a sun.")
