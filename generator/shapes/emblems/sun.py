"""A sun: a disc with rays, straight ones and flames."""

from __future__ import annotations

from math import atan2, cos, pi, sin, tan

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Vertex
from generator.outline.create import circle
from generator.outline.region import Region
from generator.shapes.emblems.around import all_round, polar, turned_chain
from generator.shapes.emblems.finish import corner_radius, finished, rounding_of, size, tip_beyond
from generator.shapes.emblems.remedy import demand
from generator.shapes.shape import Context, Shape

STRAIGHT, FLAMES, BOTH = "straight", "flames", "both"
SWING = 0.24
"""Bulge of the two halves of a flame's sides (chosen by eye)."""
SECOND = 0.88
"""Length of the flames among straight rays as a share of theirs (chosen by eye)."""


@frozen_record(kw_only=True)
class Sun:
    """A sun with one ray upwards."""

    size: float = size("Diameter of the circle through the rays, as rounded; flames may end a little short of it.")
    rays: int = f.count(
        "Number of rays; an even number if there are both kinds.", default=16, at_least=4, at_most=60, example=16
    )
    kind: str = f.word(
        "`straight` rays, `flames`, or `both` in turn.", (STRAIGHT, FLAMES, BOTH), default=BOTH, example=BOTH
    )
    disc: float = f.number(
        "Disc in the middle as a share of the size.", default=0.46, at_least=0.2, at_most=0.85, example=0.46
    )
    foot: float = f.number(
        "Width of a ray at the disc as a share of the room for it.", default=1.0, at_least=0.2, at_most=1, example=1
    )
    hole: float = f.length(
        "Diameter of a round hole in the disc, 0 for none.", default=0.0, at_least=0, at_most=2000, example=8
    )
    corner_radius: float = corner_radius()


def draw(params: Sun, context: Context) -> Region:
    """Return the sun.

    Raises: GeometryError: the hole or the corner radius does not fit; says what would.
    """
    return finished(params, _sharp)


def _sharp(params: Sun) -> list[Contour]:
    pitch, disc = 2.0 * pi / params.rays, params.disc * params.size / 2.0
    kinds = (STRAIGHT, FLAMES) if params.kind == BOTH and params.rays % 2 == 0 else (params.kind,)
    chain: list[Vertex] = []
    for k, kind in enumerate(kinds):
        share = SECOND if k else 1.0
        chain += turned_chain(_ray(params, disc, share, flame=kind != STRAIGHT), pi / 2.0 + k * pitch)
    contours = [all_round(chain, params.rays // len(kinds))]
    if params.hole:
        demand(params.hole < 2.0 * disc, "hole", params.hole, "leaves nothing of the disc")
        contours.append(circle((0.0, 0.0), params.hole / 2.0).reversed())
    return contours


def _ray(params: Sun, disc: float, share: float, *, flame: bool) -> list[Vertex]:
    """Return the ray along +x from its right foot over the tip to its left foot, and the piece of disc behind it."""
    pitch = 2.0 * pi / params.rays
    half = params.foot * pitch / 2.0
    right, left = polar(disc, -half), polar(disc, half)
    radius = rounding_of(params)
    tip = _sharp_tip(share * params.size / 2.0, disc, half, radius)
    top = Vertex(tip, 0.0)
    gap = pitch - 2.0 * half
    behind = [left._replace(bulge=tan(gap / 4.0))] if gap > 1e-9 else []
    if not flame:
        return [right, top, *behind] if behind else [right, top]
    out = [right._replace(bulge=SWING), _middle(right, top, -SWING)]
    back = [top._replace(bulge=SWING), _middle(top, left, -SWING)]
    return [*out, *back, *behind]


def _middle(a: Vertex, b: Vertex, bulge: float) -> Vertex:
    return Vertex((a.x + b.x) / 2.0, (a.y + b.y) / 2.0, bulge)


def _sharp_tip(rounded_mm: float, disc: float, half: float, radius_mm: float) -> float:
    """Return where the sharp tip lies so that the rounded one lies at ``rounded_mm``."""
    tip = rounded_mm
    for _ in range(40 if radius_mm else 0):
        along = tip - disc * cos(half)
        tip = min(rounded_mm + tip_beyond(atan2(disc * sin(half), along), radius_mm), 4.0 * rounded_mm)
    return tip


SHAPE = Shape("sun", Sun, draw, "A sun with straight rays and flames.")
