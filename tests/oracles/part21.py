"""A reader of ISO 10303-21 text that knows nothing of the solid kernel: header, entities, strings.

Source: ISO 10303-21 (clear text encoding of the exchange structure), string encoding in 6.4.3.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

_TOKEN = re.compile(r"'(?:[^']|'')*'|#\d+|\.[A-Z0-9_]+\.|[A-Z_][A-Z0-9_]*|[-+]?\d+\.?\d*(?:E[-+]?\d+)?|[(),;=$*]|\S")


@dataclass(frozen=True)
class StepText:
    """Header records by name, and entities by number: (name or empty for a complex one, raw tokens)."""

    header: dict[str, list[str]]
    entities: dict[int, tuple[str, list[str]]]

    def of(self, name: str) -> list[list[str]]:
        """Return the tokens of every entity of a name, in file order."""
        return [tokens for kind, tokens in self.entities.values() if kind == name]


def parse(data: bytes) -> StepText:
    """Return the file in pieces; raises ValueError where it is not what the standard wants."""
    text = data.decode("ascii")
    if not text.startswith("ISO-10303-21;") or not text.rstrip().endswith("END-ISO-10303-21;"):
        raise ValueError("not an exchange structure")
    head, rest = text.split("ENDSEC;", 1)
    header: dict[str, list[str]] = {}
    for record in _records(head.split("HEADER;", 1)[1]):
        header[record[0]] = record[1:]
    body = rest.split("DATA;", 1)[1].rsplit("ENDSEC;", 1)[0]
    entities: dict[int, tuple[str, list[str]]] = {}
    for record in _records(body):
        number = int(record[0].removeprefix("#"))
        if record[1] != "=" or number in entities:
            raise ValueError(f"entity #{number}")
        named = record[2] != "("
        entities[number] = (record[2] if named else "", record[3:] if named else record[2:])
    used = {int(t[1:]) for _, tokens in entities.values() for t in tokens if re.fullmatch(r"#\d+", t)}
    if used - set(entities):
        raise ValueError(f"references to nothing: {sorted(used - set(entities))[:5]}")
    return StepText(header, entities)


def _records(text: str) -> list[list[str]]:
    """Return the tokens of every record up to its semicolon."""
    records: list[list[str]] = [[]]
    for token in _TOKEN.findall(text):
        if token == ";":
            records.append([])
        else:
            records[-1].append(token)
    if records.pop():
        raise ValueError("a record without an end")
    return records


def string(token: str) -> str:
    """Return what a string token says."""
    if not (token.startswith("'") and token.endswith("'")):
        raise ValueError(f"no string: {token}")
    body = token[1:-1].replace("''", "'")

    def wide(found: re.Match[str]) -> str:
        size = 4 if found[1] == "2" else 8
        digits = found[2]
        return "".join(chr(int(digits[i : i + size], 16)) for i in range(0, len(digits), size))

    parts = re.split(r"(\\X[24]\\[0-9A-F]+\\X0\\)", body)
    return "".join(
        re.sub(r"\\X([24])\\([0-9A-F]+)\\X0\\", wide, p) if i % 2 else p.replace("\\\\", "\\")
        for i, p in enumerate(parts)
    )


def strings(tokens: list[str]) -> list[str]:
    """Return every string among tokens."""
    return [string(t) for t in tokens if t.startswith("'")]
