"""Does a region go round every point once or not at all? Where contours cross or overlap it does not."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from generator.base.errors import OffsetError
from generator.base.units import Tolerance
from generator.outline.carriers import find_carriers
from generator.outline.clip import FillRule, wound
from generator.outline.contour import Contour
from generator.outline.facets import Grid, facet, grid_of
from generator.outline.pieces import Floats, pieces_of
from generator.outline.refit import polygon_area, polygon_length
from generator.outline.remembered import remembered


def refuse_crossings(contours: Sequence[Contour], tol: Tolerance) -> None:
    """Refuse contours that cross, overlap or run the wrong way round by more than about ``tol.model_mm``.

    The way to tell is the winding number: 0 outside, 1 inside, and nothing else. An offset of anything else could
    pass for right, since every point of it may lie at the asked distance from some part of the source.

    Raises:
        OffsetError: says which, and where.
    """
    _refuse(tuple(contours), tol)


@remembered
def _refuse(contours: tuple[Contour, ...], tol: Tolerance) -> None:
    """Do so; what has passed once is not looked at again, however far it is offset."""
    pieces = pieces_of(*contours)
    grid = grid_of(pieces)
    facets = facet(pieces, find_carriers(pieces, grid.origin), grid, tol.facet_mm)
    polygons = facets.polygons()
    spot = _widest(wound(polygons, FillRule.NEGATIVE), grid, tol)
    if spot is not None:
        raise OffsetError(
            f"the outline goes the wrong way round near ({spot[0]:.6g}, {spot[1]:.6g}): it crosses itself there, or "
            "an outer contour runs clockwise; contours must not cross, holes must lie in outer contours"
        )
    low, high = facets.points.min(axis=0) - 2.0, facets.points.max(axis=0) + 2.0
    # a clockwise frame takes one turn off every winding number
    frame = np.array([low, [low[0], high[1]], high, [high[0], low[1]]])
    spot = _widest(wound([*polygons, frame], FillRule.POSITIVE), grid, tol)
    if spot is not None:
        raise OffsetError(
            f"the outline overlaps itself near ({spot[0]:.6g}, {spot[1]:.6g}); contours must not cross or overlap; "
            "unite them first"
        )


def _widest(polygons: Sequence[Floats], grid: Grid, tol: Tolerance) -> tuple[float, float] | None:
    """Return a point of the largest polygon that is no sliver of the facets, mm; None if there is none."""
    found = [p / grid.per_mm for p in polygons]
    real = [p for p in found if abs(polygon_area(p)) > 2.0 * tol.facet_mm * polygon_length(p)]
    if not real:
        return None
    x, y = (max(real, key=lambda p: abs(polygon_area(p)))[0] + grid.origin).tolist()
    return x, y
