"""Hairlines in what a drawing holds: outlines that lie closer to each other than anybody draws on purpose."""

from __future__ import annotations

from math import hypot
from typing import Final

from generator.base.errors import ContourError, GeometryError
from generator.outline.combine import difference, union
from generator.outline.measure import bounds, length
from generator.outline.narrow import Narrow, necks, necks_between
from generator.outline.opening import closing, opening
from generator.outline.region import Region

HAIRLINE_MM: Final = 0.025
"""Outlines this close were meant as one, drawn twice (chosen: twice the gap over which ends are joined, and a little
more; no cutter makes such a rib or slot)."""


_PART: Final = 1 / 400
"""Small drawings, which are enlarged as a rule, have finer hairlines: this part of their size (chosen)."""


SLIVER_MM: Final = 0.004
"""Slivers and gaps this thin come of rounding where a drawing program lays one outline on another (chosen: twice the
tolerance of curves); they are taken out of drawings whose shapes may overlap."""
_LONG: Final = 25.0
"""A residue this many times as long as the sliver's width is no corner (chosen)."""


def without_slivers(region: Region, factor: float = 1.0) -> tuple[Region, tuple[str, ...]]:
    """Return a region without slivers and gaps thinner than ``SLIVER_MM``, and what is to be told of them.

    All else keeps its vertices. Where corners all but touch, or a sliver cannot be parted from the rest, the region
    stays as it is, and the place is told.

    Args:
        region: the area, mm.
        factor: by which the drawing was enlarged; the smaller of the limits before and after counts.

    Raises: ContourError: the region is but slivers; says where.
    """
    limit = SLIVER_MM * min(factor, 1.0)
    thin, gaps = necks(region, limit), necks_between(region, limit)
    if not thin and not gaps:
        return region, ()
    worst = min((*thin, *gaps), key=lambda n: n.width_mm)
    mended = _mended(region, limit)
    if mended is None:
        return region, (f"{_place(worst, factor)}: is something drawn twice there?",)
    if not mended:
        _refuse(worst, limit, factor)
    count = len(thin) + len(gaps)
    return mended, (f"slivers and gaps taken out at {count} places, where {_place(worst, factor)}",)


def _mended(region: Region, limit: float) -> Region | None:
    """Return a region without slivers and gaps; None if some stay."""
    try:
        found = difference(region, _slivers(region, limit))
        found = union(found, _gaps(found, limit)) if found else found
    except GeometryError:
        return None
    return None if found and (necks(found, limit) or necks_between(found, limit)) else found


def _slivers(region: Region, limit: float) -> Region:
    return _long(difference(region, opening(region, limit / 2.0)), limit)


def _gaps(region: Region, limit: float) -> Region:
    return _long(difference(closing(region, limit / 2.0), region), limit)


def _long(residue: Region, limit: float) -> Region:
    """Return what of a residue is long and thin; corners are neither."""
    return Region(tuple(c for c in residue if length(c) > 2.0 * _LONG * limit))


def _place(thin: Narrow, factor: float) -> str:
    x, y = (round(n / factor, 4) + 0.0 for n in thin.at)
    return f"two lines lie only {thin.width_mm / factor:.2g} mm apart near ({x:g}, {y:g}) mm of the drawing"


def _refuse(thin: Narrow, limit: float, factor: float) -> None:
    raise ContourError(
        f"{_place(thin, factor)}, closer than {limit / factor:.2g} mm: is something drawn twice there? Delete the one "
        "that is not meant",
        point_mm=thin.at,
    )


def refuse_hairlines(region: Region, factor: float) -> None:
    """Return quietly unless two sides of a drawing's area, or of what is between its parts, lie within a hairline.

    Args:
        region: the area, mm.
        factor: by which the drawing was enlarged.

    Raises: ContourError: they do; says where in the drawing and how far apart.
    """
    x0, y0, x1, y1 = bounds(region)
    limit = min(HAIRLINE_MM * min(factor, 1.0), hypot(x1 - x0, y1 - y0) * _PART)
    found = [*necks(region, limit)[:1], *necks_between(region, limit)[:1]]
    if not found:
        return
    _refuse(min(found, key=lambda n: n.width_mm), limit, factor)
