"""The operators of a page of PDF, one after the other (ISO 32000, 7.8.2), and the texts that they set.

Words are split by one pattern: the reader that opens the file takes many times as long over them as over the rest.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, Final

__all__ = ["Operand", "characters", "operations"]

Operand = float | str | bytes | list[Any]
"""A number, a name (without its slash), a string or an array."""

_WORDS: Final = re.compile(
    rb"[\0\t\n\f\r ]*(?:([-+]?(?:\d+\.?\d*|\.\d+))(?![^\0\t\n\f\r \[\]()<>/])|/([^\0\t\n\f\r \[\]()<>/]*)"
    rb"|\(((?:[^()\\]|\\.)*)\)|<([0-9A-Fa-f\0\t\n\f\r ]*)>|(\[)|(\])|([A-Za-z][A-Za-z0-9]*\*?|['\"]))",
    re.DOTALL,
)
_NUMBER, _NAME, _STRING, _HEXADECIMAL, _OPENS, _CLOSES, _OPERATOR = range(1, 8)
_BLANKS: Final = b"\0\t\n\f\r "
_ESCAPE: Final = re.compile(rb"\\([0-7]{1,3}|\r\n|.)", re.DOTALL)
_ESCAPED: Final = {
    b"n": b"\n",
    b"r": b"\r",
    b"t": b"\t",
    b"b": b"\b",
    b"f": b"\f",
    b"\n": b"",
    b"\r": b"",
    b"\r\n": b"",
}
_MAPPED: Final = re.compile(rb"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>")
_LISTS: Final = re.compile(rb"beginbfchar(.*?)endbfchar", re.DOTALL)


def operations(content: bytes) -> Iterator[tuple[str, list[Operand]]]:
    """Yield every operator of a page's content with its operands.

    Raises: ValueError: something else stands between them, such as an inline picture.
    """
    operands: list[Operand] = []
    outer: list[Operand] = []
    in_list = False
    at = 0
    for found in _WORDS.finditer(content):
        if found.start() != at:
            break
        at = found.end()
        kind = found.lastindex
        if kind == _NUMBER:
            operands.append(float(found[_NUMBER]))
        elif kind == _OPERATOR:
            if in_list:
                raise ValueError(f"an operator in the list before byte {at}")
            yield found[_OPERATOR].decode("ascii"), operands
            operands = []
        elif kind == _NAME:
            operands.append(found[_NAME].decode("latin-1"))
        elif kind == _STRING:
            operands.append(_unescaped(found[_STRING]))
        elif kind == _HEXADECIMAL:
            operands.append(_of_hexadecimal(found[_HEXADECIMAL]))
        elif kind == _OPENS and not in_list:
            outer, operands, in_list = operands, [], True
        elif kind == _CLOSES and in_list:
            outer.append(operands)
            operands, in_list = outer, False
        else:
            raise ValueError(f"a bracket too many before byte {at}")
    if content[at:].strip(_BLANKS) or operands or in_list:
        raise ValueError(f"no operator at byte {at}")


def _unescaped(string: bytes) -> bytes:
    """Return a string without its escapes (ISO 32000, 7.3.4.2)."""
    return _ESCAPE.sub(_unescape, string) if b"\\" in string else string


def _unescape(found: re.Match[bytes]) -> bytes:
    word = found[1]
    return bytes([int(word, 8) & 0xFF]) if word[:1].isdigit() and word < b"8" else _ESCAPED.get(word, word)


def _of_hexadecimal(digits: bytes) -> bytes:
    """Return the bytes of a string in hexadecimal; a missing last digit is 0."""
    even = b"".join(digits.split())
    return bytes.fromhex((even + b"0" * (len(even) % 2)).decode("ascii"))


def characters(table: bytes) -> Mapping[int, str]:
    """Return the character that each code of one byte stands for, by a face's own table (ISO 32000, 9.10.3)."""
    return {
        int(code, 16): bytes.fromhex(char.decode("ascii")).decode("utf-16-be")
        for rows in _LISTS.findall(table)
        for code, char in _MAPPED.findall(rows)
    }
