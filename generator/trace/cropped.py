"""A photo that was probably cropped: its middle is not where the lens's axis meets it.

A rectangle seen at an angle tells six numbers of where the camera stands and one of its lens; where the axis meets the
picture would be two more, and only the lens's bend tells them, faintly. So the place stays uncertain, and what that
does to the part goes into the fit like all else that a camera leaves open.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from generator.trace.camera import Sides, Stand, stand_from
from generator.trace.reference import Shape

USUAL_ASPECTS: Final = (4.0 / 3.0, 3.0 / 2.0, 16.0 / 9.0, 1.0, 2.0)
"""Long for short side of what cameras save (common practice, no source)."""
ODD: Final = 0.01
"""A share by which a form differs that no camera saves."""
AXIS_SD: Final = 0.06
"""Standard deviation of the axis's place, as a share of the longer side: an eighth cut off one end (chosen)."""
STEPS: Final = (0.25, 0.1, 0.04)
"""Shares of that by which the axis is moved to see what it does: the first with which the sides go still."""
WORSE: Final = 1.5
"""Sides go with an axis that leaves them no more than this many times as far off straight lines."""


def looks_cropped(width: int, height: int) -> bool:
    """Tell whether a picture has a form that no camera saves."""
    form = max(width, height) / min(width, height)
    return all(abs(form / usual - 1.0) > ODD for usual in USUAL_ASPECTS)


def off_axis(
    stand: Stand, sides: Sides, shape: Shape, focal: tuple[float, float], longest: int
) -> tuple[Stand, tuple[tuple[Stand, float], ...]]:
    """Return a photo's camera, and cameras whose axis is off along u and v with the share of a standard deviation.

    Args:
        stand: the camera whose axis meets the picture's middle.
        sides: points on the reference's sides.
        shape: the reference.
        focal: focal length in pixels as known beforehand, and its relative standard deviation.
        longest: longer side of the picture, px.
    """

    def at(u: float, v: float) -> Stand:
        return stand_from(sides, stand.values, stand.heading, shape, focal, stand.middle + np.array([u, v]))

    freed = at(0.0, 0.0)
    best = freed if freed.rms_mm <= WORSE * stand.rms_mm else stand
    moved = []
    for u, v in ((1.0, 0.0), (0.0, 1.0)):
        for share in STEPS:
            far = share * AXIS_SD * longest
            other = at(u * far, v * far)
            if other.rms_mm <= WORSE * best.rms_mm:
                moved.append((other, share))
                break
    return best, tuple(moved)
