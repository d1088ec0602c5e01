"""Where a traced part lies in its first picture, in pixels."""

from __future__ import annotations

from math import atan2, cos, degrees, radians, sin

import numpy as np
from numpy.typing import NDArray

from generator.trace.tracing import Traced
from generator.trace.unknowns import straightened

Floats = NDArray[np.float64]


def pixels_of(traced: Traced, points: Floats) -> Floats:
    """Return the pixels (u, v) of points in the picture's frame, mm by the true scale, shape (n, 2)."""
    nominal = points @ np.linalg.inv(straightened(traced.solved.found.x)).T
    k = np.array(traced.seen[0].mm_per_px)
    return np.asarray(nominal * np.array([1.0, -1.0]) / k, dtype=np.float64)


def direction_in_picture(traced: Traced, direction: float) -> float:
    """Return a direction of the part's plane (rad) as readings name it: degrees, 0 to the right and 90 down."""
    back = np.linalg.inv(straightened(traced.solved.found.x)) @ np.array([cos(direction), sin(direction)])
    return -degrees(atan2(back[1], back[0]))


def direction_of_part(traced: Traced, direction_deg: float) -> float:
    """Return a direction in the picture (degrees, 90 down) in the part's plane, rad."""
    a = radians(-direction_deg)
    v = straightened(traced.solved.found.x) @ np.array([cos(a), sin(a)])
    return atan2(v[1], v[0])
