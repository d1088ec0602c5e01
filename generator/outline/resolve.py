"""The engine behind offsets and booleans: pieces in, exact contours out, checked before they are handed on.

Facets decide the topology, carriers give the geometry: the pieces are cut into fine facets, an integer polygon
clipper says which parts of which facets bound the result, and those parts are replaced by the exact lines and
circles they lie on. If the outcome does not pass its checks the facets are made finer.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np

from generator.base.errors import OffsetError
from generator.base.frozen_record import frozen_record
from generator.base.units import Tolerance
from generator.outline.carriers import Carriers, find_carriers
from generator.outline.clip import Clipped, FillRule, Operation, clip, recognise
from generator.outline.contour import Contour
from generator.outline.facets import Facets, Grid, facet, grid_of
from generator.outline.measure import measure_together, signed_area
from generator.outline.pieces import Pieces
from generator.outline.refit import Refit, UnfitError, polygon_area, polygon_length
from generator.outline.region import EMPTY, Region

_FINER = (1.0, 0.1, 0.01)
_STRAIGHT_MM = 1e-7
_MANY = 1500  # pieces; so many come from tracing, where a result as good as the facets is good enough to stop


@frozen_record
class Task:
    """What the engine is asked to do.

    Attributes:
        pieces: the chains the operation is about, and behind them those it is done with.
        subjects: how many chains it is about: all of them for offsets and unions.
        operation: union, difference or intersection.
        fill: which winding numbers are inside.
        side: to which side the result turns where it changes chains: +1 left, -1 right, 0 unknown.
        sources: the contour of each chain, in order; handed back as it is where nothing touches it.
        deviation: measures how far (mm) finished contours lie from where they should.
    """

    pieces: Pieces
    subjects: int
    operation: Operation = Operation.UNION
    fill: FillRule = FillRule.POSITIVE
    side: int = 0
    sources: Sequence[Contour] = ()
    deviation: Callable[[list[Contour]], float] | None = None


def resolve(task: Task, tol: Tolerance) -> Region:
    """Return the region that ``task`` describes.

    Raises:
        OffsetError: no facet size led to a result that passes its checks.
    """
    pieces = task.pieces
    if not len(pieces):
        return EMPTY
    grid = grid_of(pieces)
    carriers = find_carriers(pieces, grid.origin)
    reasons: list[str] = []
    best: list[Contour] | None = None
    least = tol.model_mm
    enough = tol.same_mm if len(pieces) < _MANY else 1.5 * tol.facet_mm
    for finer in _FINER:
        try:
            contours, fresh = _attempt(task, carriers, grid, tol.facet_mm * finer)
        except UnfitError as unfit:
            reasons.append(str(unfit))
            continue
        deviation = task.deviation(fresh) if task.deviation and fresh else 0.0  # sources lie on themselves
        if deviation <= least:
            best, least = contours, deviation
        if best is not None and least <= enough:
            break
        reasons.append(f"the boundary is off by {deviation:.3g} mm")
    if best is None:
        raise OffsetError("the outline could not be computed within tolerance: " + "; ".join(reasons))
    return Region.of(best)


def _attempt(task: Task, carriers: Carriers, grid: Grid, facet_mm: float) -> tuple[list[Contour], list[Contour]]:
    """Return the contours of the result, and those among them that are no source handed back."""
    pieces = task.pieces
    facets = facet(pieces, carriers, grid, facet_mm)
    polygons = clip(facets, task.subjects, task.operation, task.fill)
    # facets of straight lines are the lines themselves: only rounding to the grid makes slivers of them
    error_mm = facet_mm if pieces.circle.any() else _STRAIGHT_MM
    kept = [p for p in polygons if _is_area(p / grid.per_mm, error_mm)]
    if not kept:
        return [], []
    clipped = recognise(kept, facets)
    refit = Refit(pieces, carriers, facets, grid, clipped, task.side, facet_mm)
    return _contours(task, refit)


def _contours(task: Task, refit: Refit) -> tuple[list[Contour], list[Contour]]:
    """Return the contours of all loops, and those among them that are no source handed back.

    Raises: UnfitError: one has no exact counterpart, or another area than its loop.
    """
    found: list[Contour] = []
    fresh: list[tuple[Contour, int, int]] = []
    try:
        for low, high in pairwise(refit.clipped.first.tolist()):
            same = _untouched(task, refit.facets, refit.clipped, low, high)
            found.append(_contour(refit, low, high) if same is None else same)
            if same is None:
                fresh.append((found[-1], low, high))
    finally:  # where one has no counterpart, those before it have the first word
        measure_together(contour for contour, _, _ in fresh)
        for contour, low, high in fresh:
            _demand_area(contour, refit, low, high)
    return found, [contour for contour, _, _ in fresh]


def _is_area(points: np.ndarray, error_mm: float) -> bool:
    """Return False for slivers that only the facets make: nowhere wider than a few chord errors."""
    return abs(polygon_area(points)) > 2.0 * error_mm * polygon_length(points)


def _contour(refit: Refit, low: int, high: int) -> Contour:
    rows = refit.loop(low, high)
    lead = rows.index(min(rows))  # where the clipper starts a loop means nothing
    return Contour.of([*rows[lead:], *rows[:lead]])


def _demand_area(contour: Contour, refit: Refit, low: int, high: int) -> None:
    """Raise UnfitError if a contour has not the area of its loop."""
    points = refit.grid.to_mm(refit.clipped.points[low:high])
    miss = abs(signed_area(contour) - polygon_area(points))
    if miss > 2.0 * refit.facet_mm * polygon_length(points) + 1e-9:
        raise UnfitError(f"a contour's area is off by {miss:.3g} mm²")


def _untouched(task: Task, facets: Facets, clipped: Clipped, low: int, high: int) -> Contour | None:
    """Return the source contour that this loop is, if nothing has touched it."""
    edge = clipped.edge[low:high]
    if not task.sources or edge[0] < 0:
        return None
    chain = int(np.searchsorted(facets.first, edge[0], "right")) - 1
    a, b = int(facets.first[chain]), int(facets.first[chain + 1])
    forward = bool(clipped.with_us[low])
    vertices = edge if forward else facets.following[edge]
    whole = high - low == b - a and edge.min() >= a and edge.max() < b
    if not whole or not (facets.points[vertices] == clipped.points[low:high]).all():
        return None
    source = task.sources[chain]
    return source if forward else source.reversed()
