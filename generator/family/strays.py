"""Files in packs that are not of them: nobody has proven them, and they would travel along with the pack."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from generator.family.task import Done
from generator.outputs.manifest import walk

__all__ = ["strays_in", "told_strays"]

MOST_TOLD = 5


def strays_in(packs: Path, dones: Iterable[Done]) -> tuple[str, ...]:
    """Return every file in the packs of ``dones`` that they do not list, as ``NAME/path``."""
    return tuple(f"{done.name}/{path}" for done in dones if done.is_good for path in _of_one(packs / done.name, done))


def _of_one(pack: Path, done: Done) -> list[str]:
    try:
        return sorted(path for path in walk(pack) if path not in done.files)
    except OSError:
        return []  # a folder that is gone or shut is told where its files are missed


def told_strays(packs: Path, strays: tuple[str, ...]) -> str:
    """Return a sentence with the paths and the remedy; empty if there are none."""
    if not strays:
        return ""
    named = ", ".join(str(packs / path) for path in strays[:MOST_TOLD])
    more = f" and {len(strays) - MOST_TOLD} more" if len(strays) > MOST_TOLD else ""
    them, are = ("it is", "a file is") if len(strays) == 1 else ("they are", "files are")
    kept = "they stay through every run" if len(strays) > 1 else "it stays through every run"
    return (
        f"{are} in packs and not of them: {named}{more}; {them} not proven and {kept}: move what is yours elsewhere, "
        "delete what nobody needs, before a pack is handed on"
    )
