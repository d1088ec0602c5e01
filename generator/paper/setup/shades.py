"""What is cut, as areas: depths as shades of grey, the deeper the darker; and how far out the cutter comes."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Final

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.estimate.operations import ROUND
from generator.outline.measure import bounds
from generator.outline.offset import offset_region
from generator.outline.region import EMPTY, Region
from generator.paper.lines import Colour
from generator.paper.setup.subject import Subject
from generator.part.part import Layer

__all__ = ["Shade", "is_through", "reach_of", "runs_over", "shade_of", "shades_of", "works_shaded"]

LIGHTEST, DARKEST, THROUGH = 0.92, 0.72, 0.58
MOST: Final = 6
"""More depths than this share their shades."""


@frozen_record
class Shade:
    """A depth (mm) with its colour; ``through`` for what goes right through."""

    depth_mm: float
    colour: Colour
    through: bool


def is_through(subject: Subject, layer: Layer) -> bool:
    """Return True for a layer that is cut right through the piece of stock."""
    return layer.bottom_mm >= subject.part.thickness_mm - MODEL.model_mm


def works_shaded(subject: Subject) -> Iterable[Layer]:
    """Return the layers that are shaded, the shallowest first; a rim is a line and takes no area."""
    rows = [w.layer for w in subject.works if w.layer.name != "edge-break"]
    return sorted(rows, key=lambda la: la.bottom_mm)


def shades_of(subject: Subject) -> tuple[Shade, ...]:
    """Return the depths of a setup with their shades, the shallowest first."""
    deep = sorted({round(la.bottom_mm, 4) for la in works_shaded(subject) if not is_through(subject, la)})
    out = []
    for k, depth in enumerate(deep):
        share = k / max(len(deep) - 1, 1) if len(deep) > 1 else 0.5
        grey = LIGHTEST - share * (LIGHTEST - DARKEST)
        out.append(Shade(depth, (grey, grey, grey), False))
    if any(is_through(subject, la) for la in works_shaded(subject)):
        out.append(Shade(subject.part.thickness_mm, (THROUGH, THROUGH, THROUGH), True))
    return tuple(out)


def shade_of(subject: Subject, layer: Layer) -> Colour:
    """Return the shade of a layer."""
    through = is_through(subject, layer)
    rows = [s for s in shades_of(subject) if s.through == through]
    return min(rows, key=lambda s: abs(s.depth_mm - layer.bottom_mm)).colour


def reach_of(subject: Subject) -> Region:
    """Return how far out the cutter comes that goes round the part: the outline grown by its diameter.

    The bare outline where no cutter is known or it cannot be grown; empty where the setup cuts no outline.
    """
    work = next((w for w in subject.works if w.layer.name == subject.part.layer), None)
    if work is None:
        return EMPTY
    wide = max((s.step.operation.diameter_mm for s in work.steps if s.step.operation.done == ROUND), default=0.0)
    return grown(work.layer.region, wide)


@lru_cache(maxsize=8)
def grown(region: Region, by_mm: float) -> Region:
    """Return a region grown, or as it is where that cannot be reckoned."""
    try:
        return offset_region(region, by_mm)
    except GeometryError:
        return region


def runs_over(subject: Subject) -> bool:
    """Return True if the cutter that goes round the part leaves nothing of the piece of stock on some side."""
    reach = reach_of(subject)
    if not reach:
        return False
    out, stock = bounds(reach), bounds(subject.stock)
    return out.xmin < stock.xmin or out.ymin < stock.ymin or out.xmax > stock.xmax or out.ymax > stock.ymax
