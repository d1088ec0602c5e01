"""An outer shape that follows a band stretched round the original, its straight sides bent inwards."""

from __future__ import annotations

from math import pi

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.region import Region
from generator.shapes.outer.keep import Keep, box_middle, keep_round, margin_field
from generator.shapes.outer.rounds import (
    Rounds,
    band_round,
    grown,
    half_planes,
    outline_of,
    reach_of,
    rounds_of_points,
    side_lengths,
)
from generator.shapes.outer.sizes import Sizes, fitted
from generator.shapes.outer.smallest import smallest
from generator.shapes.shape import OUTER, Context, Shape

DEEP = 0.1
"""Depth of the hollow of the longest side as a share of its length, where no radius is given (chosen by eye)."""
LONG = 0.25
"""Sides shorter than this share of the longest extent stay straight."""
BOX = 4
"""Sides of what bounds an original that has no long sides itself."""


@frozen_record(kw_only=True)
class HollowHull:
    """Round corners and hollow sides."""

    margin: float = margin_field()
    hollow_radius: float | None = f.length(
        "Radius of the hollow sides; without it, the longest side is bent inwards by a tenth of its length.",
        default=None,
        above=0,
        at_most=20_000,
        example=120,
    )
    count: int | None = f.count(
        "Bound the original by so many sides in even directions first; without it, the band's own long sides are bent, "
        "or four where it has none.",
        default=None,
        at_least=3,
        at_most=12,
        example=4,
    )
    turn: float = f.angle("Where the first of `count` sides faces.", default=pi / 2.0, example=90)
    corner_radius: float | None = f.length(
        "Radius of the corners between `count` sides; without it, the margin.",
        default=None,
        above=0,
        at_most=1000,
        example=9,
    )


def draw(params: HollowHull, context: Context) -> Region:
    """Return the band with hollow sides, grown until the hollows keep the margin too.

    Raises: GeometryError: the hollow sides do not fit; says the least radius that does.
    """
    keep = keep_round(context, params.margin, turn=params.turn, middle=box_middle)
    return fitted(params, keep, _outline, Sizes(("hollow_radius",), ("corner_radius", "count")))


def _outline(params: HollowHull, keep: Keep) -> Contour:
    band = band_round(keep)
    longest = max(keep.box.width_mm, keep.box.height_mm)
    base, bent = grown(band, keep.margin), _long_sides(band, LONG * longest)
    radius = params.corner_radius if params.corner_radius is not None else keep.margin
    count = params.count or (0 if bent else BOX)
    if count:
        base = _bounded(band, count, keep.margin, radius)
        bent = _long_sides(base, LONG * longest)

    def hollowed(by: float) -> Contour:
        rounds = grown(base, by)
        return outline_of(rounds, [(i, _radius(params, rounds, bent)) for i in bent])

    return hollowed(smallest(hollowed, keep, 0.0, step=1.0))


def _long_sides(rounds: Rounds, least: float) -> list[int]:
    return [i for i, length in enumerate(side_lengths(rounds)) if length > least]


def _bounded(band: Rounds, count: int, margin: float, radius: float) -> Rounds:
    """Return the polygon of ``count`` sides that bounds the band grown by the margin, its corners rounded."""
    normals = [2.0 * pi * k / count for k in range(count)]
    insets = [reach_of(band, angle) + margin - radius for angle in normals]
    return rounds_of_points(half_planes(normals, insets), radius)


def _radius(params: HollowHull, rounds: Rounds, bent: list[int]) -> float:
    """Return the radius of the hollow sides, mm.

    A side of length 2a between rounds of radius r, bent inwards by d: its circle of radius q - r is q = (a² + d²) / 2d
    away from the rounds' centres (equal rounds; for others nearly so).
    """
    if params.hollow_radius is not None:
        return params.hollow_radius
    lengths = side_lengths(rounds)
    longest = max(bent, key=lambda i: lengths[i])
    a, d = lengths[longest] / 2.0, DEEP * lengths[longest]
    r = (rounds[longest].radius + rounds[(longest + 1) % len(rounds)].radius) / 2.0
    return max((a * a + d * d) / (2.0 * d) - r, a)


SHAPE = Shape(
    "hollow_hull",
    HollowHull,
    draw,
    "A band stretched round the original, its straight sides bent inwards.",
    family=OUTER,
)
