"""The kernel's text of an assembly put together from its texts of the parts.

A product of an assembly has the entities that its own file has. So the kernel writes an assembly of small stand-ins
with as many solids, which takes no time, and each of these gives way to a part, renumbered. The kernel reads it in
proof.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence
from typing import Any

from generator.base.frozen_record import frozen_record
from generator.solid.blocks import Span, outside_of, renumbered, spans_of

__all__ = ["composed"]

_NUMBER = re.compile(rb"#(\d+)")


@frozen_record
class _Block:
    """The entities of a part: their text, where they stand, and its sizes."""

    text: bytes
    span: Span
    sizes: list[Any]


def composed(parts: Sequence[bytes], stand_ins: Callable[[tuple[int, ...]], bytes]) -> bytes | None:
    """Return what ``unfinished_step`` makes of an assembly, but for line breaks; None if a part has no solid.

    Args:
        parts: what ``unfinished_step`` has made of every part.
        stand_ins: makes the same of an assembly of small parts at the same heights; told of how many solids each is.
    """
    found = [_block(part) for part in parts]
    blocks = [b for b in found if b is not None]
    if len(blocks) < len(found):
        return None
    frame = json.loads(stand_ins(tuple(len(b.span.solids) for b in blocks)))["text"].encode("ascii")
    spans = spans_of(frame)
    if [len(s.solids) for s in spans] != [len(b.span.solids) for b in blocks]:
        return None
    numbers = _Numbers(blocks, spans)
    before, *behind = [numbers.moved_frame(text) for text in outside_of(frame, spans)]
    pieces, sizes = [before], []
    for block, by, after in zip(blocks, numbers.of_blocks, behind, strict=True):
        pieces += [renumbered(block.text, by), after]
        sizes.append([[*size[:-2], _all_moved(size[-2], by), _all_moved(size[-1], by)] for size in block.sizes])
    text = b"".join(pieces)
    return json.dumps({"sizes": sizes, "text": text.decode("ascii")}).encode()


def _block(part: bytes) -> _Block | None:
    made = json.loads(part)
    text = made["text"].encode("ascii")
    spans = spans_of(text)
    if len(spans) != 1:
        return None
    (span,) = spans
    return _Block(text[span.start : span.end], span, made["sizes"][0])


class _Numbers:
    """By how much numbers of entities grow: behind each part by as much as it is longer than its stand-in.

    Attributes:
        of_blocks: by how much those of each part grow.
    """

    def __init__(self, blocks: Sequence[_Block], spans: Sequence[Span]) -> None:
        self._spans = spans
        self._shifts = [0]
        self.of_blocks: list[int] = []
        self._solids: dict[int, int] = {}
        for block, span in zip(blocks, spans, strict=True):
            by = span.first + self._shifts[-1] - block.span.first
            self.of_blocks.append(by)
            self._solids.update(zip(span.solids, (n + by for n in block.span.solids), strict=True))
            longer = (block.span.after - block.span.first) - (span.after - span.first)
            self._shifts.append(self._shifts[-1] + longer)

    def moved_frame(self, text: bytes) -> bytes:
        """Return text round the parts renumbered; of a part it names nothing but the solids."""

        def moved(found: re.Match[bytes]) -> bytes:
            number = int(found[1])
            solid = self._solids.get(number)
            behind = sum(number >= span.after for span in self._spans)
            return b"#%d" % (number + self._shifts[behind] if solid is None else solid)

        return _NUMBER.sub(moved, text)


def _all_moved(numbers: Sequence[int], by: int) -> list[int]:
    return [n + by for n in numbers]
