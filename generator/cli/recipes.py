"""Which recipe files a command line means."""

from __future__ import annotations

import glob
from collections.abc import Sequence
from pathlib import Path

from generator.base.errors import Mistake, RecipeError


def expand(patterns: Sequence[str]) -> tuple[str, ...]:
    """Return the files that ``patterns`` name, each once, in order.

    A pattern with ``*``, ``?`` or ``[`` that is not itself a file stands for all that match it, sorted.

    Raises: RecipeError: a pattern that matches nothing.
    """
    found: dict[str, None] = {}
    empty = []
    for pattern in patterns:
        if Path(pattern).exists() or not glob.has_magic(pattern):
            found[pattern] = None
            continue
        matches = sorted(p for p in glob.glob(pattern, recursive=True) if Path(p).is_file())
        if not matches:
            empty.append(Mistake(pattern, 0, 0, "", "no file that matches", "at least one recipe"))
        found.update(dict.fromkeys(matches))
    if empty:
        raise RecipeError(empty)
    return tuple(found)
