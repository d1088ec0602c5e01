"""Where a traced part lies in its first picture, in pixels."""

from __future__ import annotations

from math import atan2, cos, degrees, sin

import numpy as np
from numpy.typing import NDArray

from generator.trace.primitives import LINE
from generator.trace.tracing import Traced
from generator.trace.unknowns import straightened

Floats = NDArray[np.float64]


def pixels_of(traced: Traced, points: Floats) -> Floats:
    """Return the pixels (u, v) of points in the picture's frame, mm by the true scale, shape (n, 2)."""
    nominal = points @ np.linalg.inv(straightened(traced.solved.found.x)).T
    return traced.seen[0].frame.pixel(nominal)


def direction_in_picture(traced: Traced, direction: float) -> float:
    """Return a direction of the part's plane (rad) as readings name it: degrees, 0 to the right and 90 down.

    In a photo it is meant at the part's middle.
    """
    middle = np.mean([p.values[:2] for p in traced.solved.primitives if p.kind != LINE] or [(0.0, 0.0)], axis=0)
    d = 0.5 * np.array([cos(direction), sin(direction)])
    behind, ahead = pixels_of(traced, np.array([middle - d, middle + d]))
    return degrees(atan2(ahead[1] - behind[1], ahead[0] - behind[0]))


def direction_of_part(traced: Traced, direction_deg: float) -> float:
    """Return a direction in the picture (degrees, 90 down) in the part's plane, rad; in a photo at its middle."""
    a = traced.seen[0].frame.direction(direction_deg, ())
    v = straightened(traced.solved.found.x) @ np.array([cos(a), sin(a)])
    return atan2(v[1], v[0])
