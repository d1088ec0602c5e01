"""What edits may change: what the recipe lets be changed, and never what the original is."""

from __future__ import annotations

import re
from math import inf
from typing import Final

from generator.base.remedy import Edit, Way
from generator.build.edit_lengths import lengths_of
from generator.recipe.model_suggest import Changes

__all__ = ["allowed", "bounded", "within"]

SLACK_MM: Final = 1e-6
"""Lengths that differ by less are the same here."""

_MEASURED: Final = re.compile(
    r"original\.(height|load_bearing|footprint\b.*|openings\b.*"
    r"|bolts\[\d+\]\.(at|circle|thread|holds|passes|into|property_class)\b.*)"
)
"""What the original is; nothing suggests to change it."""


def allowed(way: Way, rules: Changes) -> bool:
    """Return True if none of the edits changes what is to be kept, or what the original is."""
    return not any(_MEASURED.fullmatch(e.key) or any(_lies_in(e.key, kept) for kept in rules.keep) for e in way)


def _lies_in(key: str, group: str) -> bool:
    return key == group or key.startswith((f"{group}.", f"{group}["))


def within(way: Way, rules: Changes) -> Way | None:
    """Return the edits moved to lengths that are allowed, None if one cannot be."""
    moved = [bounded(e, rules) for e in way]
    return None if any(e is None for e in moved) else tuple(e for e in moved if e is not None)


def bounded(edit: Edit, rules: Changes) -> Edit | None:
    """Return the edit moved to a length that is allowed, None if there is none."""
    bounds = next((b for b in rules.within if b.key == edit.key), None)
    lengths = lengths_of(edit.value)
    if bounds is None or len(lengths) != 1:
        return edit
    length = lengths[0]
    down = edit.towards < 0
    low = bounds.at_least if bounds.at_least is not None else -inf
    high = bounds.at_most if bounds.at_most is not None else inf
    if bounds.one_of:
        had = [x for x in bounds.one_of if low - SLACK_MM <= x <= high + SLACK_MM]
        usable = [x for x in had if (x <= length + SLACK_MM if down else x >= length - SLACK_MM)]
        return Edit(edit.key, f"{(max if down else min)(usable):g} mm", edit.towards) if usable else None
    return edit if low - SLACK_MM <= length <= high + SLACK_MM else None
