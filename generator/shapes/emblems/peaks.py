"""Mountains in a ring: a ridge with snow on its peaks, and a sun or moon above."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from generator.base import fields as f
from generator.outline.combine import intersection, union
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
SNOW = ((-1.0, 0.28), (-0.2, 0.42), (0.26, 0.28), (1.0, 0.33))
"""Lower edge of the snow: across as a share of the peak's half width there, and down from the peak as a share of the
inside radius (own drawing)."""
SUN_AT, SUN = (-0.5, 0.47), 0.15
"""Place and radius of the sun as shares of the inside radius; opposite the highest peak (own drawing)."""


@dataclass(frozen=True, kw_only=True)
class Peaks:
    """Mountains within a ring."""

    size: float = size("Outside diameter of the ring.")
    peaks: int = f.count("Number of peaks.", default=3, at_least=1, at_most=3, example=3)
    ring: float | None = f.length(
        "Width of the ring; without it 0.045 of the size.", default=None, above=0, at_most=500, example=1.8
    )
    line: float | None = f.length(
        "About the width of the gap between snow and rock; without it 0.03 of the size, or as the corner radius asks.",
        default=None,
        above=0,
        at_most=200,
        example=1.2,
    )
    snow: bool = f.flag("Snow lies on the highest peak, parted from the rock.", default=True, example=True)
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
    line = max(0.03 * params.size, 2.1 * params.corner_radius) if params.line is None else params.line
    inside = full - wide
    demand(line < 0.15 * inside, "line", line, "is wider than the snow is high")
    ridge = [(x * inside, y * inside) for x, y in RIDGES[params.peaks]]
    top = max(range(len(ridge)), key=lambda k: ridge[k][1])
    disc = Region((circle((0.0, 0.0), full - wide / 2.0),))
    whole = union(ring((0.0, 0.0), full, inside), intersection(_rock(params, ridge, top, inside, line), disc))
    loose = [polygon([ridge[top], *_snow_edge(ridge, top, inside, 0.0)])] if params.snow else []
    if params.sun:
        x, y = SUN_AT if ridge[top][0] >= 0.0 else (-SUN_AT[0], SUN_AT[1])
        loose.append(circle((x * inside, y * inside), SUN * inside))
    return [*whole, *loose]


def _rock(params: Peaks, ridge: Points, top: int, inside: float, line: float) -> Region:
    below = [(1.3 * inside, -1.3 * inside), (-1.3 * inside, -1.3 * inside)]
    crest = _snow_edge(ridge, top, inside, 1.9 * line) if params.snow else [ridge[top]]
    return Region((polygon([*ridge[:top], *crest, *ridge[top + 1 :], *below]),))


def _snow_edge(ridge: Points, top: int, inside: float, lower: float) -> Points:
    """Return the edge of the snow from flank to flank, shifted down by ``lower`` and still ending on the flanks."""
    (px, py), left, right = ridge[top], ridge[top - 1], ridge[top + 1]
    spread = [(left[0] - px) / (py - left[1]), (right[0] - px) / (py - right[1])]  # across for each step down
    points = []
    for share, down in SNOW:
        depth = down * inside
        points.append((px + abs(share) * depth * (spread[0] if share < 0.0 else spread[1]), py - depth - lower))
    first = _onto_flank((px, py), spread[0], points[0], points[1])
    last = _onto_flank((px, py), spread[1], points[-1], points[-2])
    return [first, *points[1:-1], last]


def _onto_flank(
    peak: tuple[float, float], spread: float, p: tuple[float, float], q: tuple[float, float]
) -> tuple[float, float]:
    """Return where the line from q through p meets the flank ``x = peak.x + spread · (peak.y - y)``."""
    ux, uy = p[0] - q[0], p[1] - q[1]
    t = (peak[0] + spread * (peak[1] - q[1]) - q[0]) / (ux + spread * uy)
    return (q[0] + t * ux, q[1] + t * uy)


SHAPE = Shape("peaks", Peaks, draw, "Mountains in a ring, with snow and a sun.")
