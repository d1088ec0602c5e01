"""Which face of a plate each point of its edge is seen on, in a photo: the top one, the bottom one, or none.

The top edge is seen where the outward normal points away from the camera's foot point, the bottom edge where it points
towards it. Where the one gives way to the other on a bulge or a corner, the wall's own upright outline is seen between
them, for as long as top and bottom look apart. What lies there is on neither face: put on one of them it folds back
over what is seen beside it, which looks like a burr or like a small arc.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

SURE_DEG: Final = 3.0
"""Beyond an upright edge normals differ from square to the line of sight by more than this (chosen; noise makes 2)."""
ENDS: Final = 0.3
"""Of the distance of points: so much beyond an upright edge's ends is left out, too."""
NEAR: Final = 1.2
"""Within so many points of where both faces' edges cross, blur shows neither of them where it is."""


class Faces(NamedTuple):
    """For every point of a loop: whether it is seen on the top face, whether on either, and whether blur moved it.

    Blur moves those where a hollow goes from one face to the other: there both edges cross at an angle.
    """

    top: Flags
    kept: Flags
    blurred: Flags


def faces_of(halfway: Floats, normals: Floats, foot: Floats, rise: float) -> Faces:
    """Return on which face the points of a loop are seen.

    Args:
        halfway: points in order, projected to the plane half way between the faces, shape (n, 2), mm.
        normals: unit normals away from the material there, shape (n, 2).
        foot: the camera's foot point, mm.
        rise: thickness of the plate for the camera's height.
    """
    n = len(halfway)
    sight = halfway - foot
    far = np.hypot(sight[:, 0], sight[:, 1])
    turned = (sight * normals).sum(axis=1) / np.maximum(far, 1e-9)  # sine of the angle off the line of sight
    top, kept, blurred = turned > 0.0, np.ones(n, dtype=bool), np.zeros(n, dtype=bool)
    calm = (np.roll(turned, 1) + turned + np.roll(turned, -1)) / 3.0
    spacing = float(np.median(np.hypot(*(np.roll(halfway, -1, axis=0) - halfway).T)))
    for i in np.flatnonzero((calm > 0.0) != (np.roll(calm, -1) > 0.0)):
        after = (i + 1) % n
        centre = calm[i] / (calm[i] - calm[after])
        half = 0.5 * rise * float(far[i]) / max(spacing, 1e-9)  # of the upright edge, in points
        reach = int(np.ceil(half + ENDS)) + 1
        if 2 * reach + 2 > n:
            continue
        before, beyond = (i - reach) % n, (after + reach) % n
        sure = np.sin(np.radians(SURE_DEG))
        if min(abs(turned[before]), abs(turned[beyond])) < sure or turned[before] * turned[beyond] > 0.0:
            continue  # an edge along the line of sight: it does not matter on which face it is seen
        along = halfway[after] - halfway[i]
        around = np.arange(-reach, reach + 2)
        at = (i + around) % n
        # projected onto their faces, the points before would go on beyond the points behind: a fold, else a gap
        if float(along @ sight[i]) * (calm[after] - calm[i]) <= 0.0:
            blurred[at[np.abs(around - centre) < NEAR]] = True
            continue
        top[at] = np.where(around <= centre, turned[before] > 0.0, turned[beyond] > 0.0)
        kept[at[np.abs(around - centre) < half + ENDS]] = False
    return Faces(top, kept, blurred)
