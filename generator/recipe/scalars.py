"""What an unquoted YAML scalar means: the core schema of YAML 1.2.2, section 10.3.2, and nothing else."""

from __future__ import annotations

import math
import re

_INT = re.compile(r"[-+]?[0-9]+")
_OCTAL = re.compile(r"0o[0-7]+")
_HEX = re.compile(r"0x[0-9a-fA-F]+")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_INF = re.compile(r"([-+]?)\.(inf|Inf|INF)")
_NULLS = frozenset({"", "null", "Null", "NULL", "~"})
_BOOLS = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_NANS = frozenset({".nan", ".NaN", ".NAN"})
_LONGEST_INT = 300
"""Digits up to which an integer is kept exact; beyond, it is a float, so that no text costs quadratic time."""

Plain = None | bool | int | float | str


def resolve_scalar(text: str) -> Plain:
    """Return the value of an unquoted scalar.

    Source: YAML 1.2.2, section 10.3.2, core schema, tag resolution table.

    >>> resolve_scalar("017"), resolve_scalar("no"), resolve_scalar("1:30"), resolve_scalar("1e3")
    (17, 'no', '1:30', 1000.0)
    """
    if text in _NULLS:
        return None
    if text in _BOOLS:
        return _BOOLS[text]
    if text[0] not in "+-.0123456789":
        return text
    return _number(text)


def _number(text: str) -> Plain:
    if _INT.fullmatch(text):
        return int(text) if len(text) <= _LONGEST_INT else float(text)
    if _FLOAT.fullmatch(text):
        return float(text)
    for pattern, base in ((_OCTAL, 8), (_HEX, 16)):
        if pattern.fullmatch(text):
            return int(text[2:], base) if len(text) <= _LONGEST_INT else math.inf
    infinity = _INF.fullmatch(text)
    if infinity:
        return -math.inf if infinity[1] == "-" else math.inf
    return math.nan if text in _NANS else text


def is_number(value: Plain) -> bool:
    """Return True for an int or a float, but not for true and false."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def kind_of(value: Plain) -> str:
    """Return what a person calls the value: nothing, true or false, a number, a text."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true or false"
    return "a number" if is_number(value) else "a text"
