"""Where a value stands: the text it was read from, its line and its column."""

from __future__ import annotations

import re
from dataclasses import field
from functools import cached_property

from generator.base.frozen_record import frozen_record

BREAKS = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
"""The line breaks that the YAML scanner counts, so that line numbers here and there agree."""

SHOWN_CHARS = 60


@frozen_record
class SourceText:
    """One text file of a recipe, as the person named it, or one ``--set``.

    Attributes:
        name: for messages.
        text: the whole text; empty for ``--set``.
    """

    name: str
    text: str = field(default="", repr=False)

    @cached_property
    def lines(self) -> tuple[str, ...]:
        """Return the lines without their breaks."""
        return tuple(BREAKS.split(self.text)) if self.text else ()

    def line(self, number: int) -> str:
        """Return line ``number`` (1-based), empty if there is none."""
        return self.lines[number - 1] if 0 < number <= len(self.lines) else ""


@frozen_record
class Place:
    """A place in a source text: line and column are 1-based; 0 means the whole text or the whole line."""

    source: SourceText
    line: int = 0
    column: int = 0

    def shifted(self, columns: int) -> Place:
        """Return the place ``columns`` further on the same line; a place without a column stays as it is."""
        return Place(self.source, self.line, self.column + columns) if self.column else self

    def snippet(self) -> str:
        """Return the source line, empty if there is none."""
        return self.source.line(self.line)


def shown(text: str, limit: int = SHOWN_CHARS) -> str:
    r"""Return ``text`` fit for one line of a message: control characters made visible, long texts cut.

    >>> shown("a\nb\x1b[31m")
    'a\\nb\\x1b[31m'
    """
    cut = text if len(text) <= limit else text[: limit - 1] + "…"
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in cut)
