"""A text cut to what there is room for."""

from __future__ import annotations

from collections.abc import Callable

__all__ = ["shortened_to"]


def shortened_to(fits: Callable[[str], bool], text: str) -> str:
    """Return ``text``, or as much of it as still ``fits`` with an ellipsis behind."""
    if fits(text):
        return text
    kept = text
    while kept and not fits(kept + "…"):
        kept = kept[:-1]
    return kept.rstrip() + "…"
