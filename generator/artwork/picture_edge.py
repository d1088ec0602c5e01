"""Where a picture changes from dark to light: closed loops of points between pixels.

The grey value is taken to run evenly from the middle of one pixel to the middle of the next; the loops pass where it
crosses a level (marching squares: Lorensen and Cline, Computer Graphics 21 (4), 1987, in the plane). Where a pixel is
grey because the edge runs through it, this finds the edge to a small part of a pixel.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.artwork.picture_load import Floats
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.outline.spans import Floats as Doubles
from generator.outline.spans import Ints

MOST_CROSSINGS: Final = 800_000
"""Of the boundary with the pixel grid; more is noise, not a drawing (chosen)."""
MIDDLE: Final = 0.02
"""Loops keep this share of a pixel away from the middles of pixels, so that no two points coincide."""
SHADES: Final = 256
SATURATED: Final = 0.03
"""Grey values this close to plain dark or light count as that."""
TOP, RIGHT, BOTTOM, LEFT = range(4)


@frozen_record
class Level:
    """Where dark ends, 0 to 1, and the grey values of what is dark and what is light."""

    at: float
    dark: float
    light: float


def find_level(values: Floats) -> Level | None:
    """Return the level between dark and light; None when the picture has only one shade.

    The shades fall into two classes by Otsu's method; the level lies midway between the classes' medians, so that it
    is right for edges between plain dark and plain light, however much of either there is.

    Source: N. Otsu, A Threshold Selection Method from Gray-Level Histograms, IEEE Transactions on Systems, Man, and
    Cybernetics 9 (1), 1979, pages 62-66.
    """
    counts, edges = np.histogram(values, bins=SHADES, range=(0.0, 1.0))
    shades = (edges[:-1] + edges[1:]) / 2.0
    below, total = np.cumsum(counts), counts.sum()
    mean_below = np.cumsum(counts * shades)
    above = total - below
    with np.errstate(divide="ignore", invalid="ignore"):
        between = below * above * (mean_below / below - (mean_below[-1] - mean_below) / above) ** 2
    between = np.nan_to_num(between)
    if between.max() <= 0.0:
        return None
    cut = edges[int(between.argmax()) + 1]
    dark, light = float(np.median(values[values < cut])), float(np.median(values[values >= cut]))
    return Level((dark + light) / 2.0, dark, light)


def loops(field: Floats) -> list[Doubles]:
    """Return the closed loops round what is positive, outer ones counter-clockwise, holes clockwise.

    Args:
        field: rows from the top. Outside the picture nothing is positive: the loops end at its rim.

    Returns: points, shape (n, 2), in pixels from the lower left corner of the picture, y up.

    Raises: GeometryError: the boundary is longer than any drawing's.
    """
    height = field.shape[0]
    f = np.pad(field, 1, mode="edge")
    for rim in (f[0], f[-1], f[:, 0], f[:, -1]):
        rim[:] = -np.abs(rim)  # midway between a pixel and its mirror image lies the pixel's edge
    inside = f > 0.0
    crossings = _crossings(inside)
    follower = _followers(inside, f, crossings)
    points = _points(f, crossings, height)
    return [points[rows] for rows in _chains(follower)]


@frozen_record
class _Crossings:
    """Edges of the grid that the boundary crosses: first those between neighbours in a row, then those in a column.

    ``into`` and ``out_of`` are the numbers of the cells that the boundary enters and leaves through the edge, with the
    inside to its left.
    """

    rows: Ints
    columns: Ints
    across: NDArray[np.bool_]
    into: Ints
    out_of: Ints
    width: int


def _crossings(inside: NDArray[np.bool_]) -> _Crossings:
    r1, c1 = np.nonzero(inside[:, :-1] != inside[:, 1:])
    r2, c2 = np.nonzero(inside[:-1] != inside[1:])
    if len(r1) + len(r2) > MOST_CROSSINGS:
        raise GeometryError(
            f"the boundary between dark and light crosses {len(r1) + len(r2)} pixels, at most {MOST_CROSSINGS}: it is "
            "a photograph or noise; smooth it, or make a drawing of it in two tones"
        )
    width = inside.shape[1]
    # between left and right: with the left one inside the way leads up, out of the cell below into the one above
    up = inside[r1, c1]
    below, above = r1 * width + c1, (r1 - 1) * width + c1
    # between top and bottom: with the top one inside the way leads to the right
    right = inside[r2, c2]
    left_cell, right_cell = r2 * width + c2 - 1, r2 * width + c2
    return _Crossings(
        np.concatenate([r1, r2]),
        np.concatenate([c1, c2]),
        np.concatenate([np.ones(len(r1), bool), np.zeros(len(r2), bool)]),
        np.concatenate([np.where(up, above, below), np.where(right, right_cell, left_cell)]),
        np.concatenate([np.where(up, below, above), np.where(right, left_cell, right_cell)]),
        width,
    )


def _followers(inside: NDArray[np.bool_], f: Floats, x: _Crossings) -> Ints:
    """Return for every crossing the next one along the boundary."""
    entering, leaving = np.argsort(x.into, kind="stable"), np.argsort(x.out_of, kind="stable")
    follower = np.empty(len(x.into), dtype=np.int64)
    follower[entering] = leaving  # right for cells with one way through
    cells = x.into[entering]
    double = np.flatnonzero(cells[:-1] == cells[1:]) if len(cells) else np.zeros(0, np.int64)
    for k in double.tolist():
        pair_in, pair_out = entering[k : k + 2], leaving[k : k + 2]
        cell = int(cells[k])
        r, c = divmod(cell, x.width)
        centre = float(f[r, c] + f[r, c + 1] + f[r + 1, c] + f[r + 1, c + 1]) > 0.0
        partner = _around_first(bool(inside[r, c]) != centre)
        sides_out = {_side(x, int(e), r, c): int(e) for e in pair_out}
        for e in pair_in.tolist():
            follower[e] = sides_out[partner[_side(x, e, r, c)]]
    return follower


def _around_first(first: bool) -> dict[int, int]:
    """Return which side of a cell is joined to which where both diagonals change."""
    if first:
        return {TOP: LEFT, LEFT: TOP, RIGHT: BOTTOM, BOTTOM: RIGHT}
    return {TOP: RIGHT, RIGHT: TOP, BOTTOM: LEFT, LEFT: BOTTOM}


def _side(x: _Crossings, e: int, r: int, c: int) -> int:
    if x.across[e]:
        return TOP if x.rows[e] == r else BOTTOM
    return LEFT if x.columns[e] == c else RIGHT


def _points(f: Floats, x: _Crossings, height: int) -> Doubles:
    a = f[x.rows, x.columns].astype(np.float64)
    b = f[x.rows + ~x.across, x.columns + x.across].astype(np.float64)
    even = a / np.where(a == b, 1.0, a - b)
    share = np.clip(_by_coverage(f, x, even), MIDDLE, 1.0 - MIDDLE)
    col = x.columns + np.where(x.across, share, 0.0)
    row = x.rows + np.where(x.across, 0.0, share)
    return np.column_stack([col - 0.5, height - (row - 0.5)])


def _by_coverage(f: Floats, x: _Crossings, even: Doubles) -> Doubles:
    """Return where edges lie that go from full to empty within four pixels, ``even`` where they do not.

    There the grey values say how much of each pixel is covered, and their sum is how far the area reaches: exact for a
    straight edge, while an even run from middle to middle would be off by up to a tenth of a pixel.
    """
    rows, columns = f.shape
    profile = []
    for step in (-1, 0, 1, 2):
        r = np.clip(x.rows + np.where(x.across, 0, step), 0, rows - 1)
        c = np.clip(x.columns + np.where(x.across, step, 0), 0, columns - 1)
        profile.append(np.clip(f[r, c].astype(np.float64) + 0.5, 0.0, 1.0))
    before, first, second, after = profile
    falls = before > after
    clear = np.maximum(np.abs(before - falls), np.abs(after - ~falls)) < SATURATED
    clear &= ((first - before) * (after - before) >= 0.0) & ((second - first) * (after - before) >= 0.0)
    covered = before + first + second + after
    reach = np.where(falls, covered, 4.0 - covered) - 1.5
    return np.where(clear & (reach > -0.2) & (reach < 1.2), reach, even)


def _chains(follower: Ints) -> list[Ints]:
    after = follower.tolist()
    seen = bytearray(len(after))
    chains = []
    for start in range(len(after)):
        if seen[start]:
            continue
        chain, at = [], start
        while not seen[at]:
            seen[at] = 1
            chain.append(at)
            at = after[at]
        chains.append(np.array(chain, dtype=np.int64))
    return chains


def loop_area(points: Doubles) -> float:
    """Return the signed area of a loop, square pixels; positive counter-clockwise."""
    x, y = points[:, 0] - points[0, 0], points[:, 1] - points[0, 1]
    return float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum() / 2.0)
