"""Where a traced part lies in its first picture, in pixels."""

from __future__ import annotations

from math import atan2, cos, degrees, sin

import numpy as np
from numpy.typing import NDArray

from generator.trace.photo import SeenByCamera
from generator.trace.tracing import Traced
from generator.trace.unknowns import straightened

Floats = NDArray[np.float64]


def pixels_of(traced: Traced, points: Floats, outward: Floats | None = None) -> Floats:
    """Return the pixels (u, v) of points in the picture's frame, mm by the true scale, shape (n, 2).

    Args:
        traced: the part.
        points: in its plane, shape (n, 2).
        outward: normals of the edges that they lie on, shape (n, 2). In a photo an edge that faces the camera's foot
            point is seen at the table, every other one at the top face; without it all are meant at the top face.
    """
    nominal = points @ np.linalg.inv(straightened(traced.solved.found.x)).T
    seen = traced.seen[0]
    if outward is None or not isinstance(seen, SeenByCamera):
        return np.asarray(seen.frame.pixel(nominal), dtype=np.float64)
    away = ((nominal - seen.camera.centre[:2]) * outward).sum(axis=1)
    return seen.camera.pixel(np.column_stack([nominal, np.where(away > 0.0, seen.thickness, 0.0)]))


def direction_in_picture(traced: Traced, direction: float) -> float:
    """Return a direction of the part's plane (rad) as readings name it: degrees, 0 to the right and 90 down."""
    middle = np.mean([p.values[:2] for p in traced.solved.primitives if p.size == 3] or [(0.0, 0.0)], axis=0)
    step = 0.5 * np.array([cos(direction), sin(direction)])
    (a, b), (c, d) = pixels_of(traced, np.array([middle - step, middle + step]))
    return degrees(atan2(d - b, c - a))
