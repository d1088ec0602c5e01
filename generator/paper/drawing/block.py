"""Blocks: what belongs together on a drawing and is moved as one, such as a view with its dimensions or a table."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Vertex
from generator.paper.box import Box
from generator.paper.collisions import track_box
from generator.paper.sheet import Easel, Item, Letters, Track, Window

__all__ = ["Block", "block_of", "ink_box", "item_moved"]


@frozen_record
class Block:
    """Items with the box that they take, mm; where they lie is of no matter until they are placed.

    Attributes:
        name: such as ``top view``.
        drawn: items in their order, where they were drawn.
        box: round all of them, white margin included, where the block lies.
        shift: from where they were drawn to where the block lies.
    """

    name: str
    drawn: tuple[Item, ...]
    box: Box
    shift: tuple[float, float] = (0.0, 0.0)

    @property
    def items(self) -> tuple[Item, ...]:
        """Return the items where the block lies."""
        return tuple(item_moved(i, *self.shift) for i in self.drawn)

    def moved(self, dx: float, dy: float) -> Block:
        """Return the block at another place."""
        return Block(self.name, self.drawn, self.box.moved(dx, dy), (self.shift[0] + dx, self.shift[1] + dy))

    def at(self, left: float, top: float) -> Block:
        """Return the block with its upper left corner at a place."""
        return self.moved(left - self.box.left, top - self.box.top)


def block_of(name: str, easel: Easel, *, margin: float = 0.0) -> Block:
    """Return the block of all that an easel holds, with a white margin round it (mm).

    Raises: ValueError: the easel is empty.
    """
    return Block(name, tuple(easel.items), ink_box(easel.items).grown(margin))


def ink_box(items: Iterable[Item]) -> Box:
    """Return the box round items.

    Raises: ValueError: there is none.
    """
    boxes: list[Box] = []
    for item in items:
        if isinstance(item, Letters):
            boxes.append(item.box)
        elif isinstance(item, Window):
            boxes.append(item.clip)
        else:
            boxes += [track_box(t) for t in item.tracks]
    return Box.around([(b.left, b.bottom) for b in boxes] + [(b.right, b.top) for b in boxes])


def item_moved(item: Item, dx: float, dy: float) -> Item:
    """Return an item at another place."""
    if isinstance(item, Letters):
        return replace(item, at=(item.at[0] + dx, item.at[1] + dy))
    if isinstance(item, Window):
        return Window(tuple(item_moved(i, dx, dy) for i in item.items), item.clip.moved(dx, dy))
    return replace(item, tracks=tuple(_track_moved(t, dx, dy) for t in item.tracks))


def _track_moved(track: Track, dx: float, dy: float) -> Track:
    return Track(tuple(Vertex(v.x + dx, v.y + dy, v.bulge) for v in track.vertices), track.is_closed)
