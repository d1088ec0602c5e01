"""The best placement: where the original has most room in the cover, for many samples at once.

A placement is a small shift (ux, uy) and a small turn. Every possible contact asks that the original does not move
against a wall by more than the room there: ``n · (u + turn J p) <= room``, a straight line in the unknowns. A bolt in
its hole asks the same for every direction: ``|d + u + turn J p| <= room``. The least ``t`` by which the rooms that may
be widened must be widened so that some placement exists is a linear programme in four unknowns. It is solved by the
dual simplex method (Lemke, "The dual method of solving the linear programming problem", 1954), all samples side by
side; of a bolt's endless many directions the one in which it is most in the way enters when its turn comes, so
circles stay circles.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.fit.draws import Floats, product

__all__ = ["Pins", "Walls", "least_widening"]

SETTLED_MM: Final = 1e-7
"""A placement in which nothing is in the way by more than this is the best one."""
PIVOT: Final = 1e-9
"""Smaller pivots are noise."""
FAR_MM: Final = 1e3
"""Room of the four walls far outside that the search starts from."""
ROUNDS: Final = 200
"""No sample needs a tenth of these; one that did would be counted with the widening that it has come to."""
WORTH_LEAVING: Final = 0.8
"""Samples that are done are put away when fewer than this share are still at work: putting away costs time, too."""
_START = np.array([[1, 1, 1, -1], [1, -1, -1, -1], [-1, 1, -1, -1], [-1, -1, 1, -1]], dtype=np.float64)


@frozen_record
class Walls:
    """Straight contacts, the same for all samples but for their room.

    Attributes:
        rows: (K, 3): normal and lever, the lever in units of the length that turns are scaled by.
        weights: (K,): how much of the widening each one gets; 0 for none.
        room: (N, K) mm.
    """

    rows: Floats
    weights: Floats
    room: Floats


@frozen_record
class Pins:
    """Round contacts.

    Attributes:
        levers: (J, 2): place, square to it and in units of the scaling length: what a turn moves it by.
        weights: (J,): how much of the widening each one gets.
        off_x, off_y: (N, J) mm: how far the bolt stands from its hole's middle.
        room: (N, J) mm: how far it may.
    """

    levers: Floats
    weights: Floats
    off_x: Floats
    off_y: Floats
    room: Floats


def least_widening(walls: Walls, pins: Pins) -> Floats:
    """Return for every sample the least widening, mm: negative where there is room to spare, infinite where none helps.

    Right within ``SETTLED_MM`` of the rooms.
    """
    count = max(len(walls.room), len(pins.room))
    out = np.full(count, np.inf)
    state = _State.start(np.arange(count))
    room, off_x, off_y, ring = walls.room, pins.off_x, pins.off_y, pins.room
    rows = np.hstack((walls.rows, -walls.weights[:, None]))
    keep = np.ones(count, dtype=np.bool_)
    for _ in range(ROUNDS):
        worst, entering = _most_in_the_way(state, rows, room, pins, off_x, off_y, ring)
        busy = worst > SETTLED_MM
        out[state.which[~busy]] = state.z[3, ~busy]
        stuck = np.zeros(len(worst), dtype=np.bool_)
        if busy.any():
            stuck = state.pivot(entering, worst, busy)
        keep = busy & ~stuck
        if not keep.any():
            return out
        if keep.mean() < WORTH_LEAVING:
            state = state.only(keep)
            room, off_x, off_y, ring = room[keep], off_x[keep], off_y[keep], ring[keep]
            keep = np.ones(len(room), dtype=np.bool_)
    out[state.which[keep]] = state.z[3, keep]
    return out


@dataclass
class _State:
    """A basis of four contacts for every sample still at work: its inverse, the placement and the multipliers."""

    which: np.ndarray[tuple[int], np.dtype[np.int64]]
    inverse: Floats  # (4, 4, n): column k belongs to contact k
    z: Floats  # (4, n): shift, scaled turn, widening
    y: Floats  # (4, n): multipliers, none negative

    @classmethod
    def start(cls, which: np.ndarray[tuple[int], np.dtype[np.int64]]) -> _State:
        """Return the state in which only the walls far outside are touched."""
        n, inverse = len(which), np.linalg.inv(_START)
        z = inverse @ np.full(4, FAR_MM)
        return cls(
            which,
            np.repeat(inverse[:, :, None], n, axis=2),
            np.repeat(z[:, None], n, axis=1),
            np.full((4, n), 0.25),
        )

    def only(self, keep: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> _State:
        """Return the state of the samples that are kept."""
        return _State(self.which[keep], self.inverse[:, :, keep], self.z[:, keep], self.y[:, keep])

    def pivot(
        self, entering: Floats, worst: Floats, busy: np.ndarray[tuple[int], np.dtype[np.bool_]]
    ) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        """Let the contact most in the way take the place of another; return where no widening makes room for it."""
        alpha = (entering[:, None, :] * self.inverse).sum(axis=0)
        usable = alpha > PIVOT
        steps = np.where(usable, self.y, np.inf) / np.where(usable, alpha, 1.0)
        leaving = steps.argmin(axis=0)
        n = np.arange(len(leaving))
        theta = steps[leaving, n]
        stuck: np.ndarray[tuple[int], np.dtype[np.bool_]] = np.logical_and(~np.isfinite(theta), busy)
        go = busy & ~stuck
        step = np.where(go, theta, 0.0)
        column = np.where(go, self.inverse[:, leaving, n] / np.where(go, alpha[leaving, n], 1.0), 0.0)
        old = self.inverse[:, leaving, n]
        self.inverse -= column[:, None, :] * alpha[None, :, :]
        self.inverse[:, leaving, n] = np.where(go, column, old)
        self.z -= column * worst
        self.y = np.maximum(self.y - step * alpha, 0.0)
        self.y[leaving, n] = np.where(go, step, self.y[leaving, n])
        return stuck


def _most_in_the_way(
    state: _State, rows: Floats, room: Floats, pins: Pins, off_x: Floats, off_y: Floats, ring: Floats
) -> tuple[Floats, Floats]:
    """Return by how much the worst contact of every sample is in the way, and its row (4, n)."""
    n = np.arange(len(state.which))
    worst, entering = np.full(len(n), -np.inf), np.zeros((4, len(n)))
    if len(rows):
        over = product(state.z.T, rows.T) - room
        k = over.argmax(axis=1)
        worst, entering = over[n, k], rows[k].T
    if len(pins.levers):
        x = off_x + state.z[0][:, None] + state.z[2][:, None] * pins.levers[:, 0]
        y = off_y + state.z[1][:, None] + state.z[2][:, None] * pins.levers[:, 1]
        far = np.hypot(x, y)
        over = far - ring - state.z[3][:, None] * pins.weights
        j = over.argmax(axis=1)
        first = over[n, j] > worst
        scale = np.maximum(far[n, j], np.finfo(np.float64).tiny)
        nx, ny = x[n, j] / scale, y[n, j] / scale
        lever = nx * pins.levers[j, 0] + ny * pins.levers[j, 1]
        cut = np.stack((nx, ny, lever, -pins.weights[j]))
        entering = np.where(first, cut, entering)
        worst = np.where(first, over[n, j], worst)
    return worst, entering
