"""The text of an assembly, or of one part, put together from the blocks of the parts.

A product of an assembly has the entities that its own file has. So the kernel writes an assembly of small stand-ins
with as many solids, which takes no time, and each of these gives way to a part, renumbered.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace

from generator.base.frozen_record import frozen_record
from generator.solid.blocks import Span, outside_of, renumbered, spans_of
from generator.solid.step_sizes import NumberedSize
from generator.solid.unfinished import Unfinished

__all__ = ["Block", "block_of", "composed"]

_NUMBER = re.compile(rb"#(\d+)")


@frozen_record
class Block:
    """The entities of a part, from its solids on.

    Attributes:
        text: the entities, one a line.
        first, after: number of the first entity, and of the first that is no longer of the part.
        solids: numbers of the solids.
        sizes: sizes with limits.
        faces: numbers of faces that stand, in turn, for those that are named round the block, where any are.
    """

    text: bytes
    first: int
    after: int
    solids: tuple[int, ...]
    sizes: tuple[NumberedSize, ...] = ()
    faces: tuple[int, ...] = ()


def block_of(part: Unfinished) -> Block | None:
    """Return the block in the text of one part; None if it is not written as the kernel does."""
    spans = spans_of(part.text)
    if len(spans) != 1:
        return None
    (span,) = spans
    return Block(part.text[span.start : span.end], span.first, span.after, span.solids, part.sizes[0])


def composed(blocks: Sequence[Block], stand_ins: Callable[[tuple[int, ...]], Unfinished]) -> Unfinished | None:
    """Return what the kernel writes of an assembly or of one part, but for line breaks.

    Args:
        blocks: of every part.
        stand_ins: makes the text with small parts in their stead; told of how many solids each part is.

    Returns: None if the kernel does not write stand-ins as expected.
    """
    frame = stand_ins(tuple(len(b.solids) for b in blocks)).text
    spans = spans_of(frame)
    if [len(s.solids) for s in spans] != [len(b.solids) for b in blocks]:
        return None
    numbers = _Numbers(blocks, spans)
    before, *behind = [numbers.moved_frame(text) for text in outside_of(frame, spans)]
    pieces, sizes = [before], []
    for block, by, after in zip(blocks, numbers.of_blocks, behind, strict=True):
        pieces += [renumbered(block.text, by), after]
        sizes.append(tuple(_moved(size, by) for size in block.sizes))
    return Unfinished(b"".join(pieces), tuple(sizes))


class _Numbers:
    """By how much numbers of entities grow: behind each part by as much as it is longer than its stand-in.

    Attributes:
        of_blocks: by how much those of each part grow.
    """

    def __init__(self, blocks: Sequence[Block], spans: Sequence[Span]) -> None:
        self._spans = spans
        self._shifts = [0]
        self.of_blocks: list[int] = []
        self._solids: dict[int, int] = {}
        self._faces: list[dict[int, int]] = [{} for _ in spans]
        self._stand_ins: list[list[int]] = []
        for block, span in zip(blocks, spans, strict=True):
            by = span.first + self._shifts[-1] - block.first
            self.of_blocks.append(by)
            self._stand_ins.append([n + by for n in block.faces])
            self._solids.update(zip(span.solids, (n + by for n in block.solids), strict=True))
            longer = (block.after - block.first) - (span.after - span.first)
            self._shifts.append(self._shifts[-1] + longer)

    def moved_frame(self, text: bytes) -> bytes:
        """Return text round the parts renumbered; of a part it names nothing but solids, and faces."""

        def moved(found: re.Match[bytes]) -> bytes:
            number = int(found[1])
            within = self._solids.get(number)
            for span, known, faces in zip(self._spans, self._faces, self._stand_ins, strict=True):
                if within is None and span.first <= number < span.after and faces:
                    within = known.setdefault(number, faces[len(known) % len(faces)])
            behind = sum(number >= span.after for span in self._spans)
            return b"#%d" % (number + self._shifts[behind] if within is None else within)

        return _NUMBER.sub(moved, text)


def _moved(size: NumberedSize, by: int) -> NumberedSize:
    return replace(size, first=tuple(n + by for n in size.first), second=tuple(n + by for n in size.second))
