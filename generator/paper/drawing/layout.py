"""Where the blocks of a drawing lie: the largest empty boxes are kept, and each block takes its place in one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Final

from generator.paper.box import Box
from generator.paper.drawing.block import Block

__all__ = ["GAP_MM", "Corner", "Floor", "by_columns", "from_lower_left", "from_lower_right", "from_upper_left"]

GAP_MM: Final = 4.0
"""Blocks keep this far apart."""

Corner = Callable[[Box, float, float], tuple[float, float, float]]
"""From an empty box and a block's width and height: how unwelcome the place is, and its left and top."""


def from_upper_left(room: Box, width: float, height: float) -> tuple[float, float, float]:
    """Return the upper left corner of an empty box: the higher the better, then the farther left."""
    return -room.top * 4.0 + room.left, room.left, room.top


def by_columns(room: Box, width: float, height: float) -> tuple[float, float, float]:
    """Return the upper left corner of an empty box: the farther left the better, then the higher."""
    return room.left * 4.0 - room.top, room.left, room.top


def from_lower_right(room: Box, width: float, height: float) -> tuple[float, float, float]:
    """Return the lower right corner of an empty box: the farther right the better, then the lower."""
    return -room.right * 4.0 + room.bottom, room.right - width, room.bottom + height


def from_lower_left(room: Box, width: float, height: float) -> tuple[float, float, float]:
    """Return the lower left corner of an empty box: the lower the better, then the farther left."""
    return room.bottom * 4.0 + room.left, room.left, room.bottom + height


class Floor:
    """The drawing space of a sheet, and what of it is still empty."""

    def __init__(self, space: Box, taken: Iterable[Box] = ()) -> None:
        self._space = space
        self._free = [space]
        self.placed: list[Block] = []
        for box in taken:
            self._take(box)

    def copy(self) -> Floor:
        """Return the same floor, to try something on."""
        other = Floor(self._space)
        other._free, other.placed = list(self._free), list(self.placed)
        return other

    def fits(self, block: Block) -> bool:
        """Return True if a block, where it lies, takes nothing that is taken."""
        return any(block.box.within(free) for free in self._free)

    def put(self, block: Block) -> None:
        """Take the place that a block lies at."""
        self.placed.append(block)
        self._take(block.box.grown(GAP_MM))

    def place(self, block: Block, corner: Corner) -> Block | None:
        """Return the block at the most welcome free place, which it takes; None if there is none."""
        w, h = block.box.width, block.box.height
        rooms = [f for f in self._free if f.width >= w - 1e-9 and f.height >= h - 1e-9]
        if not rooms:
            return None
        _, left, top = min(corner(f, w, h) for f in rooms)
        put = block.at(left, top)
        self.put(put)
        return put

    def room_for(self, width: float) -> float:
        """Return the greatest height of an empty box that is at least so wide, mm."""
        return max((f.height for f in self._free if f.width >= width), default=0.0)

    def _take(self, box: Box) -> None:
        """Cut a box out of every empty one; what lies within another is dropped."""
        out: list[Box] = []
        for f in self._free:
            if not f.overlaps(box):
                out.append(f)
                continue
            pieces = (
                Box(f.left, f.bottom, box.left, f.top),
                Box(box.right, f.bottom, f.right, f.top),
                Box(f.left, box.top, f.right, f.top),
                Box(f.left, f.bottom, f.right, box.bottom),
            )
            out += [p for p in pieces if p.width > 1.0 and p.height > 1.0]
        self._free = _largest(out)


def _largest(boxes: Sequence[Box]) -> list[Box]:
    """Return the boxes that lie within no other."""
    kept = []
    for k, b in enumerate(boxes):
        if not any(b.within(o) and (b != o or k > j) for j, o in enumerate(boxes) if j != k):
            kept.append(b)
    return kept
