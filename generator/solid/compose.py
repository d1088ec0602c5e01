"""The kernel's text of an assembly put together from its texts of the parts.

A product of an assembly has the entities that its own file has. So the kernel writes an assembly of small stand-ins,
which takes no time, and each of these gives way to the solid of a part, renumbered. The kernel reads it in proof.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence
from typing import Any

from generator.base.frozen_record import frozen_record
from generator.solid.blocks import Span, spans_of

__all__ = ["composed"]

_NUMBER = re.compile(rb"#(\d+)")


@frozen_record
class _Solid:
    """The solid of a part: its text, the number that it begins with, how many entities it has, and its sizes."""

    text: bytes
    first: int
    count: int
    sizes: list[Any]


def composed(parts: Sequence[bytes], stand_ins: Callable[[], bytes]) -> bytes | None:
    """Return what ``unfinished_step`` makes of an assembly, but for line breaks; None if a part is not one solid.

    Args:
        parts: what ``unfinished_step`` has made of every part.
        stand_ins: makes the same of an assembly of as many small solids at the same heights.
    """
    solids = [_solid(part) for part in parts]
    known = [s for s in solids if s is not None]
    if len(known) < len(solids):
        return None
    frame = json.loads(stand_ins())["text"].encode("ascii")
    spans = spans_of(frame)
    if len(spans) != len(known):
        return None
    shifts = [0]
    for solid, span in zip(known, spans, strict=True):
        shifts.append(shifts[-1] + solid.count - (span.after - span.first))
    pieces, sizes, at = [], [], 0
    for i, (solid, span) in enumerate(zip(known, spans, strict=True)):
        by = span.first + shifts[i] - solid.first
        pieces += [_moved_frame(frame[at : span.start], spans, shifts), _moved(solid.text, by)]
        sizes.append([[*size[:-2], _all_moved(size[-2], by), _all_moved(size[-1], by)] for size in solid.sizes])
        at = span.end
    text = b"".join([*pieces, _moved_frame(frame[at:], spans, shifts)])
    return json.dumps({"sizes": sizes, "text": text.decode("ascii")}).encode()


def _solid(part: bytes) -> _Solid | None:
    made = json.loads(part)
    text = made["text"].encode("ascii")
    spans = spans_of(text)
    if len(spans) != 1:
        return None
    (span,) = spans
    return _Solid(text[span.start : span.end], span.first, span.after - span.first, made["sizes"][0])


def _moved(text: bytes, by: int) -> bytes:
    return _NUMBER.sub(lambda m: b"#%d" % (int(m[1]) + by), text)


def _all_moved(numbers: Sequence[int], by: int) -> list[int]:
    return [n + by for n in numbers]


def _moved_frame(text: bytes, spans: Sequence[Span], shifts: Sequence[int]) -> bytes:
    """Return text round the solids renumbered: behind each solid by as much as it is longer than its stand-in."""

    def moved(found: re.Match[bytes]) -> bytes:
        number = int(found[1])
        return b"#%d" % (number + shifts[sum(number >= span.after for span in spans)])

    return _NUMBER.sub(moved, text)
