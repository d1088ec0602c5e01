"""Shapes of given sizes, judged by the wall that they leave; what is too thin is refused with what mends it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from math import pi, tan
from typing import Any, NamedTuple

from generator.base.errors import GeometryError
from generator.base.units import MODEL
from generator.outline.contour import Contour
from generator.outline.predicates import explain_contour
from generator.outline.region import Region
from generator.outline.validity import Fault
from generator.shapes.outer.keep import Keep, wall
from generator.shapes.outer.remedies import OR, Sizes, Verdict, Works, remedies

__all__ = ["QUARTER", "SIDE_MM", "WIDTHS", "Outline", "Sizes", "fitted", "refused"]

SIDE_MM = 1.0
"""Straight sides are no shorter."""
QUARTER = tan(pi / 8.0)
"""Bulge of a quarter circle."""
WIDTHS = 64
"""So many widths are compared for the smallest area."""

Outline = Callable[[Any, Keep], Contour]
"""Draws the shape of a params record; raises GeometryError where its numbers do not go together."""


def fitted(params: Any, keep: Keep, outline: Outline, sizes: Sizes) -> Region:
    """Return the shape in the world, sound and with its wall measured.

    Args:
        params: the shape's record.
        keep: what it goes round.
        outline: draws a record in the frame of ``keep``.
        sizes: keys that a remedy may name.

    Raises: GeometryError: it cannot be drawn or its wall is too thin; says the smallest changes that do, each tried.
    """

    @cache
    def tried(record: Any) -> _Tried:
        return _tried(record, replace(keep, margin=record.margin), outline)

    contour, why, _ = tried(params)
    if contour is None:
        raise refused(why, params, lambda record: tried(record).verdict, sizes)
    return Region((contour,))


def refused(why: str, params: Any, works: Works, sizes: Sizes, other: tuple[str, Any] = ("", None)) -> GeometryError:
    """Return the refusal of a record: why, and what mends it.

    Args:
        why: one sentence.
        params: the record.
        works: tries a record.
        sizes: keys that may be named.
        other: a remedy without a figure, and the record with it applied: told where no figure helps without it; after
            that only a smaller margin is tried.
    """
    text, record = other
    ways = remedies(params, works, sizes)
    if not ways and text:
        more = remedies(record, works, sizes).split(OR) if not works(record) else []
        ways = OR.join(f"{text} and {way}" for way in more if way) if more else text
    ways = ways or remedies(params, works, Sizes(shrink=("margin",)))
    return GeometryError(f"{why}; {ways}" if ways else why)


class _Tried(NamedTuple):
    """The shape as it lies in the world, or None and why not."""

    contour: Contour | None
    why: str
    verdict: Verdict


def _tried(params: Any, keep: Keep, outline: Outline) -> _Tried:
    """Return the shape of a record, or why there is none."""
    try:
        contour = outline(params, keep)
    except GeometryError as error:
        return _Tried(None, str(error), Verdict.NOT_DRAWN)
    except (ZeroDivisionError, OverflowError):
        return _Tried(None, "its numbers are too far apart to be drawn", Verdict.NOT_DRAWN)
    placed = keep.frame.outwards(contour)
    problem = explain_contour(placed)
    if problem is not None:
        return _Tried(None, _unsound(problem.fault), Verdict.NOT_DRAWN)
    left = wall(contour, keep)
    if left >= keep.margin - MODEL.same_mm:
        return _Tried(placed, "", Verdict.KEPT)
    why = f"it leaves a wall of only {left:.3f} mm where the margin is {keep.margin:g} mm"
    if left < 0.0:
        why = f"with a margin of {keep.margin:g} mm the original sticks out of it by {-left:.2f} mm"
    return _Tried(None, why, Verdict.THIN)


def _unsound(fault: Fault) -> str:
    """Return in plain words what would be wrong with the edge."""
    if fault in (Fault.CROSSES, Fault.DOUBLES_BACK, Fault.TOUCHES):
        return "with these numbers its edge would run across itself"
    return "with these numbers nothing would be left of one of its sides or rounds"
