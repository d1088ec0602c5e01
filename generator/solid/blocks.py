"""The text of a STEP file taken apart: the parts as blocks that stand for themselves, and what is round them.

The kernel writes the entities of one part in a row, from its ``MANIFOLD_SOLID_BREP`` (or ``BREP_WITH_VOIDS``, or
several of these) to the units of its representation. Numbered from there on and without line breaks, a block reads the
same in the file of a part and in an assembly; so a part that has been read from the one need not be read from the other
again, as long as what is round the blocks is the same as in an assembly that was read.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from generator.base.frozen_record import frozen_record

__all__ = ["Apart", "BlockText", "Span", "outside_of", "renumbered", "spans_of", "taken_apart", "without_blanks"]

_SOLIDS = (b" = MANIFOLD_SOLID_BREP(", b" = BREP_WITH_VOIDS(")
_UNITS = b" = ( GEOMETRIC_REPRESENTATION_CONTEXT(3)"
_NUMBER = re.compile(rb"#(\d+)")
_NAMED = re.compile(rb"(BREP\w*\()'@\d+'")
_MARKS = (b"=", b",", b"(", b")", b";")


@frozen_record
class BlockText:
    """The entities of a part without names of its solids, and the number of the first of them."""

    text: bytes
    first: int

    def is_same(self, other: BlockText) -> bool:
        """Return True if both hold the same, whatever their entities are numbered."""
        alike = other.text.count(b";") == self.text.count(b";")  # cheaper than numbering anew
        return alike and other.text == renumbered(self.text, other.first - self.first)

    @property
    def digest(self) -> str:
        """Return the digest of text and numbers."""
        return hashlib.sha256(self.text).hexdigest()


@frozen_record
class Apart:
    """A file taken apart.

    Attributes:
        frame: digest of what is round the solids, whatever their entities are numbered.
        blocks: every part, in the order of the file.
    """

    frame: str
    blocks: tuple[BlockText, ...]


@frozen_record
class Span:
    """Where a block stands: bytes of the text, numbers of its entities, and of the solids among them."""

    start: int
    end: int
    first: int
    after: int
    solids: tuple[int, ...]


def taken_apart(text: bytes) -> Apart | None:
    """Return the data section of a STEP file taken apart; None if it is not written as the kernel does.

    Args:
        text: from the end of the header on, names of products replaced (see ``anonymous``).
    """
    spans = spans_of(text)
    if not spans:
        return None
    blocks = tuple(BlockText(_NAMED.sub(rb"\1''", text[s.start : s.end]), s.first) for s in spans)
    return Apart(_frame(text, spans), blocks)


def spans_of(text: bytes) -> list[Span]:
    """Return where the parts of a STEP text stand, in its order; none if it is not written as the kernel does."""
    spans: list[Span] = []
    for start, number in sorted(found for kind in _SOLIDS for found in _lines(text, kind)):
        if spans and start < spans[-1].end:
            spans[-1] = replace(spans[-1], solids=(*spans[-1].solids, number))
            continue
        units = next(_lines(text, _UNITS, start), None)
        if units is None:
            return []
        spans.append(Span(start, units[0], number, units[1], (number,)))
    return spans


def _lines(text: bytes, mark: bytes, at: int = 0) -> Iterator[tuple[int, int]]:
    """Yield where lines of entities of one kind begin, and the numbers of the entities."""
    while (at := text.find(mark, at)) >= 0:
        start = text.rfind(b"\n", 0, at) + 1
        if text[start : start + 1] == b"#" and text[start + 1 : at].isdigit():
            yield start, int(text[start + 1 : at])
        at += len(mark)


def outside_of(text: bytes, spans: list[Span]) -> list[bytes]:
    """Return what is before, between and behind the parts of a text."""
    ends = [0, *(span.end for span in spans)]
    starts = [*(span.start for span in spans), len(text)]
    return [text[end:start] for end, start in zip(ends, starts, strict=True)]


def without_blanks(text: bytes) -> bytes:
    """Return a text without the blanks and line breaks beside marks, which mean nothing; all others stay, as one."""
    bare = text.replace(b" = ", b"=").replace(b";\n", b";")
    if b" " in bare or b"\n" in bare:  # else it is as we write solids
        bare = b" ".join(bare.split())
        for mark in _MARKS:
            bare = bare.replace(b" " + mark, mark).replace(mark + b" ", mark)
    return bare


@lru_cache(maxsize=8)  # the part that variants share, and its place in their assemblies
def renumbered(text: bytes, by: int) -> bytes:
    """Return a text whose entities have numbers that are greater by ``by``."""
    if not by:
        return text
    pieces = _NUMBER.split(text)
    pieces[1::2] = [b"#%d" % (int(number) + by) for number in pieces[1::2]]
    return b"".join(pieces)


def _frame(text: bytes, spans: list[Span]) -> str:
    """Return the digest of what is round the blocks: entities of a block are told by block, kind and turn alone.

    The turn is that in which they are first named: it shows where one is named again, and another never.
    """
    turns: dict[int, int] = {}

    def told(found: re.Match[bytes]) -> bytes:
        number, shift = int(found[1]), 0
        for i, span in enumerate(spans):
            if span.first <= number < span.after:
                return b"@%d:%s:%d" % (i, _kind(text, span, number), turns.setdefault(number, len(turns)))
            if number >= span.after:
                shift += span.after - span.first
        return b"#%d" % (number - shift)

    solids = b"".join([b"@%d" % len(span.solids) for span in spans])
    round_them = b"@".join([solids, *outside_of(text, spans)])
    return hashlib.sha256(without_blanks(_NUMBER.sub(told, round_them))).hexdigest()


def _kind(text: bytes, span: Span, number: int) -> bytes:
    """Return what sort of entity ``number`` is, such as ``ADVANCED_FACE``."""
    if number in span.solids:
        return b"solid"
    mark = b"\n#%d = " % number
    at = text.find(mark, span.start, span.end)
    return text[at + len(mark) : text.find(b"(", at + len(mark))] if at >= 0 else b"?"
