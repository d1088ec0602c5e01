"""Upright cylindrical faces put together to whole holes."""

from __future__ import annotations

from collections.abc import Iterable
from math import pi

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point
from generator.part.solid_facts import Hole

__all__ = ["RoundFace", "whole_holes"]

FULL_TURN_TOL = 1e-6
"""Faces about one axis make a whole hole if their angles add up to a turn within this, radians."""

AXIS_TOL_MM = 1e-5
"""Faces belong to one hole if axes and radii differ by less, mm."""


@frozen_record
class RoundFace:
    """An upright cylindrical face with material outside: axis, radius (mm), heights (mm), and its angle, radians."""

    at: Point
    radius_mm: float
    z_from_mm: float
    z_to_mm: float
    turn: float


def whole_holes(rounds: Iterable[RoundFace]) -> list[Hole]:
    """Return the holes that faces make, by position, then height; what goes round in part is none."""
    rounds = list(rounds)
    whole = [[r] for r in rounds if r.turn > 2.0 * pi - FULL_TURN_TOL]
    parts = _grouped([r for r in rounds if r.turn <= 2.0 * pi - FULL_TURN_TOL])
    holes = [_hole(g) for g in whole + parts if sum(r.turn for r in g) > 2.0 * pi - FULL_TURN_TOL]
    return sorted(holes, key=lambda h: (h.at, h.z_from_mm, h.diameter_mm))


def _grouped(rounds: list[RoundFace]) -> list[list[RoundFace]]:
    """Return faces about one axis together."""
    groups: list[list[RoundFace]] = []
    by_radius: list[RoundFace] = sorted(rounds, key=lambda r: r.radius_mm)
    first = 0
    for found in by_radius:
        while first < len(groups) and groups[first][0].radius_mm < found.radius_mm - AXIS_TOL_MM:
            first += 1
        group = next((g for g in groups[first:] if _belongs(g[0], found)), None)
        if group is None:
            groups.append([found])
        else:
            group.append(found)
    return groups


def _hole(group: list[RoundFace]) -> Hole:
    first = group[0]
    return Hole(first.at, 2.0 * first.radius_mm, first.z_from_mm, first.z_to_mm)


def _belongs(a: RoundFace, b: RoundFace) -> bool:
    pairs = (
        (a.at.x, b.at.x),
        (a.at.y, b.at.y),
        (a.radius_mm, b.radius_mm),
        (a.z_from_mm, b.z_from_mm),
        (a.z_to_mm, b.z_to_mm),
    )
    return all(abs(p - q) <= AXIS_TOL_MM for p, q in pairs)
