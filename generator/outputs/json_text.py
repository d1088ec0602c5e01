"""Values as indented JSON, as the standard library writes them, for files that are written thousands of times.

With an indent the library encodes every value in Python. Here only containers of containers are; what holds nothing but
texts, numbers and constants it encodes by itself, between separators that carry the line breaks.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from typing import Any

__all__ = ["json_text"]


def json_text(value: Any) -> str:
    """Return a value as ``json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False)`` writes it.

    Raises: ValueError: there is a number that JSON does not know.
    """
    return _told(value, "\n")


def _told(value: Any, line: str) -> str:
    if not isinstance(value, dict | list | tuple) or not value:
        return _encoder("")(value)
    inner = f"{line}  "
    values = value.values() if isinstance(value, dict) else value
    if not any(isinstance(v, dict | list | tuple) for v in values):
        text = _encoder(inner)(value)
        return f"{text[0]}{inner}{text[1:-1]}{line}{text[-1]}"
    if isinstance(value, dict):
        items = [f"{_encoder('')(_key(k))}: {_told(v, inner)}" for k, v in value.items()]
    else:
        items = [_told(v, inner) for v in value]
    first, last = "{}" if isinstance(value, dict) else "[]"
    return f"{first}{inner}{f',{inner}'.join(items)}{line}{last}"


def _key(key: Any) -> str:
    if not isinstance(key, str):
        raise TypeError(f"keys are texts here, not {type(key).__name__}")
    return key


@cache
def _encoder(line: str) -> Callable[[Any], str]:
    return json.JSONEncoder(ensure_ascii=False, allow_nan=False, separators=(f",{line}", ": ")).encode
