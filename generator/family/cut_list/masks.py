"""Outlines as cells of a grid, and sets of places as bits of one long number: quick, and never too small.

A cell counts if the outline, grown by half the spacing, touches it. Bits run across the sheet first, then along it:
cell ``(i, j)`` is bit ``i * stride + j``.
"""

from __future__ import annotations

from functools import cached_property
from math import ceil
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.family.cut_list.laid import Item
from generator.outline.distance import boundary_points
from generator.outline.measure import bounds, signed_area
from generator.outline.offset import offset_region
from generator.outline.region import Region

__all__ = ["GROWN_CELLS", "Mask", "bits_of", "forbidden", "grown_mm", "masks_of"]

Bools = NDArray[np.bool_]
SAMPLES: Final = 16
"""Points to a cell along the boundary."""
GROWN_CELLS: Final = 1.0 / 24.0
"""Outlines are grown by this share of a cell more, so that no corner between two points is missed."""

WHOLE: Final = 1e-6
"""A box that is over a whole number of cells by less than this share of a cell takes no further one."""


@frozen_record
class Mask:
    """Cells that a grown outline touches, from the lower left corner of its box.

    Attributes:
        cells: shape (along, across).
        turn_deg: how far the item is turned.
        slack_mm: where the grown outline's box begins in the cells, along and across.
    """

    cells: Bools
    turn_deg: float
    slack_mm: tuple[float, float] = (0.0, 0.0)

    @property
    def size(self) -> tuple[int, int]:
        """Return the number of cells along and across."""
        return self.cells.shape[0], self.cells.shape[1]

    @cached_property
    def swapped(self) -> Mask:
        """Return the cells with along and across exchanged."""
        return Mask(np.ascontiguousarray(self.cells.T), self.turn_deg, self.slack_mm)

    @cached_property
    def runs(self) -> tuple[tuple[int, int, int], ...]:
        """Return the runs of cells across: place along, first cell, number of cells."""
        padded = np.pad(self.cells, ((0, 0), (1, 1))).astype(np.int8)
        step = np.diff(padded, axis=1)
        i, first = np.nonzero(step == 1)
        last = np.nonzero(step == -1)[1]
        return tuple(zip(i.tolist(), first.tolist(), (last - first).tolist(), strict=True))


def grown_mm(spacing_mm: float, cell_mm: float) -> float:
    """Return by how much outlines are grown."""
    return spacing_mm / 2.0 + GROWN_CELLS * cell_mm


def masks_of(item: Item, base_deg: float, spacing_mm: float, cell_mm: float) -> tuple[Mask, ...]:
    """Return the cells of an item turned by ``base_deg`` and by quarters more, those that differ; holes are filled.

    Raises: OffsetError: the outline could not be grown.
    """
    from scipy.ndimage import binary_fill_holes  # slow to load, and a family without sheets of stock needs none

    outer = Region.of(c for c in item.lying(base_deg) if signed_area(c) > 0.0)
    grown = offset_region(outer, grown_mm(spacing_mm, cell_mm))
    box = bounds(grown)
    points = boundary_points(grown, cell_mm / SAMPLES)
    at = np.floor((points - [box.xmin, box.ymin]) / cell_mm).astype(np.int64)
    size = box.width_mm, box.height_mm
    shape = tuple(max(1, ceil(s / cell_mm - WHOLE)) for s in size)
    cells = np.zeros(shape, dtype=bool)
    cells[np.clip(at[:, 0], 0, shape[0] - 1), np.clip(at[:, 1], 0, shape[1] - 1)] = True
    return _with_quarters(Mask(binary_fill_holes(cells), base_deg), size, cell_mm)


def _with_quarters(mask: Mask, box_mm: tuple[float, float], cell_mm: float) -> tuple[Mask, ...]:
    """Return a mask and the same turned counter-clockwise by one, two and three quarters; likes are left out.

    Args:
        mask: not turned by quarters yet.
        box_mm: length and width of the grown outline's box.
        cell_mm: size of a cell.
    """
    (nx, ny), (length, width) = mask.size, box_mm
    x, y = nx * cell_mm - length, ny * cell_mm - width
    slacks = ((0.0, 0.0), (y, 0.0), (x, y), (0.0, x))
    out: list[Mask] = []
    for k, slack in enumerate(slacks):
        cells = np.ascontiguousarray(np.rot90(mask.cells, k))
        if not any(np.array_equal(cells, m.cells) for m in out):
            out.append(Mask(cells, (mask.turn_deg + 90.0 * k) % 360.0, slack))
    return tuple(out)


def bits_of(mask: Mask, stride: int) -> int:
    """Return the cells of a mask as bits."""
    out = 0
    for i, first, count in mask.runs:
        out |= ((1 << count) - 1) << (i * stride + first)
    return out


def forbidden(occupied: int, mask: Mask, stride: int) -> int:
    """Return the places at which the mask's lower left corner must not lie, as bits: some of its cells is occupied."""
    doubled = [occupied]
    longest = max(count for _, _, count in mask.runs)
    while 2 ** len(doubled) <= longest:
        last = doubled[-1]
        doubled.append(last | last >> 2 ** (len(doubled) - 1))
    out = 0
    for i, first, count in mask.runs:
        k = count.bit_length() - 1
        base, shift = doubled[k], i * stride + first
        out |= base >> shift
        if count > 1 << k:
            out |= base >> (shift + count - (1 << k))
    return out
