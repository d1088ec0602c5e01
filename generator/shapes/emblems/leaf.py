"""A leaf with veins cut through it and a stalk."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, cos, pi, radians, sin, tan

import numpy as np

from generator.base import fields as f
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Vertex
from generator.outline.distance import points_distance
from generator.outline.region import Region
from generator.shapes.emblems.around import each_turned
from generator.shapes.emblems.finish import corner_radius, finished, size
from generator.shapes.emblems.remedy import demand
from generator.shapes.emblems.twig import Branch, Twig, twig_chain
from generator.shapes.shape import Context, Shape

WIDEST_AT = 0.36
"""Where the blade is widest, from its foot, as a share of its length (chosen by eye)."""
TIP = radians(17.0)
"""Half the angle of the tip (chosen by eye)."""
LEAN = radians(42.0)
"""How far side veins lean from the middle one (chosen by eye)."""
SAMPLES = 257
"""Places tried along a vein."""


@frozen_record(kw_only=True)
class Leaf:
    """A leaf that points upwards."""

    size: float = size("Length over all, along y: blade and stalk, before the tip is rounded.")
    width: float = f.number(
        "Width of the blade as a share of the size.", default=0.46, at_least=0.15, at_most=0.9, example=0.46
    )
    stalk: float = f.number(
        "Length of the stalk as a share of the size; 0 for none.", default=0.2, at_least=0, at_most=0.5, example=0.2
    )
    veins: int = f.count(
        "Pairs of side veins that leave the middle vein; no more than the blade has room for.",
        default=4,
        at_least=0,
        at_most=14,
        example=4,
    )
    middle_vein: bool = f.flag("The veins are cut through the blade.", default=True, example=True)
    line: float | None = f.length(
        "Width of veins and stalk; without it 0.032 of the size, or as the corner radius asks.",
        default=None,
        above=0,
        at_most=200,
        example=1.3,
    )
    corner_radius: float = corner_radius()


def draw(params: Leaf, context: Context) -> Region:
    """Return the leaf, one piece, the mirror image of itself in the y axis.

    Raises: GeometryError: the line or the corner radius does not fit; says what would.
    """
    return finished(params, _sharp)


def _sharp(params: Leaf) -> list[Contour]:
    line = max(0.032 * params.size, 2.1 * params.corner_radius) if params.line is None else params.line
    demand(line < 0.3 * params.width * params.size, "line", line, "is too wide for the blade")
    stalk = params.stalk * params.size
    blade = _Blade(params.size - stalk, params.width * params.size / 2.0)
    contours = [_upright(blade.outline(stalk, 1.3 * line), stalk, params.size)]
    if params.middle_vein:
        veins = _veins(params, blade, line)
        contours += [_upright(veins, stalk, params.size).reversed()] if veins else []
    return contours


def _upright(chain: Sequence[Vertex], stalk: float, length: float) -> Contour:
    """Return the outline drawn along +x from the blade's foot, turned upwards with its middle at the origin."""
    moved = [Vertex(v.x + stalk - length / 2.0, v.y, v.bulge) for v in chain]
    return each_turned(moved, 1, pi / 2.0)[0]


@frozen_record
class _Blade:
    """A blade along +x from its foot at the origin: on each side a belly and a hollow before the tip, all tangent."""

    length: float
    half: float

    def outline(self, stalk: float, wide: float) -> list[Vertex]:
        """Return the outline, counter-clockwise, with a stalk that runs into the foot."""
        widest = WIDEST_AT * self.length
        radius = (widest * widest + self.half * self.half) / (2.0 * self.half)
        entry = widest - (radius * radius - (radius - self.half + wide / 2.0) ** 2) ** 0.5 if stalk else 0.0
        rise = self.half - wide / 2.0 if stalk else self.half
        lower = Vertex(entry, rise - self.half, tan(atan2(rise, widest - entry) / 2.0))
        side = [lower, *self._towards_tip(Vertex(widest, -self.half))]
        upper = [Vertex(v.x, -v.y, side[i - 1].bulge if i else 0.0) for i, v in enumerate(side)]
        if not stalk:
            upper = upper[1:]
        tip = Vertex(self.length, 0.0, side[-1].bulge)
        foot = [Vertex(-stalk, wide / 2.0), Vertex(-stalk, -wide / 2.0)] if stalk else []
        return [*foot, *side, tip, *reversed(upper)]

    def _towards_tip(self, start: Vertex) -> list[Vertex]:
        """Return two tangent arcs from the widest place (running along +x) to the tip (at half the tip's angle).

        The legs of both arcs are equal: ``v² - 2 d v·(u + w) - 2 d² (1 - u·w) = 0`` with the way v and the directions.
        """
        vx, vy = self.length - start.x, -start.y
        wx, wy = cos(TIP), sin(TIP)
        along, bend = vx * (1.0 + wx) + vy * wy, 1.0 - wx
        square = vx * vx + vy * vy
        d = square / (along + (along * along + 2.0 * bend * square) ** 0.5)
        jx, jy = start.x + d, start.y
        kx, ky = self.length - d * wx, -d * wy
        joint = Vertex((jx + kx) / 2.0, (jy + ky) / 2.0)
        first = atan2(joint.y - start.y, joint.x - start.x)
        last = TIP - atan2(-joint.y, self.length - joint.x)
        return [start._replace(bulge=tan(first / 2.0)), joint._replace(bulge=tan(last / 2.0))]


def _veins(params: Leaf, blade: _Blade, line: float) -> list[Vertex]:
    """Return the veins as one twig, closed at the foot; empty when the blade has no room for them."""
    edge = Contour(tuple(blade.outline(0.0, line)))
    wall = 1.3 * line + line / 2.0
    axis = blade.length * np.linspace(0.0, 1.0, SAMPLES)
    room = np.flatnonzero(points_distance(edge, np.column_stack([axis, 0.0 * axis])) > wall)
    if not len(room):
        return []
    start, end = float(axis[room[0]]), float(axis[room[-1]]) + line / 2.0
    if end - start < 4.0 * line:
        return []
    # the far corner of a branch, its rounding, and its round end
    c, s = cos(LEAN), sin(LEAN)
    least = line / 2.0 * ((1.0 + c) / s + 1.0) + 1.05 * params.corner_radius / tan(LEAN / 2.0)
    pairs = max(0, min(params.veins, int((end - start) * s / (2.2 * line) - 0.9)))
    pitch = (end - start) / (pairs + 0.9)
    branches = []
    for k in range(pairs):
        at = start + pitch * (k + 0.3)
        length = _reach(edge, at, blade.length, wall) + line / 2.0
        if length > least:
            branches.append(Branch(at, length, LEAN))
    chain = twig_chain(Twig(start, end, line), branches)
    return [*chain[:-1], chain[-1]._replace(bulge=1.0)]


def _reach(edge: Contour, at: float, far: float, wall: float) -> float:
    """Return how far a side vein's middle line may run from ``at`` to keep its distance from the edge."""
    t = far * np.linspace(0.0, 1.0, SAMPLES)
    points = np.column_stack([at + t * cos(LEAN), t * sin(LEAN)])
    near = np.flatnonzero(points_distance(edge, points) < wall)
    return float(t[max(int(near[0]) - 1, 0)]) if len(near) else 0.0


SHAPE = Shape("leaf", Leaf, draw, "A leaf with veins and a stalk.")
