"""Files that a recipe uses, such as drawings: only in, below or beside the recipe's folder, and of bounded size."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any, Final

from generator.base.fields import SPEC, Kind, OutlineSpec

MOST_BYTES: Final = 50_000_000
"""Largest file that a recipe may use: our choice."""


def inside_surroundings(folder: str, path: str) -> bool:
    """Return True if ``path`` really lies in the parent of ``folder`` or below it, links followed."""
    top = os.path.dirname(os.path.realpath(folder or os.curdir))
    return os.path.commonpath([top, os.path.realpath(path)]) == top


def read_used_file(folder: str, name: str) -> bytes:
    """Return the bytes of the file that a recipe in ``folder`` calls ``name``.

    Raises: OSError: missing, unreadable, no regular file, too large, or outside the recipe's surroundings.
    """
    path = os.path.join(folder, name)
    if not inside_surroundings(folder, path):
        raise PermissionError(f"{name} lies outside the recipe's surroundings")
    status = os.stat(path)
    if not stat.S_ISREG(status.st_mode):
        raise OSError(f"{name} is not a regular file")
    if status.st_size > MOST_BYTES:
        raise OSError(f"{name} is larger than {MOST_BYTES // 1_000_000} MB")
    with open(path, "rb") as handle:
        return handle.read(MOST_BYTES)


def wrong_used_file(folder: str, name: str) -> str:
    """Return what is wrong with the file called ``name``, empty if it can be read."""
    path = os.path.join(folder, name)
    if not os.path.lexists(path):
        return "which is not there"
    if not inside_surroundings(folder, path):
        return "which lies outside the recipe's surroundings"
    if not os.path.isfile(path):
        return "which is not a regular file"
    return "" if os.access(path, os.R_OK) else "which may not be read"


def digest_used_file(folder: str, name: str) -> bytes:
    """Return name and content of a used file for a digest; a file that cannot be read counts as such."""
    try:
        return name.encode() + b"\0" + read_used_file(folder, name)
    except OSError:
        return name.encode() + b"\1"


def named_files(value: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """Yield recipe path and name of every file that is named in a recipe or in a part of it, in the recipe's order."""
    if isinstance(value, OutlineSpec):
        yield from named_files(value.params, f"{value.path or path}.{value.kind}")
        for key, outlines in (("add", value.add), ("cut", value.cut)):
            yield from named_files(outlines, f"{value.path or path}.{key}")
    elif isinstance(value, Mapping):
        for name, item in value.items():
            yield from named_files(item, f"{path}.{name}")
    elif isinstance(value, tuple):
        for number, item in enumerate(value):
            yield from named_files(item, f"{path}[{number}]")
    elif is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            at, item = f"{path}.{field.name}".lstrip("."), getattr(value, field.name)
            spec = field.metadata.get(SPEC)
            if spec is not None and spec.kind is Kind.FILE:
                yield from [(at, item)] if item else []
            else:
                yield from named_files(item, at)
