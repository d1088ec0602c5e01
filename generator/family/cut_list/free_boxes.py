"""Rectangles on a sheet, one after another into the free box that suits best; free boxes overlap and are maximal.

Source of the idea: Jylänki's survey of packing rectangles (2010), the family of maximal rectangles (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from generator.family.cut_list.skyline import SLACK_MM, Box, Floats, Ints, Oblongs

__all__ = ["by_free_boxes"]


def by_free_boxes(
    sheet: tuple[float, float], counts: Ints, *, oblongs: Oblongs, order: Sequence[int], by_corner: bool
) -> list[Box]:
    """Return rectangles laid on a sheet of length and width ``sheet`` (mm).

    Args:
        sheet: mm.
        counts: how many there are of each size.
        oblongs: the sizes.
        order: in which they are laid.
        by_corner: into the place where they reach least far along the sheet, otherwise into the box that they fit best.
    """
    free: Floats = np.array([[0.0, 0.0, *sheet]])
    n = len(oblongs)
    out: list[Box] = []
    for item in order:
        for _ in range(int(counts[item])):
            found = _best(free, oblongs, (item, item + n), by_corner)
            if found is None:
                break
            row, x, y = found
            out.append(Box(item, x, y, row >= n))
            free = _without(free, np.array([x, y, x + oblongs.along[row], y + oblongs.across[row]]))
    return out


def _best(free: Floats, oblongs: Oblongs, rows: Sequence[int], by_corner: bool) -> tuple[int, float, float] | None:
    """Return which way round and where one rectangle is laid; None if it fits nowhere."""
    best: tuple[tuple[float, float, float], int, float, float] | None = None
    for row in rows:
        along, across = oblongs.along[row], oblongs.across[row]
        x_left, y_left = free[:, 2] - free[:, 0] - along, free[:, 3] - free[:, 1] - across
        fits = np.flatnonzero((x_left >= -SLACK_MM) & (y_left >= -SLACK_MM))
        if not len(fits):
            continue
        x, y = free[fits, 0], free[fits, 1]
        short = np.minimum(x_left[fits], y_left[fits])
        keys = (y, x, x + along) if by_corner else (x + along, np.maximum(x_left[fits], y_left[fits]), short)
        k = int(np.lexsort(keys)[0])
        key = float(keys[2][k]), float(keys[1][k]), float(keys[0][k])
        if best is None or key < best[0]:
            best = key, row, float(x[k]), float(y[k])
    return best and best[1:]


def _without(free: Floats, taken: Floats) -> Floats:
    """Return the maximal free boxes once a box is taken."""
    x0, y0, x1, y1 = taken
    hit = (
        (free[:, 0] < x1 - SLACK_MM)
        & (free[:, 2] > x0 + SLACK_MM)
        & (free[:, 1] < y1 - SLACK_MM)
        & (free[:, 3] > y0 + SLACK_MM)
    )
    if not hit.any():
        return free
    cut = free[hit]
    parts = [free[~hit]]
    for column, value in ((2, x0), (0, x1), (3, y0), (1, y1)):
        part = cut.copy()
        part[:, column] = value
        parts.append(part)
    new = np.concatenate(parts)
    new = new[(new[:, 2] - new[:, 0] > SLACK_MM) & (new[:, 3] - new[:, 1] > SLACK_MM)]
    new = np.unique(new, axis=0)
    inside = np.concatenate([new[:, :2], -new[:, 2:]], axis=1)
    held = (inside[:, None] >= inside[None, :]).all(axis=2).sum(axis=1)  # every box holds itself
    kept: Floats = new[held == 1]
    return kept
