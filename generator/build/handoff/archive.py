"""A zip that is the same byte for byte for the same files: sorted, one time, one set of permissions, not compressed."""

from __future__ import annotations

import hashlib
import io
import re
import stat
import zipfile
from collections.abc import Mapping
from typing import Final

__all__ = ["archive", "archive_name", "folder_name"]

FIRST_TIME: Final = (1980, 1, 1, 0, 0, 0)
"""The earliest that a zip can hold."""
PLAIN_FILE: Final = (stat.S_IFREG | 0o644) << 16
UNIX: Final = 3
DIGITS: Final = 4
_NOT_IN_NAMES: Final = re.compile(r"[^A-Za-z0-9._-]+")


def folder_name(name: str, revision: str) -> str:
    """Return the name of the folder in the zip: ``NAME-rev-A``; signs that file systems do not like become hyphens.

    A few digits of its digest keep such a revision apart from others that would be called the same.
    """
    said = _NOT_IN_NAMES.sub("-", revision).strip("-.")
    if said != revision:
        digest = hashlib.sha256(revision.encode("utf-8")).hexdigest()[:DIGITS]
        said = f"{said}-{digest}" if said else digest
    return f"{name}-rev-{said}" if said else name


def archive_name(name: str, revision: str) -> str:
    """Return the name of the zip."""
    return f"{folder_name(name, revision)}-handoff.zip"


def archive(folder: str, files: Mapping[str, bytes]) -> bytes:
    """Return the zip of ``files`` (by relative path) in one folder; same arguments, same bytes on every machine.

    Nothing is compressed, because compressors of equal name differ from version to version.
    """
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as package:
        for path in sorted(files):
            entry = zipfile.ZipInfo(f"{folder}/{path}", FIRST_TIME)
            entry.create_system = UNIX
            entry.external_attr = PLAIN_FILE
            package.writestr(entry, files[path])
    return out.getvalue()
