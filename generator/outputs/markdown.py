"""Markdown that reads well as plain text too: escaped words, aligned tables."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

__all__ = ["escape", "table"]

_SPECIAL = re.compile(r"([\\`*\[\]<>|~$]|(?<![^\W_])_|_(?![^\W_]))")
"""What Markdown takes for markup; an underscore inside a word is none."""
_KEPT = 4096
"""Texts kept as escaped: reports of variants say much the same."""


@lru_cache(maxsize=_KEPT)
def escape(text: str) -> str:
    """Return ``text`` on one line so that Markdown shows it as it is: no markup, no HTML, no link comes of it."""
    plain = text if text.isprintable() else "".join(c if c.isprintable() else " " for c in text)
    line = " ".join(plain.split())
    return _SPECIAL.sub(r"\\\1", line).replace("&", "&amp;")


def table(head: Sequence[str], rows: Sequence[Sequence[str]], *, right: Sequence[int] = ()) -> list[str]:
    """Return the lines of a table whose columns are aligned in the text as well.

    Args:
        head: titles of the columns.
        rows: cells, already escaped.
        right: numbers of the columns that are set flush right.
    """
    widths = [max(3, *(len(row[i]) for row in (head, *rows))) for i in range(len(head))]

    def line(cells: Sequence[str]) -> str:
        set_ = [c.rjust(w) if i in right else c.ljust(w) for i, (c, w) in enumerate(zip(cells, widths, strict=True))]
        return f"| {' | '.join(set_)} |"

    rule = [("-" * (w - 1) + ":") if i in right else "-" * w for i, w in enumerate(widths)]
    return [line(head), line(rule), *(line(row) for row in rows)]
