"""Several files of one folder written together: all of them, or the folder is as it was."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

__all__ = ["write_together"]


def write_together(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files into a folder, which is made if need be; those of the same names are replaced.

    Each is written under a hidden name first; then they take their places one by one, and if one of them cannot, those
    that did go back.

    Raises: OSError: the folder or disk refuses; all is as it was.
    """
    missing = [p for p in (folder, *folder.parents) if not p.exists()]
    mark = f".{os.getpid()}"
    placed: list[Path] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            (folder / f".{name}{mark}.part").write_bytes(content)
        for name in files:
            target = folder / name
            if target.exists():
                os.replace(target, folder / f".{name}{mark}.old")
            placed.append(target)
            os.replace(folder / f".{name}{mark}.part", target)
    except BaseException:
        for target in placed:
            old = folder / f".{target.name}{mark}.old"
            with suppress(OSError):
                if old.exists():
                    os.replace(old, target)
                else:
                    target.unlink(missing_ok=True)
        for made in missing:
            with suppress(OSError):
                _sweep(folder, files, mark)
                made.rmdir()
        raise
    finally:
        _sweep(folder, files, mark)


def _sweep(folder: Path, files: Mapping[str, bytes], mark: str) -> None:
    for name in files:
        for end in ("part", "old"):
            with suppress(OSError):
                (folder / f".{name}{mark}.{end}").unlink(missing_ok=True)
