"""Move the smooth joints of a traced chain to where the points on both sides are followed best.

A joint on a line moves along it; one between arcs moves across them and turns. One after the other they take a step of
least squares (Gauss and Newton), a few times round.
"""

from __future__ import annotations

from math import cos, hypot, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.artwork.picture_join import Carried, Chain, Joint, way
from generator.outline.contour import Point, Vertex
from generator.outline.spans import Floats

Bools = NDArray[np.bool_]

ROUNDS: Final = 3
STILL_PX: Final = 0.01
"""A joint that moved by less stays."""
PROBE_PX, PROBE_RAD = 0.02, 0.002
MOST_PX, MOST_RAD = 1.5, 0.15
"""Longest step at once."""


def polished(chain: Chain, which: Bools) -> Chain:
    """Return the chain with some of its smooth joints moved; corners, lines and the pieces' order stay.

    Args:
        chain: as found.
        which: joints that may move. An arc that touched two lines becomes two if those on the lines move.
    """
    joints = list(chain.joints)
    waiting = [k for k in np.flatnonzero(which).tolist() if joints[k].direction is not None]
    for _ in range(ROUNDS):
        moved = []
        for k in waiting:
            now, joints[k] = joints[k], _better(chain.pieces, joints, k)
            if hypot(joints[k].at.x - now.at.x, joints[k].at.y - now.at.y) > STILL_PX:
                moved.append(k)
        waiting = moved
    return Chain(chain.pieces, tuple(joints))


def _better(pieces: tuple[Carried, ...], joints: list[Joint], k: int) -> Joint:
    """Return joint k after one step that makes the squares of the strays beside it less; itself if none does."""
    a, b = pieces[k], pieces[(k + 1) % len(pieces)]
    now = joints[k]
    before, after = joints[k - 1], joints[(k + 1) % len(joints)]
    if len(joints) < 2 or (a.line is not None and b.line is not None):
        return now
    probes = (PROBE_PX,) if a.line is not None or b.line is not None else (PROBE_PX, PROBE_RAD)
    limits = np.array([MOST_PX, MOST_RAD][: len(probes)])

    def strays(step: Floats) -> Floats | None:
        joint = _moved(now, step)
        first, second = _strays(a, before, joint), _strays(b, joint, after)
        return None if first is None or second is None else np.concatenate([first, second])

    here = strays(np.zeros(len(probes)))
    if here is None:
        return now
    columns = []
    for i, probe in enumerate(probes):
        there = strays(np.eye(len(probes))[i] * probe)
        if there is None:
            return now
        columns.append((there - here) / probe)
    step = np.linalg.lstsq(np.column_stack(columns), -here, rcond=None)[0]
    step = np.clip(step, -limits, limits)
    for share in (1.0, 0.4):
        there = strays(share * step)
        if there is not None and (there**2).sum() < (here**2).sum():
            return _moved(now, share * step)
    return now


def _moved(joint: Joint, step: Floats) -> Joint:
    """Return the joint moved along its direction (one figure), or across it and turned (two)."""
    assert joint.direction is not None
    (ux, uy), (x, y) = joint.direction, joint.at
    if len(step) == 1:
        t = float(step[0])
        return Joint(Point(x + t * ux, y + t * uy), joint.direction)
    s, c, n = sin(float(step[1])), cos(float(step[1])), float(step[0])
    return Joint(Point(x - n * uy, y + n * ux), Point(c * ux - s * uy, s * ux + c * uy))


def _strays(piece: Carried, start: Joint, end: Joint) -> Floats | None:
    """Return how far each point of the piece lies to the left of its way; None when there is no way."""
    vertices = way(piece, start, end)
    if vertices is None:
        return None
    if not vertices:
        return np.zeros(len(piece.points))
    p = piece.points
    ends = [Point(v.x, v.y) for v in vertices[1:]] + [end.at]
    # points come in order: each segment has those between the points nearest to its ends
    cuts = [int(((p - np.array(e)) ** 2).sum(axis=1).argmin()) for e in ends[:-1]]
    bounds = np.maximum.accumulate([0, *cuts, len(p)])
    parts = [_left_of(v, e, p[bounds[i] : bounds[i + 1]]) for i, (v, e) in enumerate(zip(vertices, ends, strict=True))]
    return np.concatenate(parts)


def _left_of(v: Vertex, end: Point, p: Floats) -> Floats:
    """Return the signed distances of points from the circle or line of a segment, positive to the left.

    With the curvature k, the direction u at the start and the way w to the point: ``(2 u×w - k w²) / (1 + |...|)``,
    which holds for lines, too.
    """
    dx, dy = end.x - v.x, end.y - v.y
    square, b = dx * dx + dy * dy, v.bulge
    chord = square**0.5 or 1.0
    k = 4.0 * b / (chord * (1.0 + b * b))
    c, s = (1.0 - b * b) / (1.0 + b * b), 2.0 * b / (1.0 + b * b)
    ux, uy = (dx * c + dy * s) / chord, (dy * c - dx * s) / chord
    wx, wy = p[:, 0] - v.x, p[:, 1] - v.y
    power = 2.0 * (ux * wy - uy * wx) - k * (wx * wx + wy * wy)
    off: Floats = power / (1.0 + np.hypot(k * wx + uy, k * wy - ux))
    return off
