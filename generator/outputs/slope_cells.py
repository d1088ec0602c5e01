"""Which ground of a slope belongs to which facet of its foot: the facet that lies nearest. For pictures only.

Along straight sides the facets of a slope meet in mitres. At the tip of two curved sides the strips of one side run on
into those of the other; there every strip gives up what lies nearer to a facet of the other side, so that the two
slopes meet in their ridge and neither stands above it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from generator.outputs.projection import Floats
from generator.outputs.shade import DIFFERENCE, INTERSECTION, clipped

__all__ = ["has_tip", "slope_cells"]

_TURN = 0.9
"""Cosine of the angle (about 25 degrees) between facets below which their strips may run into each other."""
_SEAM_MM = 0.003
"""Width that rounding may leave between strips, with a margin."""
_SLIVER_MM = 0.005
"""Mean width of slivers: corners are rounded to a micrometre where polygons are cut."""


def has_tip(normals: Floats) -> bool:
    """Return True if there is a corner of the material between two facets, given their outward normals in order."""
    before = np.roll(normals, 1, axis=0)
    turn = before[:, 0] * normals[:, 1] - before[:, 1] * normals[:, 0]
    return bool(((turn > 0.0) & ((before * normals).sum(axis=1) < _TURN)).any())


def slope_cells(strips: Floats, normals: Floats) -> list[list[Floats]]:
    """Return for every facet the polygons (mm) of its slope.

    Args:
        strips: (n, 4, 2): foot of a facet from start to end, then its strip's inner corners, end first; mm. The feet
            run counter-clockwise round the material.
        normals: (n, 2): outward unit normals of the feet.
    """
    foot = strips[:, 0]
    rivals = _rivals(strips, normals)
    crossed = _is_crossed(strips)
    whole, wide = _uncrossed(strips, crossed), _uncrossed(_widened(strips, normals), crossed)
    out = []
    for i, mine in enumerate(whole):
        others = np.flatnonzero(rivals[i]).tolist()
        lost = [part for j in others for p in wide[j] if len(part := _nearer(p, j, i, foot, normals)) > 2]
        kept = clipped(mine, lost, DIFFERENCE) if lost else mine
        kept = clipped(kept, [foot], INTERSECTION) if others or crossed[i] else kept
        out.append([p for p in kept if not _is_sliver(p)])
    return out


def _is_sliver(polygon: Floats) -> bool:
    """Return True for what is left between strips because corners were rounded: it would stand up as a fleck."""
    after = np.roll(polygon, -1, axis=0)
    twice_area = abs(float((polygon[:, 0] * after[:, 1] - polygon[:, 1] * after[:, 0]).sum()))
    return twice_area < _SLIVER_MM * float(np.hypot(*(after - polygon).T).sum())


def _rivals(strips: Floats, normals: Floats) -> NDArray[np.bool_]:
    """Return (n, n): which strips may overlap. Along one side they lie side by side."""
    low, high = strips.min(axis=1), strips.max(axis=1)
    apart = (low[:, None] >= high[None]).any(axis=2)
    return np.asarray(~(apart | apart.T) & (normals @ normals.T < _TURN))


def _is_crossed(strips: Floats) -> Sequence[bool]:
    """Return which strips cross themselves: short ones beside a tip, where the mitre reaches beyond them."""
    foot, inner = strips[:, 1] - strips[:, 0], strips[:, 2] - strips[:, 3]
    answer: list[bool] = ((foot * inner).sum(axis=1) <= 0.0).tolist()
    return answer


def _uncrossed(strips: Floats, crossed: Sequence[bool]) -> list[list[Floats]]:
    """Return the strips as polygons; of those that cross themselves only what lies to the left of the foot."""
    return [clipped([s], [s], INTERSECTION) if x else [s] for s, x in zip(strips, crossed, strict=True)]


def _widened(strips: Floats, normals: Floats) -> Floats:
    """Return the strips a little longer and farther out: side by side they leave no seam, nor one along the rim."""
    along = np.column_stack((-normals[:, 1], normals[:, 0])) * _SEAM_MM
    out = normals * _SEAM_MM
    return strips + np.stack((out - along, out + along, along, -along), axis=1)


def _nearer(polygon: Floats, j: int, i: int, foot: Floats, normals: Floats) -> Floats:
    """Return the part of a polygon that lies nearer to the line of facet ``j`` than to that of facet ``i``."""
    # inward distances are linear, so the two are equal along a straight line
    excess = (polygon - foot[i]) @ normals[i] - (polygon - foot[j]) @ normals[j]
    points = []
    for p, q, a, b in zip(polygon, np.roll(polygon, -1, axis=0), excess, np.roll(excess, -1), strict=True):
        if a < 0.0:
            points.append(p)
        if (a < 0.0) != (b < 0.0):
            points.append(p + (q - p) * (a / (a - b)))
    return np.array(points).reshape(-1, 2)
