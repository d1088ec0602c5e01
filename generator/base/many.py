"""How many of a thing there are, in words."""

from __future__ import annotations

__all__ = ["many"]


def many(count: int, one: str, more: str = "") -> str:
    """Return a number with its thing, of one thing and of more; ``more`` where it does not end in a mere s.

    >>> many(1, "pack"), many(0, "pack"), many(2, "does", "do")
    ('1 pack', '0 packs', '2 do')
    """
    return f"{count} {one}" if count == 1 else f"{count} {more or f'{one}s'}"
