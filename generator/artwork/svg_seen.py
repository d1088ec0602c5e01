"""Areas painted one over the other, and what of them can be seen."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import Final

from generator.artwork.svg_areas import meet, united, without
from generator.base.errors import GeometryError
from generator.outline.region import Region

MOST_OVER: Final = 40_000
"""So many lines and arcs of dark and light shapes are compared (chosen; about a minute)."""


@dataclass(frozen=True)
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
    lights: list[Region] = []
    left: list[Region] = []
    effort = 0
    for batch in reversed(batches):
        if not batch.dark:
            lights.append(batch.region)
            continue
        over = [light for light in lights if meet(batch.region, light)]
        effort += sum(len(c) for r in (batch.region, *over) for c in r) if over else 0
        if effort > MOST_OVER:
            raise GeometryError("light and dark shapes lie over one another far too often: simplify the drawing")
        left.append(without(batch.region, over))
    return united(left[::-1])
