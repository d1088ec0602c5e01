"""A sheet as it is laid held against what was asked: every piece on it, none too near another or the edge.

Distances are those of exact outlines, lines and arcs; nothing that laid the pieces takes part.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from generator.family.cut_list.fill import Margins
from generator.family.cut_list.laid import Item, Pattern, lying_on
from generator.outline.distance import region_distance
from generator.outline.measure import bounds
from generator.outline.predicates import overlaps
from generator.outline.region import Region

__all__ = ["fault_of"]

SLACK_MM: Final = 1e-6
"""Rounding of places."""


def fault_of(pattern: Pattern, items: Sequence[Item], margins: Margins) -> str:
    """Return what is wrong with a sheet in one sentence; empty if nothing is."""
    regions = lying_on(pattern, items)
    boxes = np.array([[b.xmin, b.ymin, b.xmax, b.ymax] for b in map(bounds, regions)]).reshape(-1, 4)
    stock, edge = pattern.stock, margins.edge_mm - SLACK_MM
    over = (boxes[:, :2] < edge).any(axis=1) | (boxes[:, 2:] > [stock.length - edge, stock.width - edge]).any(axis=1)
    if over.any():
        return f"piece {int(over.argmax()) + 1} lies nearer to the edge than {margins.edge_mm:g} mm"
    for first, second in _near(boxes, margins.spacing_mm - SLACK_MM):
        if not _apart(regions[first], regions[second], margins.spacing_mm):
            return f"pieces {first + 1} and {second + 1} lie nearer to each other than {margins.spacing_mm:g} mm"
    return ""


def _near(boxes: np.ndarray, within: float) -> list[tuple[int, int]]:
    """Return the pairs whose boxes come nearer than ``within`` along both axes."""
    out = []
    for i in range(1, len(boxes)):
        gap = np.maximum(boxes[:i, :2] - boxes[i, 2:], boxes[i, :2] - boxes[:i, 2:]).max(axis=1)
        out += [(int(j), i) for j in np.flatnonzero(gap < within)]
    return out


def _apart(a: Region, b: Region, spacing_mm: float) -> bool:
    if spacing_mm > SLACK_MM:
        return region_distance(a, b).distance_mm >= spacing_mm - SLACK_MM
    return not overlaps(a, b)
