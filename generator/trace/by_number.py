"""Readings that name features by number: the numbers are those of a trace without these readings, made first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import atan2, pi
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.trace.pixels import direction_in_picture, pixels_of
from generator.trace.primitives import LINE, Primitive
from generator.trace.readings import RADIUS, WIDTH, Caliper, Reading
from generator.trace.tracing import Traced

Floats = NDArray[np.float64]

ARTICLE: Final = {"line": "a line", "arc": "an arc", "circle": "a circle"}


def located(caliper: Caliper, trace: Callable[[Caliper], Traced]) -> Caliper:
    """Return readings in which every number has become a pixel or a direction in the first picture.

    Args:
        caliper: the readings.
        trace: traces the part with some of them.

    Raises: GeometryError: there is no feature of that number, or it is not of the kind that was measured.
    """
    if not any(r.numbers for r in caliper.readings):
        return caliper
    first = trace(replace(caliper, readings=tuple(r for r in caliper.readings if not r.numbers)))
    return replace(caliper, readings=tuple(_located(r, first) if r.numbers else r for r in caliper.readings))


def _located(r: Reading, traced: Traced) -> Reading:
    primitives = traced.solved.primitives
    beyond = [n for n in r.numbers if n > len(primitives)]
    if beyond:
        raise GeometryError(
            f"reading {r.name}: there is no feature {beyond[0]}; the overlay shows 1 to {len(primitives)}"
        )
    named = [primitives[n - 1] for n in r.numbers]
    if r.kind == WIDTH:
        within = [n for n, p in zip(r.numbers, named, strict=True) if p.loop > 0]
        if within:
            raise GeometryError(
                f"reading {r.name}: feature {within[0]} is {ARTICLE[named[r.numbers.index(within[0])].kind]} of an "
                "opening, which outside jaws do not touch; name edges of the outline, or mend `kind` (over_holes, "
                "between_holes, centre_distance)"
            )
        return replace(r, numbers=(), direction_deg=direction_in_picture(traced, _across(*named)))
    for n, p in zip(r.numbers, named, strict=True):
        if p.kind == LINE or (r.kind != RADIUS and p.loop == 0):
            what = "an arc" if r.kind == RADIUS else "a hole"
            where = "of the outline" if p.loop == 0 else "of an opening"
            raise GeometryError(
                f"reading {r.name}: feature {n} is {ARTICLE[p.kind]} {where}, not {what}; see the overlay"
            )
    points = [_upon(traced, n) for n in r.numbers] if r.kind == RADIUS else [np.array(p.values[:2]) for p in named]
    clicks = pixels_of(traced, np.array(points))
    return replace(r, numbers=(), holes=tuple((float(u), float(v)) for u, v in clicks))


def _upon(traced: Traced, number: int) -> Floats:
    """Return the place in the middle of what was seen of an arc."""
    return np.asarray(traced.solved.layout.middles[number - 1], dtype=np.float64)


def _across(p: Primitive, q: Primitive) -> float:
    """Return the direction of a width over two features: square to an edge, else over both centres."""
    if p.kind == LINE:
        return p.values[0]
    if q.kind == LINE:
        return q.values[0] + pi
    return atan2(q.values[1] - p.values[1], q.values[0] - p.values[0])
