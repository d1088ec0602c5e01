"""A twig: a straight stroke with a round end and pairs of branches, the pattern of crystals and of veins."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, sin
from typing import NamedTuple

from generator.outline.contour import Vertex


class Twig(NamedTuple):
    """A stroke along +x: where its sides begin, where its round end reaches, its width; mm."""

    start: float
    reach: float
    width: float


class Branch(NamedTuple):
    """A pair of branches: where their middle lines leave the axis, how far they reach (mm), their lean (rad)."""

    at: float
    length: float
    lean: float


def twig_chain(twig: Twig, branches: Sequence[Branch]) -> list[Vertex]:
    """Return the outline from the lower side's start round the end to the upper side's start, counter-clockwise.

    Branches are as wide as the stroke, lean towards its end, and end round. They stand in order from the start and
    must not overlap.
    """
    half = twig.width / 2.0
    lower = [Vertex(twig.start, -half)]
    for b in branches:
        lower += _branch(b, half)
    tip = twig.reach - half
    upper = [Vertex(v.x, -v.y, lower[i - 1].bulge if i else 0.0) for i, v in enumerate(lower)]
    # mirrored and travelled back, a segment keeps the sign of its bulge
    return [*lower, Vertex(tip, -half, 1.0), Vertex(tip, half), *reversed(upper)]


def _branch(b: Branch, half: float) -> list[Vertex]:
    """Return the vertices of the lower branch, from the near corner round its end to the far corner."""
    c, s = cos(b.lean), sin(b.lean)
    near, far = half * (1.0 - c) / s, half * (1.0 + c) / s
    end = b.length - half
    return [
        _beside(b, near, -half),
        _beside(b, end, -half, 1.0),
        _beside(b, end, half),
        _beside(b, far, half),
    ]


def _beside(b: Branch, along: float, left: float, bulge: float = 0.0) -> Vertex:
    """Return the point ``along`` the lower branch and ``left`` of it."""
    c, s = cos(b.lean), sin(b.lean)
    return Vertex(b.at + along * c + left * s, -along * s + left * c, bulge)
