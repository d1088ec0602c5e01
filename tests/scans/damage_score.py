"""Chips and burrs that were listed against those that are: found, told twice, made up; and the outline there.

What is true comes from the record of the simulated picture alone. Chips and burrs that run into one another look like
one and may be listed as one or each by itself.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from tests.scans.hurt import into_chips
from tests.scans.placing import Place, distances, points_on
from tests.scans.scan_shape import Segment, off
from tests.scans.scorer import ASIDE, STEP, Listed, Traced, placed, truth_edges

NEAR = 1.5
"""A listed place so near to a chip or burr is that one, mm."""
FINE = 0.01
"""Grid on which the depth of chips is measured, mm."""
TURNS = 72
SAME = 0.01
"""An outline turned so far onto itself looks the same, mm."""


@dataclass(frozen=True)
class Hurt:
    """A chip or burr of the truth, mm.

    Attributes:
        at: its place on the edge.
        off: how far it goes into the metal (negative) or out of it.
        reach: how far from its place the edge is spoilt.
    """

    at: tuple[float, float]
    off: float
    reach: float


@dataclass(frozen=True)
class Judged:
    """One chip or burr, or several that run into one another, and what was listed of them.

    Attributes:
        hurts: those of the truth, the deepest first.
        listed: how many were listed there.
        of_sign: how many of these have the sign of one of them.
        depth: what was listed of the deepest, mm; 0 where it was not.
        outline: largest deviation of the traced outline within half a millimetre, mm.
    """

    hurts: tuple[Hurt, ...]
    listed: int
    of_sign: int
    depth: float
    outline: float

    @property
    def deepest(self) -> Hurt:
        return self.hurts[0]

    @property
    def once(self) -> bool:
        """Whether it was listed as often as it may be, with the right sign."""
        return 1 <= self.listed <= len(self.hurts) and self.of_sign == self.listed


@dataclass(frozen=True)
class DamageScore:
    judged: tuple[Judged, ...]
    false: tuple[Listed, ...]


def hurts_of(truth: dict[str, Any]) -> list[Hurt]:
    """Chips and burrs of a truth."""
    spoilt, edges = truth["imperfections"], truth_edges(truth).every_edge
    found = [Hurt((x, y), height, 2.0 * sigma) for x, y, height, sigma in spoilt.get("burrs_xy_height_sigma_mm", [])]
    for x, y, radius in spoilt.get("chips_xy_radius_mm", []):
        side = np.arange(-radius, radius + FINE, FINE)
        u, v = (g.ravel() for g in np.meshgrid(x + side, y + side))
        within = into_chips(u, v, [(x, y, radius)]) > 0.0
        depth = -off(edges, u[within], v[within]).min(initial=0.0)
        found.append(Hurt((x, y), -float(depth), radius))
    return found


def together(hurts: list[Hurt]) -> list[tuple[Hurt, ...]]:
    """Groups of those that run into one another, the deepest first."""
    groups: list[list[Hurt]] = []
    for h in hurts:
        touching = [g for g in groups if any(math.dist(h.at, o.at) < h.reach + o.reach for o in g)]
        groups = [g for g in groups if g not in touching] + [[h, *(o for g in touching for o in g)]]
    return [tuple(sorted(g, key=lambda h: -abs(h.off))) for g in groups]


def turns_into_itself(edges: list[Segment]) -> list[Place]:
    """Turns under which an outline with its openings falls onto itself, none first: which way round cannot be told."""
    points = points_on(edges, 1.0)
    x, y = points.mean(axis=0)
    found = []
    for k in range(TURNS):
        a = 2.0 * math.pi * k / TURNS
        c, s = math.cos(a), math.sin(a)
        turn = Place(x - c * x + s * y, y - s * x - c * y, a, False)
        turned = turn.points(points)
        if all(distances(edges, p)[0].max() < SAME for p in (turned[::10], turned)):
            found.append(turn)
    return found


def damage_score(truth: dict[str, Any], traced: Traced) -> DamageScore:
    """Hold what a traced footprint lists against the truth.

    Of a part that looks the same when it is turned, the turn counts with which most was found.
    """
    place = placed(truth_edges(truth), traced, mirror=False)
    true, moved = truth_edges(truth).every_edge, [place.edge(s) for s in traced.every_edge]
    there, here = points_on(moved, STEP), points_on(true, STEP)
    points = np.vstack([there, here])
    away = np.concatenate([distances(true, there)[0], distances(moved, here)[0]])
    at = place.points(np.array([d.at for d in traced.listed]).reshape(-1, 2))
    groups = together(hurts_of(truth))
    tried = []
    for turn in turns_into_itself(true):
        # the deviations turn with the traced outline
        tried.append(_held(groups, traced.listed, turn.points(at), turn.points(points), away))
    return max(tried, key=lambda s: (sum(j.listed > 0 for j in s.judged), -len(s.false)))


def _held(
    groups: list[tuple[Hurt, ...]], listed: list[Listed], at: np.ndarray, points: np.ndarray, away: np.ndarray
) -> DamageScore:
    owner: dict[int, list[Listed]] = {}
    false = []
    for d, p in zip(listed, at, strict=True):
        far = [min(math.dist(p, h.at) for h in g) for g in groups]
        nearest = int(np.argmin(far)) if far else -1
        if nearest < 0 or far[nearest] > NEAR:
            false.append(d)
        else:
            owner.setdefault(nearest, []).append(d)
    judged = []
    for i, group in enumerate(groups):
        mine = owner.get(i, [])
        signs = {h.off > 0.0 for h in group}
        alike = [d for d in mine if (d.off > 0.0) == (group[0].off > 0.0)]
        depth = max((d.off for d in alike), key=abs, default=0.0)
        near = np.zeros(len(points), dtype=bool)
        for h in group:
            near |= np.hypot(*(points - h.at).T) < h.reach + ASIDE
        most = float(away[near].max(initial=0.0))
        judged.append(Judged(group, len(mine), sum((d.off > 0.0) in signs for d in mine), depth, most))
    return DamageScore(tuple(judged), tuple(false))
