"""Digests of what variants are made from: files, and the program with its libraries."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping

__all__ = ["file_digest", "program_digest"]


def file_digest(path: str) -> str:
    """Return the SHA-256 of a file, empty if it cannot be read."""
    try:
        with open(path, "rb") as handle:
            return hashlib.file_digest(handle, "sha256").hexdigest()
    except OSError:
        return ""


def program_digest(versions: Mapping[str, str]) -> str:
    """Return a short digest of the program and its libraries."""
    return hashlib.sha256(repr(sorted(versions.items())).encode()).hexdigest()[:16]
