"""Files that a recipe uses, such as drawings: only in, below or beside the recipe's folder, and of bounded size."""

from __future__ import annotations

import os
import stat
from typing import Final

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
