"""The resolved recipe as YAML with the origin of every line, and the digest that tells one build from another."""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any

from generator.recipe.context import Origin
from generator.recipe.places import shown
from generator.recipe.read import Reading, origin_of
from generator.recipe.scalars import resolve_scalar
from generator.recipe.used import digest_used_file

_SIMPLE = re.compile(r"[A-Za-z][A-Za-z0-9]*(?:[ _./-][A-Za-z0-9]+)*")
_MEASURE = re.compile(r"-?[0-9]+(?:\.[0-9]+)?(?:e-?[0-9]+)? (?:mm|deg)")
_ESCAPED = re.compile("[\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")
_INDENT = "  "
_KEPT = 1024  # words that are written as before: those of one recipe and its variants


def resolved_yaml(reading: Reading) -> str:
    """Return the recipe with nothing left to work out, each line with where its value comes from.

    The same recipe gives the same bytes; read again they give an equal recipe.
    """
    return "".join(f"{line}\n" for line in _map_lines(reading, reading.resolved, "", ""))


def digest(reading: Reading, extra: str | bytes | Mapping[str, bytes] = "") -> str:
    """Return the SHA-256 (hexadecimal) of everything that a build depends on.

    Args:
        reading: the resolved recipe; the bytes of every file it uses are taken in.
        extra: anything else that matters, such as versions, or further files by name.
    """
    h = hashlib.sha256()
    parts = [canonical(reading.resolved), *(digest_used_file(reading.folder, n) for n in reading.used_files)]
    if isinstance(extra, Mapping):
        for name in sorted(extra):
            parts += [name.encode(), extra[name]]
    else:
        parts.append(extra.encode() if isinstance(extra, str) else extra)
    for part in parts:
        h.update(len(part).to_bytes(8, "big"))
        h.update(part)
    return h.hexdigest()


def canonical(resolved: Mapping[str, Any]) -> bytes:
    """Return the resolved data as bytes, always the same for the same data."""
    return json.dumps(resolved, ensure_ascii=True, separators=(",", ":"), allow_nan=False).encode("ascii")


def _map_lines(reading: Reading, data: Mapping[str, Any], path: str, indent: str) -> Iterator[str]:
    for key, value in data.items():
        yield from _entry_lines(reading, f"{key_text(key)}:", value, f"{path}.{key}".lstrip("."), indent)


def _entry_lines(reading: Reading, lead: str, value: Any, path: str, indent: str) -> Iterator[str]:
    """Yield the lines of ``lead`` (a key or a dash) with its value behind or below it."""
    comment = f"# {_origin_text(reading, path, value)}"
    if isinstance(value, Mapping) and value:
        yield f"{indent}{lead}  {comment}"
        yield from _map_lines(reading, value, path, indent + _INDENT)
    elif isinstance(value, list) and not _is_flat(value):
        yield f"{indent}{lead}  {comment}"
        for i, item in enumerate(value):
            yield from _entry_lines(reading, "-", item, f"{path}[{i}]", indent + _INDENT)
    elif isinstance(value, str) and _must_be_block(reading, path, value):
        yield f"{indent}{lead} |-  {comment}"
        yield f"{indent}{_INDENT}{value}"
    else:
        yield f"{indent}{lead} {flow_text(value)}  {comment}"


def _must_be_block(reading: Reading, path: str, value: str) -> bool:
    """Return True for a parameter's text that might be taken for an expression were it only quoted."""
    group, _, name = path.partition(".")
    is_text = group == "parameters" and isinstance(reading.recipe.parameters.get(name), str)
    return is_text and value.isprintable() and value == value.strip() != ""


def _origin_text(reading: Reading, path: str, value: Any) -> str:
    if value is None:
        return "derived"
    origin: Origin = origin_of(reading, path)
    if origin.source != "file":
        return "default" if origin.source == "derived" else origin.source
    return f"{_told_from(reading.folder or os.curdir, origin.file, os.getcwd())}:{origin.line}"


@lru_cache(maxsize=_KEPT)
def _told_from(folder: str, file: str, _here: str) -> str:
    """Return a file's name as seen from a folder; what is relative is so to the folder ``_here`` that one works in."""
    return shown(os.path.relpath(file, folder).replace(os.sep, "/"))


def _is_flat(value: list[Any]) -> bool:
    """Return True for a list that goes on one line: single values, or points."""
    return all(
        not isinstance(v, Mapping) and (not isinstance(v, list) or not any(isinstance(x, list | dict) for x in v))
        for v in value
    )


@lru_cache(maxsize=_KEPT)
def key_text(key: str) -> str:
    """Return a key as YAML."""
    return key if isinstance(resolve_scalar(key), str) and re.fullmatch(r"[A-Za-z0-9_-]+", key) else quoted(key)


def flow_text(value: Any) -> str:
    """Return a plain value as YAML on one line."""
    if isinstance(value, list):
        return f"[{', '.join(flow_text(v) for v in value)}]"
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key_text(k)}: {flow_text(v)}" for k, v in value.items()) + "}"
    if isinstance(value, str):
        return _word_text(value)
    if isinstance(value, float):
        return repr(value)
    return json.dumps(value)


@lru_cache(maxsize=_KEPT)
def _word_text(value: str) -> str:
    simple = (_SIMPLE.fullmatch(value) or _MEASURE.fullmatch(value)) and isinstance(resolve_scalar(value), str)
    return value if simple else quoted(value)


def quoted(text: str) -> str:
    """Return ``text`` in double quotes with YAML's escapes."""
    return _ESCAPED.sub(lambda m: f"\\u{ord(m[0]):04x}", json.dumps(text, ensure_ascii=False))
