"""Booleans of regions: union, difference, intersection, exclusive; and any closed contours made into a region."""

from __future__ import annotations

from collections.abc import Iterable

from generator.base.units import MODEL, Tolerance
from generator.outline.clip import FillRule, Operation
from generator.outline.contour import Contour
from generator.outline.nearness import Nearness
from generator.outline.pieces import computable, pieces_of
from generator.outline.region import EMPTY, Region
from generator.outline.remembered import remembered
from generator.outline.resolve import Task, resolve

__all__ = ["FillRule", "difference", "exclusive", "intersection", "regularise", "union"]


@remembered
def union(*regions: Region, tol: Tolerance = MODEL) -> Region:
    """Return everything that is in any of ``regions``.

    Raises:
        OffsetError: no result passed its checks.
    """
    filled = [r for r in regions if r]
    if len(filled) < 2:
        return filled[0] if filled else EMPTY
    contours = [c for r in filled for c in r]
    return _combine(contours, [], Operation.UNION, -1, tol)


@remembered
def difference(region: Region, *others: Region, tol: Tolerance = MODEL) -> Region:
    """Return what is in ``region`` and in none of ``others``.

    Raises:
        OffsetError: no result passed its checks.
    """
    clips = [c for r in others for c in r]
    if not region or not clips:
        return region
    return _combine(list(region), clips, Operation.DIFFERENCE, 0 if len(others) > 1 else 1, tol)


@remembered
def intersection(a: Region, b: Region, *, tol: Tolerance = MODEL) -> Region:
    """Return what is in both regions.

    Raises:
        OffsetError: no result passed its checks.
    """
    if not a or not b:
        return EMPTY
    return _combine(list(a), list(b), Operation.INTERSECTION, 1, tol)


def exclusive(a: Region, b: Region, *, tol: Tolerance = MODEL) -> Region:
    """Return what is in exactly one of the two regions (symmetric difference).

    Raises:
        OffsetError: no result passed its checks.
    """
    return union(difference(a, b, tol=tol), difference(b, a, tol=tol), tol=tol)


def regularise(contours: Iterable[Contour], *, rule: FillRule = FillRule.NON_ZERO, tol: Tolerance = MODEL) -> Region:
    """Return the region that any closed contours enclose, whatever they cross, overlap or repeat.

    Args:
        contours: closed; they may cross themselves and one another, and run either way.
        rule: which winding numbers count as inside.
        tol: named tolerances.

    Raises:
        OffsetError: no result passed its checks.
    """
    return _combine(list(contours), [], Operation.UNION, 0, tol, rule)


def _combine(
    subjects: list[Contour],
    clips: list[Contour],
    operation: Operation,
    side: int,
    tol: Tolerance,
    fill: FillRule = FillRule.POSITIVE,
) -> Region:
    subjects, clips = computable(subjects), computable(clips)
    if not subjects:
        return EMPTY
    both = [*subjects, *clips]
    source = Nearness(both)
    task = Task(
        pieces=pieces_of(*both),
        subjects=len(subjects),
        operation=operation,
        fill=fill,
        side=side,
        sources=both,
        deviation=lambda result: source.off_distance(result, 0.0, 2.0 * tol.model_mm),
    )
    return resolve(task, tol)
