r"""Texts as ISO 10303-21 asks for them: printable ASCII, everything else in hexadecimal (clause 6.4.3)."""

from __future__ import annotations

import re

__all__ = ["decode_text", "encode_text"]


def encode_text(text: str) -> str:
    """Return a text as it stands between apostrophes in an ISO 10303-21 file."""
    out: list[str] = []
    for plane, chars in _stretches(text):
        if plane == 0:
            out.append(chars.replace("\\", "\\\\").replace("'", "''"))
        else:
            digits = "".join(f"{ord(c):0{plane * 2}X}" for c in chars)
            out.append(f"\\X{plane}\\{digits}\\X0\\")
    return "".join(out)


_CODED = re.compile(r"\\X(?P<bytes>[24])\\(?P<digits>[0-9A-F]*)\\X0\\|(?P<twice>\\\\|'')")


def decode_text(text: str) -> str:
    """Return what ``encode_text`` has encoded.

    >>> decode_text(encode_text("Tür 'A'"))
    "Tür 'A'"
    """

    def meant(found: re.Match[str]) -> str:
        if found["twice"]:
            return found["twice"][0]
        wide = 2 * int(found["bytes"])
        digits = found["digits"]
        return "".join(chr(int(digits[i : i + wide], 16)) for i in range(0, len(digits), wide))

    return _CODED.sub(meant, text)


def _stretches(text: str) -> list[tuple[int, str]]:
    """Return stretches of equal coding: 0 printable ASCII, 2 two bytes a character, 4 four bytes."""
    out: list[tuple[int, str]] = []
    for c in text:
        kind = 0 if " " <= c <= "~" else 2 if ord(c) <= 0xFFFF else 4
        if out and out[-1][0] == kind:
            out[-1] = (kind, out[-1][1] + c)
        else:
            out.append((kind, c))
    return out
