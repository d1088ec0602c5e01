"""Which of many outlines lie near enough to have to do with one another: told by their boxes alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from generator.outline.measure import Outline, bounds
from generator.outline.region import Region
from generator.outline.separate import separated
from generator.outline.spans import Floats, Ints

__all__ = ["clustered", "neighbourhoods"]

_PAIRS_OF = 4_000
"""So many boxes are compared each with each; more are only parted where a line goes between them."""


def neighbourhoods(outlines: Sequence[Outline], within_mm: float = 0.0) -> list[list[int]]:
    """Return the numbers of outlines in groups: the boxes of two groups' outlines are farther apart than a distance.

    Args:
        outlines: none is empty.
        within_mm: how near boxes are that belong together; those that touch always do.

    Returns: the numbers of each group in rising order, the groups by their first.
    """
    if not outlines:
        return []
    boxes = np.array([bounds(o) for o in outlines])
    boxes[:, 2:] += within_mm
    parted = [g for rows in _between_lines(boxes) for g in _chained(boxes, rows)]
    return sorted(sorted(g.tolist()) for g in parted)


def clustered(region: Region, within_mm: float = 0.0) -> tuple[Region, ...]:
    """Return a region's pieces with those whose boxes are near one another together, each contour as it is.

    What is done to one of them, and stays within its box, has nothing to do with the others.
    """
    pieces = separated(region)
    groups = neighbourhoods(pieces, within_mm)
    if len(groups) < 2:
        return (region,) if region else ()
    return tuple(Region.of(c for k in group for c in pieces[k]) for group in groups)


def _between_lines(boxes: Floats) -> Iterator[Ints]:
    """Yield the rows in groups that upright and level lines part."""
    waiting: list[tuple[Ints, int, bool]] = [(np.arange(len(boxes)), 0, False)]
    while waiting:
        rows, axis, other_failed = waiting.pop()
        order = rows[np.argsort(boxes[rows, axis], kind="stable")]
        reached = np.maximum.accumulate(boxes[order, axis + 2])
        cuts = np.flatnonzero(boxes[order[1:], axis] > reached[:-1]) + 1
        if len(cuts):
            waiting += [(part, 1 - axis, False) for part in np.split(order, cuts)]
        elif other_failed or len(rows) == 1:
            yield rows
        else:
            waiting.append((rows, 1 - axis, True))


def _chained(boxes: Floats, rows: Ints) -> Iterator[Ints]:
    """Yield the rows in groups that boxes which touch hold together."""
    if not 1 < len(rows) <= _PAIRS_OF:
        yield rows
        return
    low, high = boxes[rows, :2], boxes[rows, 2:]
    free = np.ones(len(rows), dtype=np.bool_)
    while free.any():
        group = front = np.flatnonzero(free)[:1]
        free[front] = False
        while len(front):
            left = np.flatnonzero(free)
            touch = (low[left, None] <= high[None, front]) & (low[None, front] <= high[left, None])
            front = left[(touch[..., 0] & touch[..., 1]).any(axis=1)]
            free[front] = False
            group = np.concatenate([group, front])
        yield rows[group]
