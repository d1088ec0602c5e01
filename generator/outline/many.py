"""The union of many regions at once: those that lie apart are left as they are, the others are united in small groups.

Where n outlines all overlap, each pair of them crosses; united a few at a time, only what is left of them does.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from generator.base.units import MODEL, Tolerance
from generator.outline.combine import union
from generator.outline.measure import bounds
from generator.outline.region import EMPTY, Region

__all__ = ["union_of_many"]

_AT_ONCE = 8
"""So many are united at a time (measured: 4 to 16 are equally quick)."""


def union_of_many(regions: Sequence[Region], *, tol: Tolerance = MODEL) -> Region:
    """Return everything that is in any of ``regions``; neighbours in the list should be neighbours in the plane.

    Raises:
        OffsetError: no result passed its checks.
    """
    filled = [r for r in regions if r]
    if not filled:
        return EMPTY
    parts = [_united([filled[k] for k in group], tol) for group in _touching(filled, tol.model_mm)]
    return Region.of(c for part in parts for c in part)


def _united(regions: list[Region], tol: Tolerance) -> Region:
    while len(regions) > 1:
        regions = [union(*regions[k : k + _AT_ONCE], tol=tol) for k in range(0, len(regions), _AT_ONCE)]
    return regions[0]


def _touching(regions: list[Region], near_mm: float) -> list[list[int]]:
    """Return groups of numbers, in order, such that boxes of different groups are more than ``near_mm`` apart."""
    boxes = np.array([bounds(r) for r in regions])
    low, high = boxes[:, :2] - near_mm, boxes[:, 2:] + near_mm
    group = np.full(len(regions), -1)
    count = 0
    for first in range(len(regions)):
        if group[first] >= 0:
            continue
        group[first], ahead = count, [first]
        while ahead:
            k = ahead.pop()
            near = (group < 0) & (low <= high[k]).all(axis=1) & (high >= low[k]).all(axis=1)
            group[near] = count
            ahead += [int(i) for i in np.flatnonzero(near)]
        count += 1
    return [[int(i) for i in np.flatnonzero(group == g)] for g in range(count)]
