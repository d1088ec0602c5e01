"""A part that is larger than the sheet, spread over several: how it is turned, how many sheets, which part on which.

Sheets lie in columns (A, B, … from the left) and rows (1, 2, … from the top), as when they are joined. Neighbours share
a strip; the joint runs along its middle. Lengths are mm; the joined print has its own frame from its lower left corner.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from math import ceil, radians
from typing import Final

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.outline.distance import boundary_points
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.outline.transform import turned
from generator.paper.box import Box
from generator.paper.placing import Placing

__all__ = ["MOST_SHEETS", "OVERLAP_MM", "Grid", "Paving", "Tile", "TooManySheetsError", "paving_of"]

OVERLAP_MM: Final = 16.0
"""Width of the strip that two neighbours share: enough for glue and for marks. Our choice."""
MOST_SHEETS: Final = 30
"""More sheets of one print are refused: every joint adds its error. Our choice."""
_LEAST_USEFUL_MM: Final = 3.0 * OVERLAP_MM
"""A sheet shows at least this much in either direction, two thirds of it of its own."""
_CLEAR_MM: Final = 2.0
"""Between a part and the border of what its print may take."""
_TURNS_DEG: Final = (0, 90, *(d for d in range(15, 180, 15) if d != 90))
_STEP_MM: Final = 1.0
_ENOUGH_MM: Final = 30.0
"""A hole so far from a joint needs no more."""


class TooManySheetsError(ValueError):
    """The paper is too small for the part.

    Attributes:
        sheets: how many it would take; 0 if no number is enough.
    """

    def __init__(self, sheets: int) -> None:
        self.sheets = sheets
        super().__init__(f"{sheets or 'no number of'} sheets")


@frozen_record
class Tile:
    """What one sheet shows of the joined print.

    Attributes:
        column, row: from 0, from the left and from the top.
        window: what is seen, in the frame of the joined print.
        core: the same without the halves of the strips that lie beyond the joints.
    """

    column: int
    row: int
    window: Box
    core: Box

    @property
    def name(self) -> str:
        """Return such as ``B2``."""
        return f"{chr(ord('A') + self.column)}{self.row + 1}"


@frozen_record
class Grid:
    """Columns and rows of sheets, each with a window of that size."""

    columns: int
    rows: int
    width_mm: float
    height_mm: float

    @property
    def count(self) -> int:
        """Return the number of sheets."""
        return self.columns * self.rows

    @property
    def size(self) -> tuple[float, float]:
        """Return width and height of the joined print."""
        return _span(self.columns, self.width_mm), _span(self.rows, self.height_mm)

    def tiles(self) -> Iterator[Tile]:
        """Yield the tiles row by row from the top."""
        for row, column in product(range(self.rows), range(self.columns)):
            up = self.rows - 1 - row
            x, y = column * (self.width_mm - OVERLAP_MM), up * (self.height_mm - OVERLAP_MM)
            window = Box(x, y, x + self.width_mm, y + self.height_mm)
            half = OVERLAP_MM / 2.0
            core = Box(
                window.left + half * (column > 0),
                window.bottom + half * (up > 0),
                window.right - half * (column < self.columns - 1),
                window.top - half * (row > 0),
            )
            yield Tile(column, row, window, core)


def _span(count: int, size_mm: float) -> float:
    return count * (size_mm - OVERLAP_MM) + OVERLAP_MM


@frozen_record
class Paving:
    """How a part is spread over sheets.

    Attributes:
        is_landscape: how the sheets lie.
        grid: all columns and rows.
        tiles: those that show something.
        placing: of the part, in the frame of the joined print.
    """

    is_landscape: bool
    grid: Grid
    tiles: tuple[Tile, ...]
    placing: Placing


def paving_of(
    outlines: Sequence[Region],
    rooms: Sequence[tuple[bool, float, float]],
    centres: Sequence[tuple[float, float]] = (),
) -> Paving:
    """Return the paving that takes the fewest sheets; of several the first room with the smallest turn.

    Args:
        outlines: everything that is to be seen.
        rooms: for each way that the sheets may lie: whether that is landscape, and width and height of the window.
        centres: of holes, which joints keep away from where they can.

    Raises: TooManySheetsError: the part is too large for such sheets.
    """
    best: _Laid | None = None
    for degrees in _TURNS_DEG:
        for laid in _ways_to_lay(outlines, radians(degrees), rooms):
            if best is None or laid.grid.count < best.grid.count:
                best = laid
        if best is not None and best.grid.count == 1:
            break
    if best is None or best.grid.count > MOST_SHEETS:
        raise TooManySheetsError(best.grid.count if best else 0)
    return _paved(outlines, best, centres)


@frozen_record
class _Laid:
    """One way to lay a part: how the sheets lie, how many, how the part is turned, and its box then."""

    is_landscape: bool
    grid: Grid
    turn_rad: float
    box: Box


def _ways_to_lay(
    outlines: Sequence[Region], turn_rad: float, rooms: Sequence[tuple[bool, float, float]]
) -> Iterator[_Laid]:
    box = _box(outlines, turn_rad)
    for is_landscape, width, height in rooms:
        grid = _grid(box, width, height)
        if grid is not None:
            yield _Laid(is_landscape, grid, turn_rad, box)


def _box(outlines: Sequence[Region], turn_rad: float) -> Box:
    boxes = [bounds(turned(r, turn_rad)) for r in outlines if r]
    return Box(
        min(b.xmin for b in boxes), min(b.ymin for b in boxes), max(b.xmax for b in boxes), max(b.ymax for b in boxes)
    )


def _grid(box: Box, width_mm: float, height_mm: float) -> Grid | None:
    """Return the grid that the box needs; None where the windows are too small to be of use."""
    if min(width_mm, height_mm) < _LEAST_USEFUL_MM:
        return None
    columns, rows = (
        max(1, ceil((need + 2.0 * _CLEAR_MM - OVERLAP_MM) / (size - OVERLAP_MM)))
        for need, size in ((box.width, width_mm), (box.height, height_mm))
    )
    return Grid(columns, rows, width_mm, height_mm)


def _paved(outlines: Sequence[Region], laid: _Laid, centres: Sequence[tuple[float, float]]) -> Paving:
    """Return the part on the joined print, without the sheets that would stay empty."""
    grid, box = laid.grid, laid.box
    holes = [Placing(laid.turn_rad).point(x, y) for x, y in centres]
    dx, dy = (
        _shift(low, high, count, size, [h[axis] for h in holes])
        for axis, (low, high, count, size) in enumerate(
            (
                (box.left, box.right, grid.columns, grid.width_mm),
                (box.bottom, box.top, grid.rows, grid.height_mm),
            )
        )
    )
    placing = Placing(laid.turn_rad, dx, dy)
    tiles = tuple(grid.tiles())
    if len(tiles) > 2:
        points = np.vstack([boundary_points(placing.region(r), _STEP_MM) for r in outlines if r])
        seen = tuple(t for t in tiles if _shows(t.window.grown(_STEP_MM), points))
        tiles = seen if _hang_together(seen) else tiles
    return Paving(laid.is_landscape, grid, tiles, placing)


def _shift(low: float, high: float, count: int, size_mm: float, holes: Sequence[float]) -> float:
    """Return how far to move the part along one axis: to the middle, or off it so that no joint runs near a hole."""
    slack = _span(count, size_mm) - (high - low) - 2.0 * _CLEAR_MM
    middle = _span(count, size_mm) / 2.0 - (low + high) / 2.0
    joints = [i * (size_mm - OVERLAP_MM) + OVERLAP_MM / 2.0 for i in range(1, count)]
    if not joints or not holes:
        return middle

    def room(shift: float) -> float:
        return min(_ENOUGH_MM, *(abs(h + shift - j) for h in holes for j in joints))

    shifts = [middle + slack / 2.0 * share for k in range(11) for share in (k / 10.0, -k / 10.0)]
    return max(shifts, key=room)


def _shows(box: Box, points: np.ndarray) -> bool:
    x, y = points[:, 0], points[:, 1]
    return bool(((box.left < x) & (x < box.right) & (box.bottom < y) & (y < box.top)).any())


def _hang_together(tiles: Sequence[Tile]) -> bool:
    """Return True if every sheet can be reached from the first by joints along sides."""
    rest = {(t.column, t.row) for t in tiles}
    todo = [(tiles[0].column, tiles[0].row)]
    while todo:
        column, row = todo.pop()
        if (column, row) in rest:
            rest.remove((column, row))
            todo += [(column - 1, row), (column + 1, row), (column, row - 1), (column, row + 1)]
    return not rest
