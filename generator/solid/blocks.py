"""The text of a STEP file taken apart: the parts as blocks that stand for themselves, and what is round them.

The kernel writes the entities of one part in a row, from its ``MANIFOLD_SOLID_BREP`` (or ``BREP_WITH_VOIDS``, or
several of these) to the units of its representation. Numbered from there on and without line breaks, a block reads the
same in the file of a part and in an assembly; so a part that has been read from the one need not be read from the other
again, as long as what is round the blocks is the same as in an assembly that was read.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import replace

from generator.base.frozen_record import frozen_record

__all__ = ["Apart", "Span", "spans_of", "taken_apart"]

_SOLID = re.compile(rb"^#(\d+) = (?:MANIFOLD_SOLID_BREP|BREP_WITH_VOIDS)\(", re.MULTILINE)
_UNITS = re.compile(rb"^#(\d+) = \( GEOMETRIC_REPRESENTATION_CONTEXT\(3\)", re.MULTILINE)
_NUMBER = re.compile(rb"#(\d+)")
_NAMED = re.compile(rb"(BREP\w*\()'@\d+'")
_BLANKS = b" \r\n"


@frozen_record
class Apart:
    """A file taken apart.

    Attributes:
        frame: digest of what is round the solids, whatever their entities are numbered.
        blocks: digest of every part, in the order of the file.
    """

    frame: str
    blocks: tuple[str, ...]


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
    blocks = tuple(_block(text[s.start : s.end], s.first) for s in spans)
    return Apart(_frame(text, spans), blocks)


def spans_of(text: bytes) -> list[Span]:
    """Return where the parts of a STEP text stand, in its order; none if it is not written as the kernel does."""
    spans: list[Span] = []
    for solid in _SOLID.finditer(text):
        if spans and solid.start() < spans[-1].end:
            spans[-1] = replace(spans[-1], solids=(*spans[-1].solids, int(solid[1])))
            continue
        units = _UNITS.search(text, solid.end())
        if units is None:
            return []
        spans.append(Span(solid.start(), units.start(), int(solid[1]), int(units[1]), (int(solid[1]),)))
    return spans


def _block(text: bytes, first: int) -> str:
    """Return the digest of a block without names, its entities numbered from 0."""
    numbered = _NUMBER.sub(lambda m: b"#%d" % (int(m[1]) - first), text)
    bare = _NAMED.sub(rb"\1", numbered.translate(None, _BLANKS))
    return hashlib.sha256(bare).hexdigest()


def _frame(text: bytes, spans: list[Span]) -> str:
    """Return the digest of what is round the blocks: entities of a block are told by block and kind alone."""

    def told(found: re.Match[bytes]) -> bytes:
        number, shift = int(found[1]), 0
        for i, span in enumerate(spans):
            if span.first <= number < span.after:
                return b"@%d:%s" % (i, b"solid" if number == span.first else _kind(text, span, number))
            if number >= span.after:
                shift += span.after - span.first
        return b"#%d" % (number - shift)

    pieces, at = [], 0
    for span in spans:
        pieces.append(text[at : span.start])
        at = span.end
    round_them = b"@".join([*pieces, text[at:]])
    return hashlib.sha256(_NUMBER.sub(told, round_them).translate(None, _BLANKS)).hexdigest()


def _kind(text: bytes, span: Span, number: int) -> bytes:
    """Return what sort of entity ``number`` is, such as ``ADVANCED_FACE``."""
    mark = b"\n#%d = " % number
    at = text.find(mark, span.start, span.end)
    return text[at + len(mark) : text.find(b"(", at + len(mark))] if at >= 0 else b"?"
