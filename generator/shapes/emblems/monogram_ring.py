"""A ring with openings and dots, and a thin ring inside: a frame with room for letters."""

from __future__ import annotations

from math import pi

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.create import arc_slot, circle, ring
from generator.outline.region import Region
from generator.shapes.emblems.around import polar
from generator.shapes.emblems.finish import corner_radius, finished, size
from generator.shapes.emblems.remedy import demand
from generator.shapes.shape import Context, Shape

ORIGIN = (0.0, 0.0)


@frozen_record(kw_only=True)
class MonogramRing:
    """A frame for letters."""

    size: float = size("Outside diameter.")
    ring: float | None = f.length(
        "Width of the outer ring; without it 0.055 of the size.", default=None, above=0, at_most=500, example=2.2
    )
    openings: int = f.count("Number of openings in the outer ring.", default=4, at_least=0, at_most=60, example=4)
    opening: float | None = f.length(
        "Width of an opening, along the middle of the ring; without it room for a dot with gaps of half its size.",
        default=None,
        above=0,
        at_most=2000,
        example=4.4,
    )
    first: float = f.angle(
        "Direction of the first opening, counter-clockwise from the x axis.", default=pi / 2.0, example=90
    )
    dots: bool = f.flag("A dot as wide as the ring stands in every opening.", default=True, example=True)
    line: float | None = f.length(
        "Width of the thin ring inside, 0 for none; without it 0.028 of the size.",
        default=None,
        at_least=0,
        at_most=500,
        example=1.1,
    )
    gap: float | None = f.length(
        "Gap between the two rings; without it 0.028 of the size.", default=None, above=0, at_most=500, example=1.1
    )
    corner_radius: float = corner_radius()


def draw(params: MonogramRing, context: Context) -> Region:
    """Return the rings and dots.

    Raises: GeometryError: a width leaves no room for another, or the corner radius does not fit; says what would.
    """
    return finished(params, _sharp)


def _sharp(params: MonogramRing) -> list[Contour]:
    wide = 0.055 * params.size if params.ring is None else params.ring
    demand(wide < 0.45 * params.size, "ring", wide, "leaves no room inside")
    contours = _outer(params, wide)
    line = 0.028 * params.size if params.line is None else params.line
    if line:
        gap = 0.028 * params.size if params.gap is None else params.gap
        room = params.size / 2.0 - wide
        demand(gap < 0.9 * room, "gap", gap, "leaves no room inside")
        demand(line < room - gap, "line", line, "leaves no room inside")
        contours += ring(ORIGIN, room - gap, room - gap - line)
    return contours


def _outer(params: MonogramRing, wide: float) -> list[Contour]:
    n, middle = params.openings, (params.size - wide) / 2.0
    if not n:
        return list(ring(ORIGIN, middle + wide / 2.0, middle - wide / 2.0))
    opening = 2.0 * wide if params.opening is None else params.opening
    # the round ends reach into the openings by half the width on both sides
    taken, pitch = (opening + wide) / middle, 2.0 * pi / n
    demand(taken < 0.999 * pitch, "opening", opening, "leaves nothing of the ring")
    demand(opening > wide or not params.dots, "opening", opening, "leaves no room for a dot")
    contours = []
    for k in range(n):
        at = params.first + k * pitch
        contours.append(arc_slot(ORIGIN, middle, at + taken / 2.0, pitch - taken, wide))
        if params.dots:
            contours.append(circle(polar(middle, at)[:2], wide / 2.0))
    return contours


SHAPE = Shape("monogram_ring", MonogramRing, draw, "A ring with openings and dots: a frame for letters.")
