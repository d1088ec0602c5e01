"""What variants of a family share: made once, kept under a digest of everything that it was made from.

A maker asks ``sharing.get(kind, key, make)``; the key is a digest of all that matters but the program and its
libraries, which whoever keeps things adds. Without anybody who keeps things everything is made when it is asked for.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from typing import Any, Protocol

__all__ = ["NOTHING_SHARED", "Sharing", "digest_of"]


class Sharing(Protocol):
    """Keeps bytes by kind and key."""

    def get(self, kind: str, key: str, make: Callable[[], bytes]) -> bytes:
        """Return what is kept of ``kind`` under ``key``, made by ``make`` if it is not there.

        Args:
            kind: word for what it is, such as ``step-text``.
            key: digest of everything that it is made from.
            make: makes it; the same bytes for the same key, whoever asks.
        """


class _NothingShared:
    def get(self, kind: str, key: str, make: Callable[[], bytes]) -> bytes:
        """Return what ``make`` makes."""
        return make()


NOTHING_SHARED: Sharing = _NothingShared()


def digest_of(*values: Any) -> str:
    """Return the SHA-256 (hexadecimal) of values: frozen records, tuples, texts and numbers, told apart by their text.

    Numbers are told to the last bit. A record with a ``fingerprint`` of its own (a text that differs wherever the
    record does) is told by that: it is made once, where a text of thousands of numbers would be made every time.
    """
    h = hashlib.sha256()
    for value in values:
        text = _told(value).encode("utf-8", "surrogatepass")
        h.update(len(text).to_bytes(8, "big"))
        h.update(text)
    return h.hexdigest()


def _told(value: Any) -> str:
    kind = type(value)
    if hasattr(kind, "fingerprint"):
        return f"{kind.__qualname__}:{value.fingerprint}"
    if kind is tuple or kind is list:
        return f"{kind.__name__}({','.join(map(_told, value))})"
    if is_dataclass(kind):
        told = (f"{f.name}={_told(getattr(value, f.name))}" for f in fields(kind) if f.repr)
        return f"{kind.__qualname__}({','.join(told)})"
    return repr(value)
