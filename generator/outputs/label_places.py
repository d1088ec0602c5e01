"""Find places for labels: near what they name, clear of each other, and off the lines as far as can be."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import cos, hypot, pi, sin
from typing import Final

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.outputs.lettering import Box
from generator.outputs.projection import Floats

__all__ = ["Field", "Place", "rings"]

_COST_OF_COVER: Final = 1.0
"""How many mm farther off a label goes rather than cover one sampled point of a line; found by looking."""


@frozen_record
class Place:
    """A place found: the middle of the label's box, and where a leader line should end at the box, if it needs one."""

    x: float
    y: float
    box: Box
    leader: tuple[tuple[float, float], tuple[float, float]] | None


@dataclass
class Field:
    """The part of the sheet where labels may go.

    Attributes:
        room: no label leaves it.
        taken: boxes that no label may overlap.
        lines: points along the lines drawn; a label that covers many of them is a bad one.
        gap: least distance between two labels, mm.
    """

    room: Box
    taken: list[Box] = field(default_factory=list)
    lines: Floats = field(default_factory=lambda: np.empty((0, 2)))
    gap: float = 0.6

    def take(self, box: Box) -> None:
        """Keep other labels off ``box``."""
        self.taken.append(box)

    def find(
        self,
        anchor: tuple[float, float],
        size: tuple[float, float],
        candidates: Iterable[tuple[float, float]],
        *,
        touch: float = 0.0,
    ) -> Place | None:
        """Return the best free place for a label, and take it; None if there is none.

        Args:
            anchor: the point that the label names.
            size: width and height of the label.
            candidates: places for the middle of the label, the preferred ones first.
            touch: a leader line is drawn when the label is farther than this from the anchor.
        """
        best: tuple[float, Box, float, float] | None = None
        w, h = size
        for x, y in candidates:
            box = Box(x - w / 2, y - h / 2, x + w / 2, y + h / 2)
            away = _distance(box, anchor)
            if best is not None and away >= best[0]:
                continue
            if not box.within(self.room) or not box.grown(self.gap).is_free(self.taken):
                continue
            cost = away + _COST_OF_COVER * self._covered(box.grown(0.4))
            if best is None or cost < best[0] - 1e-9:
                best = (cost, box, x, y)
        if best is None:
            return None
        self.taken.append(best[1])
        return Place(best[2], best[3], best[1], _leader(best[1], anchor, touch))

    def crowding(self, box: Box) -> float:
        """Return how hard a label at ``box`` is to read: lines that it covers, and other labels near by."""
        near = sum(1.0 / (1.0 + _distance(box, ((t.left + t.right) / 2, (t.top + t.bottom) / 2))) for t in self.taken)
        return _COST_OF_COVER * self._covered(box.grown(0.4)) + near

    def _covered(self, box: Box) -> float:
        """Return how much line (in sampled points) a box would cover."""
        if not len(self.lines):
            return 0.0
        x, y = self.lines[:, 0], self.lines[:, 1]
        return float(((x > box.left) & (x < box.right) & (y > box.top) & (y < box.bottom)).sum())


def _distance(box: Box, p: tuple[float, float]) -> float:
    dx = max(box.left - p[0], 0.0, p[0] - box.right)
    dy = max(box.top - p[1], 0.0, p[1] - box.bottom)
    return hypot(dx, dy)


def _leader(
    box: Box, anchor: tuple[float, float], touch: float
) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Return a leader from the anchor's rim (``touch`` away) to the box, or None if the box is near enough."""
    away = _distance(box, anchor)
    if away <= touch + 1.5:
        return None
    end = (min(max(anchor[0], box.left), box.right), min(max(anchor[1], box.top), box.bottom))
    k = touch / away
    start = (anchor[0] + k * (end[0] - anchor[0]), anchor[1] + k * (end[1] - anchor[1]))
    return start, end


def rings(
    anchor: tuple[float, float], size: tuple[float, float], distances: Sequence[float], *, directions: int = 16
) -> list[tuple[float, float]]:
    """Return places round an anchor at which a label of ``size`` clears it by each distance, to the right first."""
    w, h = size
    out = []
    for d in distances:
        for k in range(directions):
            # right, then alternating up and down from there
            turn = (k + 1) // 2 * (1 if k % 2 else -1)
            a = 2 * pi * turn / directions
            c, s = cos(a), sin(a)
            # the box touches the circle of radius d from outside
            reach = d + abs(c) * w / 2 + abs(s) * h / 2
            out.append((anchor[0] + c * reach, anchor[1] + s * reach))
    return out
