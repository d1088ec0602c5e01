"""Which names a pack and its files may have: they stay inside the folder, on every common file system."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from generator.base.errors import OutputError

__all__ = ["demand_names"]

LONGEST: Final = 200
"""Bytes of one name. File systems in common use allow 255; the rest is left for suffixes such as `` (copy)``."""
LONGEST_PATH: Final = 900
"""Bytes of a relative path. POSIX promises 1024 as a customary least (PATH_MAX is 4096 on Linux)."""
FORBIDDEN: Final = frozenset('\\:*?"<>|')
"""Besides the slash and control characters: what Windows forbids in a file name."""
DEVICES: Final = frozenset(
    ["con", "prn", "aux", "nul", *(f"com{i}" for i in range(1, 10)), *(f"lpt{i}" for i in range(1, 10))]
)
"""Names that Windows keeps for devices, whatever their ending."""


def demand_names(pack: str, paths: Iterable[str]) -> None:
    """Refuse names that leave the folder, collide or cannot be written everywhere.

    Args:
        pack: name of the pack's folder.
        paths: relative paths of its files, with forward slashes.

    Raises: OutputError: names the first offender and what is wrong with it.
    """
    if "/" in pack or (wrong := _wrong_with(pack)):
        reason = "it holds a slash" if "/" in pack else wrong
        raise OutputError(f"no folder can be called {pack!r}: {reason}; choose another `name` in the recipe")
    if pack.startswith("."):
        raise OutputError(f"the folder {pack!r} would be hidden; choose another `name` in the recipe")
    taken: dict[str, str] = {}
    folders: set[str] = set()
    for path in paths:
        _demand_path(path)
        key = path.casefold()
        if key in taken:
            raise OutputError(f"two files of the pack would be one: {taken[key]} and {path}; rename one of the inlays")
        taken[key] = path
        parts = key.split("/")
        folders.update("/".join(parts[:i]) for i in range(1, len(parts)))
    for key in folders & taken.keys():
        raise OutputError(f"{taken[key]} would be a file and a folder at once; rename one of the inlays")


def _demand_path(path: str) -> None:
    """Refuse a relative path that is not plain."""
    for part in path.split("/"):
        if wrong := _wrong_with(part):
            raise OutputError(f"no file of a pack can be called {path!r}: {wrong}")
    if len(path.encode(errors="replace")) > LONGEST_PATH:
        raise OutputError(f"no file of a pack can be called {path[:40]!r}…: longer than {LONGEST_PATH} bytes")


def _wrong_with(name: str) -> str:
    """Return what is wrong with one name; empty if nothing is."""
    if not name:
        return "a name is empty"
    if name in (".", ".."):
        return f"{name!r} leads elsewhere"
    if bad := sorted({c for c in name if c in FORBIDDEN or not c.isprintable()}):
        return f"it holds {', '.join(map(repr, bad))}"
    if name[-1] in " ." or name[0] == " ":
        return "it begins with a space or ends with a space or a full stop"
    if name.split(".")[0].casefold() in DEVICES:
        return "Windows keeps that name for a device"
    if len(name.encode()) > LONGEST:
        return f"it is longer than {LONGEST} bytes"
    return ""
