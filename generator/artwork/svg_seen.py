"""Areas painted one over the other, and what of them can be seen."""

from __future__ import annotations

from itertools import groupby
from math import inf
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.artwork.svg_areas import united, without
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.measure import bounds
from generator.outline.region import Region

MOST_OVER: Final = 40_000
"""So many lines and arcs of dark and light shapes are compared (chosen; about a minute)."""


@frozen_record
class Painted:
    """An area that is painted.

    Attributes:
        region: mm.
        dark: whether its colour is a dark one.
    """

    region: Region
    dark: bool


def seen_of(layers: list[Painted], *, every: bool = False) -> Region:
    """Return what can be seen of areas painted one over the other: of each dark one what no light one hides.

    Args:
        layers: in the order of painting.
        every: whether light ones count as well as dark ones.
    Raises: GeometryError: they lie over one another far too often.
    """
    if every:
        return united([p.region for p in layers])
    batches: list[Painted] = []
    for dark, same in groupby(layers, key=lambda p: p.dark):
        found = list(same)
        batches += [Painted(united([p.region for p in found]), True)] if dark else found
    lights = _Lights(sum(not b.dark for b in batches))
    left: list[Region] = []
    effort = 0
    for batch in reversed(batches):
        if not batch.dark:
            lights.add(batch.region)
            continue
        over = lights.over(batch.region)
        effort += sum(len(c) for r in (batch.region, *over) for c in r) if over else 0
        if effort > MOST_OVER:
            raise GeometryError(
                f"light and dark shapes lie over one another far too often ({effort} lines and arcs would be compared, "
                f"at most {MOST_OVER} are): simplify the drawing"
            )
        left.append(without(batch.region, over))
    return united(left[::-1])


class _Lights:
    """Light areas with their boxes, each reckoned once."""

    def __init__(self, count: int) -> None:
        self._regions: list[Region] = []
        self._boxes: NDArray[np.float64] = np.empty((count, 4))

    def add(self, region: Region) -> None:
        self._boxes[len(self._regions)] = _box(region)
        self._regions.append(region)

    def over(self, region: Region) -> list[Region]:
        """Return those whose box has something in common with that of a region."""
        x0, y0, x1, y1 = _box(region)
        b = self._boxes[: len(self._regions)]
        near = (b[:, 0] < x1) & (x0 < b[:, 2]) & (b[:, 1] < y1) & (y0 < b[:, 3])
        return [self._regions[int(k)] for k in np.flatnonzero(near)]


def _box(region: Region) -> tuple[float, float, float, float]:
    if not region:
        return inf, inf, -inf, -inf
    b = bounds(region)
    return b.xmin, b.ymin, b.xmax, b.ymax
