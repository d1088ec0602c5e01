"""Readings upon primitives: which features a reading means, and the equation that it makes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import atan2, cos, radians, sin
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.trace.layout import Layout
from generator.trace.misnamed import features_instead, of_features, width_instead
from generator.trace.primitives import LINE, distance
from generator.trace.reading_equations import outside_width
from generator.trace.readings import BETWEEN_HOLES, CENTRES, DIAMETER, OVER_HOLES, RADIUS, WIDTH, Caliper, Reading
from generator.trace.relating import Readings
from generator.trace.unknowns import Measured, straightened

Floats = NDArray[np.float64]

REACH_MM: Final = 4.0
"""A click farther than this from any edge that could be meant names no feature."""


class Framing(Protocol):
    """How pixels of the picture that the readings speak of become mm of the part, before anything is fitted."""

    def nominal(self, point: tuple[float, float]) -> Floats:
        """Return a pixel in mm, y up."""

    def direction(self, direction_deg: float, near: Sequence[tuple[float, float]]) -> float:
        """Return a direction in the picture (degrees, 90 down) at some pixels as one in the plane, rad."""

    def pixel(self, points: Floats) -> Floats:
        """Return the pixels of points in mm, both shape (n, 2)."""


@frozen_record(eq=False)
class Frame:
    """A scan's: pixels are the same size everywhere."""

    mm_per_px: tuple[float, float]

    def nominal(self, point: tuple[float, float]) -> Floats:
        """Return a pixel in mm, y up."""
        return np.array([point[0] * self.mm_per_px[0], -point[1] * self.mm_per_px[1]])

    def direction(self, direction_deg: float, near: Sequence[tuple[float, float]]) -> float:
        """Return a direction in the picture as one in the plane, rad; it is the same everywhere."""
        a = radians(-direction_deg)
        return (
            a
            if self.mm_per_px[0] == self.mm_per_px[1]
            else atan2(self.mm_per_px[1] * sin(a), self.mm_per_px[0] * cos(a))
        )

    def pixel(self, points: Floats) -> Floats:
        """Return the pixels of points in mm."""
        return np.asarray(points * np.array([1.0, -1.0]) / np.array(self.mm_per_px), dtype=np.float64)


def measured_by(caliper: Caliper, frame: Framing) -> Readings:
    """Return the function that turns readings into measured values of the unknowns."""

    def measured(layout: Layout, x: Floats) -> list[Measured]:
        out = []
        for r in caliper.readings:
            m = _measured(r, layout, x, caliper.deviation, frame)
            if m is not None:
                out.append(replace(m, name=r.name))
        return out

    return measured


def _measured(r: Reading, layout: Layout, x: Floats, sigma: float, frame: Framing) -> Measured | None:
    """Return what a reading says of the primitives, or None for one that concerns none.

    Raises: GeometryError: a pixel names no feature, or both pixels name the same one.
    """
    model = layout.model
    if r.kind == WIDTH:
        assert r.direction_deg is not None
        a = frame.direction(r.direction_deg, r.touch)
        v = straightened(x) @ np.array([cos(a), sin(a)])
        turn = atan2(v[1], v[0])
        m = outside_width(model, layout.joints[0], x, turn, r.value, sigma)
        return replace(m, instead=lambda: width_instead(model, layout.joints[0], x, turn, m))
    if r.kind not in (DIAMETER, RADIUS, CENTRES, OVER_HOLES, BETWEEN_HOLES):
        return None
    features = [n - 1 for n in r.numbers] or [_feature(r, p, layout, x, frame) for p in r.holes]
    if len(features) == 2 and features[0] == features[1]:
        where = " and ".join(f"({u:g}, {v:g})" for u, v in r.holes) or f"feature {r.numbers[0]}"
        raise GeometryError(
            f"reading {r.name}: {where} lie in the same hole, but a `{r.kind}` is read between two; give a pixel in "
            "each of the two holes that were measured"
        )
    m = of_features(r.kind, model, features, r.value, sigma)
    return replace(m, instead=lambda: features_instead(r.kind, model, x, features, m))


def _feature(r: Reading, point: tuple[float, float], layout: Layout, x: Floats, frame: Framing) -> int:
    """Return the number of the arc or circle that a click means: the hole that it lies in, else the nearest edge.

    Raises: GeometryError: it names none.
    """
    at = straightened(x) @ frame.nominal(point)
    primitives = layout.model.with_values(x)
    best: tuple[float, int] | None = None
    for i, p in enumerate(primitives):
        if p.kind == LINE or (r.kind == DIAMETER and p.side > 0 and p.loop > 0):
            continue
        if r.kind == RADIUS:
            off = abs(float(distance(p, at[None, :])[0]))
        elif p.loop == 0:
            continue
        else:
            off = max(0.0, float(np.hypot(at[0] - p.values[0], at[1] - p.values[1])) - p.values[2])
        if best is None or off < best[0]:
            best = (off, i)
    if best is None or best[0] > REACH_MM:
        raise GeometryError(
            f"reading {r.name}: there is no {'arc' if r.kind == RADIUS else 'hole'} at pixel "
            f"({point[0]:g}, {point[1]:g}); click inside the feature that was measured"
        )
    return best[1]
