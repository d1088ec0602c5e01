"""The raw offset of a contour: one closed chain whose winding number tells inside from outside.

Growing a region means uniting it with one *strip* a segment (all points of the segment's normals up to the
distance, no further than the centre of a hollow arc) and one *sector* a convex corner. Laid round the region, the
inner borders of strips and sectors cancel against the region's own border, and what stays is one chain: offset
pieces, sector arcs, and at hollow corners a way back through the source vertex. Its winding number at a point is
1 or 0 (in the source or not) plus the number of strips and sectors there, so the grown region is where it is
positive; shrinking is the same with the strips taken away. No case of it needs a decision about topology.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from generator.outline.contour import Contour
from generator.outline.pieces import Bools, Floats, Frames, Ints, Pieces, cyclic_next, frames

_SMOOTH_MM = 1e-10  # a corner whose mitre leaves the round join by less is no corner
_POINT_MM = 1e-9  # an offset arc with a smaller radius is a point


def raw_offset(contours: Sequence[Contour], distance_mm: float) -> Pieces:
    """Return the raw offset chain of each contour; positive distances to the right of travel (out of the material)."""
    f, first = frames(contours)
    d = distance_mm
    after = cyclic_next(first)
    before = np.argsort(after, kind="stable")
    corner = f.start[after]
    turn = _turns(f, after)
    smooth = np.abs(d) * turn * turn / 8.0 <= _SMOOTH_MM
    sector = ~smooth & (turn * d > 0.0)
    leave = corner + d * _right(f.tangent_out)
    enter = f.start + d * _right(f.tangent_in)
    enter = np.where(smooth[before][:, None], _mean_joints(f, d, before), enter)
    radius = np.where(f.circle, f.radius + np.sign(f.sweep) * d, 0.0)
    collapsed = f.circle & (radius <= _POINT_MM)
    return _lay(f, d, (first, before), corner, turn, enter, leave, radius, collapsed, smooth, sector)


def _right(t: Floats) -> Floats:
    return np.stack([t[:, 1], -t[:, 0]], axis=1)


def _turns(f: Frames, after: np.ndarray) -> Floats:
    """Return the signed turn at the end of each segment, radians in [-pi, pi]."""
    t, u = f.tangent_out, f.tangent_in[after]
    cross = t[:, 0] * u[:, 1] - t[:, 1] * u[:, 0]
    dot = t[:, 0] * u[:, 0] + t[:, 1] * u[:, 1]
    turn = np.arctan2(cross, dot)
    # a cusp turns by half a circle; the curvatures say to which side
    curvature = np.where(f.circle, np.sign(f.sweep) / np.where(f.circle, f.radius, 1.0), 0.0)
    hollow = curvature + curvature[after] > 1e-12
    cusp = (np.abs(cross) < 1e-9) & (dot < 0.0)
    return np.where(cusp, np.where(hollow, -np.pi, np.pi), turn)


def _mean_joints(f: Frames, d: float, before: Ints) -> Floats:
    """Return where offset pieces meet at smooth vertices, by the vertex a segment starts at."""
    t = f.tangent_out[before] + f.tangent_in
    size = np.hypot(t[:, 0], t[:, 1])
    return f.start + d * _right(t / np.where(size > 0.0, size, 1.0)[:, None])


def _lay(
    f: Frames,
    d: float,
    order: tuple[Ints, Ints],
    corner: Floats,
    turn: Floats,
    enter: Floats,
    leave: Floats,
    radius: Floats,
    collapsed: Bools,
    smooth: Bools,
    sector: Bools,
) -> Pieces:
    """Return the chains: four slots a segment (offset piece, way through the centre, corner, way through the vertex).

    ``order`` is where each contour begins, and for each segment the one before it.
    """
    n = len(f.start)
    first, before = order
    hollow = ~smooth & ~sector
    # a way out along a normal and straight back is left out: rounding would open it to a sliver
    back_at_once = collapsed & (hollow[before] | (smooth[before] & collapsed[before]))
    used = np.stack([~back_at_once, collapsed, ~smooth & ~(hollow & collapsed), hollow], axis=1)
    kept = f.circle & ~collapsed
    nothing = np.zeros(n, dtype=bool)
    zeros = np.zeros(n)
    flat = used.ravel()

    def slots(*columns: np.ndarray) -> np.ndarray:
        return np.stack(columns, axis=1).reshape(4 * n, -1)[flat]

    start = slots(enter, f.centre, leave, corner)
    circle = slots(kept, nothing, sector, nothing)[:, 0]
    begins = np.concatenate([[0], np.cumsum(used.sum(axis=1))])[first]
    step = start[cyclic_next(begins)] - start
    size = np.hypot(step[:, 0], step[:, 1])
    straight = slots(f.unit, f.unit, f.unit, f.unit)
    offset_line = slots(~f.circle, nothing, nothing, nothing)[:, 0]
    unit = np.where(offset_line[:, None], straight, step / np.where(size > 0.0, size, 1.0)[:, None])
    line_base = f.start + d * _right(f.unit)
    base = np.where(f.circle[:, None], f.centre, line_base)
    base = slots(np.where(collapsed[:, None], enter, base), f.centre, np.where(sector[:, None], corner, leave), corner)
    return Pieces(
        start=start,
        first=begins,
        real=slots(~collapsed, nothing, sector, nothing)[:, 0],
        circle=circle,
        base=base,
        radius=slots(np.where(kept, radius, 0.0), zeros, np.where(sector, abs(d), 0.0), zeros)[:, 0],
        unit=np.where(circle[:, None], 0.0, unit),
        sweep=slots(np.where(kept, f.sweep, 0.0), zeros, np.where(sector, turn, 0.0), zeros)[:, 0],
    )
