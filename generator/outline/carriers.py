"""Carriers: the distinct lines and circles that pieces lie on, and points where two of them meet."""

from __future__ import annotations

from functools import cached_property

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.outline.pieces import Floats, Ints, Pieces

_SAME_MM = 1e-7  # carriers closer than this are one carrier
_SAME_RAD = 1e-8


@frozen_record
class Carriers:
    """Distinct carriers, one row each; lines have a unit direction, circles run counter-clockwise.

    Attributes:
        circle: True for circles.
        base: (k, 2) centre or a point of the line, mm.
        radius: mm; 0 for lines.
        unit: (k, 2) direction of lines.
        of: carrier of each piece, -1 for construction pieces.
        along: +1 where a piece runs with its carrier, -1 where against.
    """

    circle: np.ndarray
    base: Floats
    radius: Floats
    unit: Floats
    of: Ints
    along: Ints

    @cached_property
    def rows(self) -> list[tuple[bool, float, float, float, float, float]]:
        """Return ``(circle, x, y, radius, ux, uy)`` of every carrier as plain numbers."""
        table = np.column_stack([self.base, self.radius, self.unit])
        return [(bool(c), *row) for c, row in zip(self.circle.tolist(), table.tolist(), strict=True)]


def find_carriers(pieces: Pieces, origin: Floats) -> Carriers:
    """Return the carriers of ``pieces``; the longest piece on a carrier speaks for it."""
    n = len(pieces)
    of = np.full(n, -1, dtype=np.int64)
    along = np.ones(n, dtype=np.int64)
    chosen: list[Ints] = []
    count = 0
    step = pieces.end - pieces.start
    size = np.hypot(step[:, 0], step[:, 1])
    for rows, keys in (_circle_keys(pieces), _line_keys(pieces, origin)):
        if not len(rows):
            continue
        group = _cluster(keys)
        order = np.lexsort((-size[rows], group))
        heads = rows[order][np.flatnonzero(np.diff(group[order], prepend=-1))]
        of[rows] = group + count
        count += len(heads)
        chosen.append(heads)
    heads = np.concatenate(chosen) if chosen else np.zeros(0, dtype=np.int64)
    real = of >= 0
    arcs = real & pieces.circle
    along[arcs] = np.where(pieces.sweep[arcs] > 0.0, 1, -1)
    lines = real & ~pieces.circle
    lead = pieces.unit[heads][of[lines]]
    along[lines] = np.where((lead * pieces.unit[lines]).sum(axis=1) > 0.0, 1, -1)
    return Carriers(
        circle=pieces.circle[heads],
        base=pieces.base[heads],
        radius=pieces.radius[heads],
        unit=np.where(pieces.circle[heads][:, None], 0.0, pieces.unit[heads]),
        of=of,
        along=along,
    )


def _circle_keys(pieces: Pieces) -> tuple[Ints, Floats]:
    rows = np.flatnonzero(pieces.real & pieces.circle)
    return rows, np.column_stack([pieces.base[rows], pieces.radius[rows]]) / _SAME_MM


def _line_keys(pieces: Pieces, origin: Floats) -> tuple[Ints, Floats]:
    """Return keys that do not change when a line is turned round: doubled angle, foot of the origin."""
    rows = np.flatnonzero(pieces.real & ~pieces.circle)
    u = pieces.unit[rows]
    away = pieces.base[rows] - origin
    rho = away[:, 0] * -u[:, 1] + away[:, 1] * u[:, 0]
    doubled = np.stack([u[:, 0] ** 2 - u[:, 1] ** 2, 2.0 * u[:, 0] * u[:, 1]], axis=1) / (2.0 * _SAME_RAD)
    foot = np.stack([-u[:, 1] * rho, u[:, 0] * rho], axis=1) / _SAME_MM
    return rows, np.column_stack([foot, doubled])


def _cluster(keys: Floats) -> Ints:
    """Return group numbers from 0: rows whose keys chain together with steps of at most 1 in every column."""
    group = _split(keys, np.zeros(len(keys), dtype=np.int64))
    several = np.flatnonzero(np.bincount(group)[group] > 1)
    # a row that is alone stays alone, and where no group falls apart the numbers stay
    if len(several) and _split(keys[several], group[several]).max() + 1 > len(np.unique(group[several])):
        group = _split(keys, group)
    return group


def _split(keys: Floats, group: Ints) -> Ints:
    """Return the numbers of groups parted wherever one column has a gap of more than 1."""
    group = group.copy()
    for column in keys.T:
        order = np.lexsort((column, group))
        value, old = column[order], group[order]
        parted = (value[1:] - value[:-1] > 1.0) | (old[1:] != old[:-1])
        group[order[0]] = 0
        group[order[1:]] = np.cumsum(parted)
    return group
