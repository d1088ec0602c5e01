"""One file written whole: whoever reads it gets the earlier one or the new one, never a part of either."""

from __future__ import annotations

import os
from pathlib import Path

__all__ = ["write_whole"]


def write_whole(path: Path, content: bytes) -> None:
    """Write ``content`` to ``path`` in one step; its folder must be there.

    Raises: OSError: the folder or disk refuses; an earlier file is as it was.
    """
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        part.write_bytes(content)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
