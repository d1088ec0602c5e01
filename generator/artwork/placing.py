"""A drawing brought to size and place: scaled, mirrored, moved.

A drawing whose curves were made into arcs within 2 µm must not be enlarged afterwards. So it is read once for its box,
and again at the size wanted.
"""

from __future__ import annotations

from collections.abc import Callable
from math import isfinite
from typing import Final

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.measure import Bounds, bounds
from generator.outline.region import Region
from generator.outline.transform import ACROSS_X, ACROSS_Y, mirrored, moved, scaled

LARGEST: Final = 1e6
"""Factors beyond this, or below its inverse, are a mistake (chosen)."""
_AS_IT_IS: Final = (0.5, 1.0 + 1e-12)
"""Between these factors a drawing that was read once is scaled: its arcs stay within their tolerance."""

FILE, MIDDLE = "file", "middle"
ORIGINS: Final = (FILE, MIDDLE)


@frozen_record
class Placing:
    """How a drawing is placed; of scale, width, height, box and into at most one is given.

    Attributes:
        scale: factor.
        width: of the box round what is drawn, mm.
        height: of that box, mm.
        box: width and height that it must not exceed, mm.
        into: finds the factor, and where the middle of the box goes, of a drawing about the middle of its box.
        flipped: ``x`` or ``y``: mirrored in that axis; empty for not.
        origin: ``file``: of the file itself; ``middle``: the middle of the box round what is drawn.
    """

    scale: float | None = None
    width: float | None = None
    height: float | None = None
    box: tuple[float, float] | None = None
    into: Callable[[Region], tuple[float, float, float]] | None = None
    flipped: str = ""
    origin: str = FILE


def placed(read: Callable[[float], Region], placing: Placing) -> Region:
    """Return a drawing at its size and place.

    Args:
        read: gives the drawing enlarged by a factor, its curves within tolerance at that size.
        placing: what is asked for.
    Raises: GeometryError: the size asked for cannot be had.
    """
    if placing.scale is not None:
        return _put(read(_sane(placing.scale)), placing)
    drawn = read(1.0)
    if placing.into is not None:
        return _into(read, _flipped(drawn, placing.flipped), placing, placing.into)
    factor = _factor(bounds(drawn), placing)
    if factor is None:
        return _put(drawn, placing)
    larger = _enlarged(read, drawn, _sane(factor))
    return _put(scaled(larger, _factor(bounds(larger), placing) or 1.0), placing)


def _factor(box: Bounds, placing: Placing) -> float | None:
    """Return by what a drawing must be enlarged; None to leave it."""
    wanted = placing.box or (placing.width, placing.height)
    there = (box.width_mm, box.height_mm)
    factors = [w / t for w, t in zip(wanted, there, strict=True) if w is not None]
    return min(factors) if factors else None


def _sane(factor: float) -> float:
    if not isfinite(factor) or not 1.0 / LARGEST <= factor <= LARGEST:
        raise GeometryError(
            f"the drawing would have to be scaled by {factor:.4g}: check its size and the one asked for"
        )
    return factor


def _enlarged(read: Callable[[float], Region], drawn: Region, factor: float) -> Region:
    low, high = _AS_IT_IS
    return scaled(drawn, factor) if low <= factor <= high else read(factor)


def _into(
    read: Callable[[float], Region],
    drawn: Region,
    placing: Placing,
    find: Callable[[Region], tuple[float, float, float]],
) -> Region:
    """Return the drawing where it is largest; found once more for what the arcs deviate by at that size."""
    factor, _, _ = find(drawn)
    larger = _enlarged(lambda f: _flipped(read(f), placing.flipped), drawn, _sane(factor))
    rest, x, y = find(larger)
    return moved(scaled(_about_middle(larger), min(rest, 1.0 + 1e-3)), x, y)


def _put(region: Region, placing: Placing) -> Region:
    region = _flipped(region, placing.flipped)
    return _about_middle(region) if placing.origin == MIDDLE else region


def _flipped(region: Region, axis: str) -> Region:
    if not axis:
        return region
    return mirrored(region, ACROSS_X if axis == "x" else ACROSS_Y)


def _about_middle(region: Region) -> Region:
    centre = bounds(region).centre
    return moved(region, -centre.x, -centre.y)
