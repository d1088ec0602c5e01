"""One loop of a picture to one contour: as few lines and arcs as stay near enough to every point of it.

Where the outline strays too far, the pieces are found anew with those points counting more, and only there; where that
does not help in a few tries, short lines take over, and only there.
"""

from __future__ import annotations

from dataclasses import field
from math import isfinite
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.artwork.picture_join import Carried, Chain, Joint, Way, Ways, carry, chained, drawn
from generator.artwork.picture_pieces import LEAST_ARC, Piece, divide, divide_again
from generator.artwork.picture_plain import owners, simplified, with_lines
from generator.artwork.picture_polish import polished
from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour
from generator.outline.distance import points_distance
from generator.outline.measure import signed_area
from generator.outline.predicates import corner_angles, explain_contour
from generator.outline.spans import Floats, Ints

Bools = NDArray[np.bool_]

TRIES, PLAIN_TRIES = 4, 3
HEAVIER, BESIDE = 4.0, 3
"""Points that the outline strays from too far, and so many on both sides, count so much more in the next try."""
BLUNT_RAD: Final = 0.3
CORNER_ROOM: Final = 1.6
"""Points this close to a corner that turns by more than that lie rounded off, pixels."""
CORNER_SLACK: Final = 0.15
"""And may be so much further off."""
SUSPECT: Final = 6.0
"""Points this close to where a contour crosses itself count more, pixels."""
FORGIVEN: Final = 0.6
"""A smooth outline that misses the limit by less than this share of it is better than one of many short lines."""
ROUNDING: Final = 0.05
MOST_BIAS: Final = 0.15
"""Pixels that an outline may lie inside or outside its points on average."""
FEW: Final = 12
"""With fewer pieces all points are measured again, which is quick."""
AROUND: Final = 8
"""Points on both sides of where pieces meet that are looked at there."""
LEAST_SQUARE: Final = 1e-12
"""What squares of lengths are held to be at least where they divide, square pixels."""
LEAST_SINE: Final = 0.15
"""Of half the angle of a corner: sharper ones are held to lie no further beyond their points."""


class Limits(NamedTuple):
    """How far the outline may stray from points, how far it should, and how far its corners may, times the sine of half
    their angle; pixels.
    """

    edge: float
    aim: float
    corner: float


@frozen_record
class _Loop:
    """A loop, what is demanded of its outline, and what earlier tries found of pieces that come again."""

    points: Floats
    exact: Contour
    corner_rad: float
    limits: Limits
    carried: dict[Piece, Carried] = field(default_factory=dict)
    joints: dict[tuple[Piece, ...], Joint] = field(default_factory=dict)
    ways: Ways = field(default_factory=dict)
    latest: list[_Verdict] = field(default_factory=list)


class _Verdict(NamedTuple):
    """A contour, its pieces, and by how much it misses the limit at each point: infinite where it is unsound.

    ``strays`` is how far off the points are, ``ways`` along what.
    """

    contour: Contour | None
    pieces: list[Piece]
    excess: Floats
    strays: Floats
    ways: frozenset[Way]

    @property
    def worst(self) -> float:
        return float(self.excess.max())


def fitted(points: Floats, noise: float, corner_rad: float, limits: Limits) -> Contour:
    """Return the contour of a loop.

    Args:
        points: of the loop, in order, pixels.
        noise: how far they stray from the true outline, standard deviation, pixels.
        corner_rad: pieces that turn by more where they meet make a corner.
        limits: how far the contour may stray from the points.
    """
    exact = Contour.of(tuple(p) for p in points.tolist())
    if len(points) < LEAST_ARC:
        return exact
    loop = _Loop(points, exact, corner_rad, limits)
    best = _best(loop, noise)
    if best.contour is not None and best.worst <= 0.0:
        return best.contour
    return _partly_plain(loop, best)


def _best(loop: _Loop, noise: float) -> _Verdict:
    """Return the first contour that is near enough everywhere, or the one that misses it by least."""
    points, weights = loop.points, np.ones(len(loop.points))
    pieces, sharp = divide(points, noise), np.zeros(len(points), dtype=np.bool_)
    best: _Verdict | None = None
    for k in range(TRIES):
        verdict = _attempt(loop, pieces, sharp)
        if verdict.worst <= 0.0:
            verdict = _sound(loop, verdict)
        best = verdict if best is None or verdict.worst < best.worst else best
        if k == 1 and best.worst > 0.0:
            # what strays beside a joint may be a corner after all
            other = _sound(loop, _attempt(loop, best.pieces, _wide(best.excess > 0.0)))
            best = verdict = other if other.worst < best.worst else best
        if best.worst <= 0.0 or k == TRIES - 1:
            break
        # what was passed over counts more the next time, and so do the points beside it
        near = _wide(verdict.excess > 0.0)
        weights = np.where(near, weights * HEAVIER, weights)
        pieces = divide_again(points, noise, weights, pieces, near)
        if k == TRIES - 2:
            sharp = near  # at the end better corners than staircases
    assert best is not None
    return best


def _wide(points: Bools) -> Bools:
    """Return these points and those beside them."""
    wide: Bools = np.any([np.roll(points, k) for k in range(-BESIDE, BESIDE + 1)], axis=0)
    return wide


def _partly_plain(loop: _Loop, verdict: _Verdict) -> Contour:
    """Return the contour with short lines where it strays too far or crosses itself, or all of short lines."""
    points, limits = loop.points, loop.limits
    most = (1.0 + FORGIVEN) * limits.edge - limits.aim
    bad = np.zeros(len(points), dtype=np.bool_)
    for _ in range(PLAIN_TRIES):
        verdict = _sound(loop, verdict)
        if verdict.contour is not None and verdict.worst <= most:
            return verdict.contour
        bad = _wide(bad | (verdict.excess > most))
        if bad.all():
            break
        pieces = with_lines(points, verdict.pieces, bad, limits.edge)
        verdict = _attempt(loop, pieces, bad)
    verdict = _sound(loop, verdict)
    if verdict.contour is not None and verdict.worst <= most:
        return verdict.contour
    plain = simplified(points, limits.edge)
    return (
        plain if explain_contour(plain) is None and signed_area(plain) * signed_area(loop.exact) > 0.0 else loop.exact
    )


def _attempt(loop: _Loop, pieces: list[Piece], sharp: Bools) -> _Verdict:
    """Return the contour of the pieces: joints on lines stay where the lines are touched, if that is near enough."""
    chain, settled = _chain(loop, pieces, sharp)
    straight = np.array([c.line is not None for c in chain.pieces])
    on_line = straight | np.roll(straight, -1)
    chain = polished(chain, ~on_line & ~settled)
    verdict = _judge(loop, chain, pieces)
    strays = verdict.excess > 0.0
    if strays.any():
        missed = np.zeros(len(pieces), dtype=np.bool_)
        missed[owners(len(loop.points), pieces)[strays]] = True
        other = polished(chain, on_line & (missed | np.roll(missed, -1)))
        if other.joints != chain.joints:
            second = _judge(loop, other, pieces)
            if _total(second) < _total(verdict):
                chain, verdict = other, second
    loop.joints.update(zip(_keys(pieces), chain.joints, strict=True))
    return verdict


def _total(verdict: _Verdict) -> float:
    return float(np.maximum(verdict.excess, 0.0).sum())


def _chain(loop: _Loop, pieces: list[Piece], sharp: Bools) -> tuple[Chain, Bools]:
    """Return how the pieces meet, and which joints are as they were found and polished before."""
    for p in pieces:
        if p not in loop.carried:
            loop.carried[p] = carry(loop.points, p)
    n = len(loop.points)
    make_corner = np.array([sharp[p.last % n] or sharp[(p.last + 1) % n] for p in pieces])
    before = [None if c else loop.joints.get(key) for c, key in zip(make_corner, _keys(pieces), strict=True)]
    chain = chained([loop.carried[p] for p in pieces], np.where(make_corner, 0.0, loop.corner_rad), before)
    return chain, np.array([old is not None for old in before])


def _keys(pieces: list[Piece]) -> list[tuple[Piece, ...]]:
    """Return for each joint the two pieces before and after it."""
    k = len(pieces)
    return [(pieces[i - 1], pieces[i], pieces[(i + 1) % k], pieces[(i + 2) % k]) for i in range(k)]


# ------------------------------------------------------------------ how good it is
def _judge(loop: _Loop, chain: Chain, pieces: list[Piece]) -> _Verdict:
    """Return by how much the contour of a chain misses the limit at each point; sound or not."""
    contour = drawn(chain, loop.ways)
    nowhere = _nowhere(loop, pieces)
    if contour is None or not all(isfinite(n) for v in contour.vertices for n in v):
        return nowhere
    if signed_area(contour) * signed_area(loop.exact) <= 0.0:
        return nowhere
    ways = [(p.of, chain.joints[k - 1], chain.joints[k]) for k, p in enumerate(chain.pieces)]
    strays = _strays(loop, contour, ways, pieces)
    excess = strays - loop.limits.aim
    if len(chain.pieces) > 1:
        _heed_corners(loop, contour, chain, excess)
    verdict = _Verdict(contour, pieces, excess, strays, frozenset(ways))
    loop.latest[:] = [verdict]
    return verdict


def _skewed(loop: _Loop, contour: Contour) -> bool:
    """Return True when the contour runs the other way round, or its area is off: a hair line lost one of its sides."""
    true, found = signed_area(loop.exact), signed_area(contour)
    return true * found <= 0.0 or abs(true - found) > MOST_BIAS * len(loop.points)


def _nowhere(loop: _Loop, pieces: list[Piece]) -> _Verdict:
    nothing = np.full(len(loop.points), np.inf)
    return _Verdict(None, pieces, nothing, nothing, frozenset())


def _strays(loop: _Loop, contour: Contour, ways: list[Way], pieces: list[Piece]) -> Floats:
    """Return how far off the points are; taken over from the latest contour where its ways were the same."""
    if not loop.latest or len(pieces) < FEW:
        return points_distance(contour, loop.points)
    before = loop.latest[0]
    new = np.array([way not in before.ways for way in ways])
    new |= np.roll(new, 1) | np.roll(new, -1)
    rows = np.flatnonzero(new[owners(len(loop.points), pieces)])
    strays = before.strays.copy()
    if len(rows):
        strays[rows] = points_distance(contour, loop.points[rows])
    return strays


def _heed_corners(loop: _Loop, contour: Contour, chain: Chain, excess: Floats) -> None:
    """Change the excess where pieces meet: points beside a corner lie rounded off, and the corner lies beyond them."""
    points, limits, n = loop.points, loop.limits, len(loop.points)
    at = np.array([joint.at for joint in chain.joints])
    place = {(v.x, v.y): k for k, v in enumerate(contour.vertices)}
    angles = np.abs(corner_angles(contour))
    turns = np.array([angles[place[joint.at]] if joint.at in place else 0.0 for joint in chain.joints])
    rows = (_nearest_points(points, chain, at)[:, None] + np.arange(-AROUND, AROUND + 1)) % n
    away = np.hypot(*(points[rows] - at[:, None]).transpose(2, 0, 1))
    rounded = (away < CORNER_ROOM) & (turns > BLUNT_RAD)[:, None]
    beside = np.unique(rows[rounded])
    excess[beside] -= limits.edge + CORNER_SLACK - limits.aim
    # the sharper, the further
    half = (np.pi - turns) / 2.0
    beyond = _to_way(points[rows], at) - limits.corner / np.maximum(np.sin(half), LEAST_SINE) - ROUNDING
    nearest = rows[np.arange(len(rows)), away.argmin(axis=1)]
    np.maximum.at(excess, nearest, np.where(beyond > 0.0, beyond, -np.inf))


def _nearest_points(points: Floats, chain: Chain, at: Floats) -> Ints:
    """Return about the nearest point to each joint: where the pieces part, unless it has moved away from there."""
    rows = np.array([p.of.last for p in chain.pieces]) % len(points)
    for k in np.flatnonzero(np.hypot(*(points[rows] - at).T) > 0.5 * AROUND).tolist():
        rows[k] = int(((points - at[k]) ** 2).sum(axis=1).argmin())
    return rows


def _to_way(ways: Floats, at: Floats) -> Floats:
    """Return the distance of points, a row each, from the way through the points of their rows."""
    a, d = ways[:, :-1], np.diff(ways, axis=1)
    v = at[:, None] - a
    share = np.clip((v * d).sum(axis=2) / np.maximum((d * d).sum(axis=2), LEAST_SQUARE), 0.0, 1.0)
    off: Floats = np.hypot(*(v - share[..., None] * d).transpose(2, 0, 1)).min(axis=1)
    return off


def _sound(loop: _Loop, verdict: _Verdict) -> _Verdict:
    """Return the verdict, infinite where the contour crosses itself, or everywhere if it cannot be said where."""
    if verdict.contour is None:
        return verdict
    if _skewed(loop, verdict.contour):
        return _nowhere(loop, verdict.pieces)
    problem = explain_contour(verdict.contour)
    if problem is None:
        return verdict
    if problem.point is None:
        return _nowhere(loop, verdict.pieces)
    off = np.hypot(*(loop.points - np.array(problem.point)).T)
    return verdict._replace(excess=np.where(off < max(SUSPECT, float(off.min())), np.inf, verdict.excess))
