"""The connected pieces of a region, each with its holes."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from generator.base.units import MODEL
from generator.outline.contour import Contour
from generator.outline.measure import signed_area
from generator.outline.region import Region
from generator.outline.winding import winding_numbers

__all__ = ["holder_of", "separated"]


REMEMBERED = 256
"""Answers kept: plan and checks ask for the pieces of the same regions."""


@lru_cache(maxsize=REMEMBERED)
def separated(region: Region) -> tuple[Region, ...]:
    """Return the pieces of a region that hang together, the largest outline first; no digit changes."""
    outers = [c for c in region if signed_area(c) > 0.0]
    holes = [c for c in region if signed_area(c) <= 0.0]
    if len(outers) <= 1:
        return (region,) if region else ()
    mine: list[list[Contour]] = [[] for _ in outers]
    for hole in holes:
        holder = holder_of(hole, outers)
        if holder is not None:
            mine[holder].append(hole)
    return tuple(Region.of([outer, *inner]) for outer, inner in zip(outers, mine, strict=True))


def holder_of(contour: Contour, others: list[Contour]) -> int | None:
    """Return the number of the smallest of ``others`` that goes round ``contour``; None if none does.

    Contours of one region do not cross, so a point decides; half of a contour's own points must agree, since some may
    lie where two contours touch.
    """
    points = np.array([v[:2] for v in contour.vertices])
    sizes = [abs(signed_area(o)) for o in others]
    own = abs(signed_area(contour))
    within = [k for k, o in enumerate(others) if sizes[k] > own and _may_hold(o, contour)]
    for k in sorted(within, key=lambda i: sizes[i]):
        if 2 * np.count_nonzero(winding_numbers(others[k], points)) > len(points):
            return k
    return None


def _may_hold(outer: Contour, inner: Contour) -> bool:
    """Return True if the box of one contour lies in that of another."""
    a, b, slack = outer.box, inner.box, MODEL.model_mm
    low = a.xmin <= b.xmin + slack and a.ymin <= b.ymin + slack
    return low and a.xmax >= b.xmax - slack and a.ymax >= b.ymax - slack
