"""Shapes of given sizes, judged by the wall that they leave, and the smallest change that mends what is too thin.

Nothing is guessed: every change that a message names was drawn and measured.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from math import pi, tan
from typing import Any

from generator.base.errors import GeometryError
from generator.base.units import MODEL
from generator.outline.contour import Contour
from generator.outline.predicates import explain_contour
from generator.outline.region import Region
from generator.shapes.outer.keep import Keep, wall
from generator.shapes.shape import up

SIDE_MM = 1.0
"""Straight sides are no shorter."""
QUARTER = tan(pi / 8.0)
"""Bulge of a quarter circle."""
WIDTHS = 64
"""So many widths are compared for the smallest area."""
STEP_MM = 0.01
"""Sizes are named to a hundredth."""
_DOUBLINGS = 12
_SHARES = (0.9, 0.75, 0.6, 0.45, 0.3, 0.2, 0.1, 0.05, 0.02)
"""Smaller sizes are looked for at these shares of the one given."""

Outline = Callable[[Any, Keep], Contour]
"""Draws the shape of a params record; raises GeometryError where its numbers do not go together."""


@dataclass(frozen=True)
class Sizes:
    """Which keys may be named as a remedy: those that help when they grow, and those that help when they shrink."""

    grow: tuple[str, ...] = ()
    shrink: tuple[str, ...] = ()


def fitted(params: Any, keep: Keep, outline: Outline, sizes: Sizes) -> Region:
    """Return the shape in the world, sound and with its wall measured.

    Args:
        params: the shape's record.
        keep: what it goes round.
        outline: draws a record in the frame of ``keep``.
        sizes: keys that a remedy may name.

    Raises: GeometryError: it cannot be drawn or its wall is too thin; says the smallest changes that do, each tried.
    """
    contour, why = _tried(params, keep, outline)
    if contour is not None:
        return keep.region(contour)
    ways = [way for key in sizes.grow if (way := _grown(params, key, keep, outline))]
    ways += [way for key in sizes.shrink if (way := _shrunk(params, key, keep, outline))]
    ways = ways or _left_out(params, keep, outline, (*sizes.grow, *sizes.shrink))
    raise GeometryError("; ".join([why, *([", or ".join(ways)] if ways else [])]))


def _tried(params: Any, keep: Keep, outline: Outline) -> tuple[Contour | None, str]:
    """Return the shape, or None and why not."""
    try:
        contour = outline(params, keep)
        problem = explain_contour(contour)
        if problem is not None:
            return None, f"the shape is not sound: {problem.message}"
        left = wall(contour, keep)
    except (GeometryError, ZeroDivisionError, OverflowError) as error:
        return None, str(error)
    if left >= keep.margin - MODEL.same_mm:
        return contour, ""
    if left < 0.0:
        return None, f"with a margin of {keep.margin:g} mm the original sticks out of it by {-left:.2f} mm"
    return None, f"it leaves a wall of only {left:.3f} mm where the margin is {keep.margin:g} mm"


def _works(params: Any, key: str, value: float, keep: Keep, outline: Outline) -> bool:
    return _tried(replace(params, **{key: value}), keep, outline)[0] is not None


def _given(params: Any, key: str) -> float | None:
    value = getattr(params, key)
    return float(value) if isinstance(value, int | float) else None


def _grown(params: Any, key: str, keep: Keep, outline: Outline) -> str:
    """Return the least larger value of a key that does, as a remedy; empty if there is none."""
    given = _given(params, key)
    if given is None:
        return ""
    low, stride = given, max(given / 16.0, 1.0)
    for _ in range(_DOUBLINGS):
        high = low + stride
        if _works(params, key, high, keep, outline):
            break
        low, stride = high, stride * 2.0
    else:
        return ""
    good = _between(params, key, low, high, keep, outline)
    for more in (0.0, STEP_MM, 2.0 * STEP_MM, 5.0 * STEP_MM):
        value = float(up(good + more))
        if _works(params, key, value, keep, outline):
            return f"{key}: at least {value:.10g} mm"
    return ""


def _shrunk(params: Any, key: str, keep: Keep, outline: Outline) -> str:
    """Return the largest smaller value of a key that does, as a remedy; empty if there is none."""
    given = _given(params, key)
    if given is None:
        return ""
    bad = given
    for share in _SHARES:
        if _works(params, key, given * share, keep, outline):
            break
        bad = given * share
    else:
        return ""
    good = _between(params, key, bad, given * share, keep, outline)
    for less in (0.0, STEP_MM, 2.0 * STEP_MM, 5.0 * STEP_MM):
        value = round((good - less) // STEP_MM * STEP_MM, 6)
        if value > 0.0 and _works(params, key, value, keep, outline):
            return f"{key}: at most {value:.10g} mm"
    return ""


def _between(params: Any, key: str, bad: float, good: float, keep: Keep, outline: Outline) -> float:
    """Return the value nearest to ``bad`` that does, to half a step."""
    while abs(good - bad) > STEP_MM / 2.0:
        middle = (bad + good) / 2.0
        if _works(params, key, middle, keep, outline):
            good = middle
        else:
            bad = middle
    return good


def _left_out(params: Any, keep: Keep, outline: Outline, keys: Sequence[str]) -> list[str]:
    """Return the remedy of leaving out the sizes that may follow from the margin; none if that does not do either."""
    optional = {f.name for f in fields(params) if f.default is None}
    out = [key for key in keys if key in optional and _given(params, key) is not None]
    if not out or _tried(replace(params, **dict.fromkeys(out)), keep, outline)[0] is None:
        return []
    return [f"leave out {' and '.join(f'`{key}`' for key in out)}: what is left out follows from the margin"]
