"""Which variants have to be made, and why: those of which anything that matters has changed, and no others."""

from __future__ import annotations

import os

from generator.family.digests import file_digest
from generator.family.index import Known, stamps_of
from generator.family.task import CRASHED, FAILED, HUNG, Made

__all__ = ["Due"]

_TRY_AGAIN = frozenset({CRASHED, FAILED, HUNG})


class Due:
    """Answers for one run; files are read once.

    Args:
        packs: folder of the packs.
        home: folder that used files are named from: that of the family's file.
    """

    def __init__(self, packs: str, home: str) -> None:
        self._packs = packs
        self._home = home
        self._digests: dict[str, str] = {}

    def why(self, name: str, made: Made, known: Known | None) -> str:
        """Return why the variant ``name`` has to be made, empty if nothing has changed since it was."""
        if known is None:
            return "it has not been made yet"
        return (
            _changed_settings(known.made, made)
            or self._changed_use(known)
            or (f"it {known.done.status} last time" if known.done.status in _TRY_AGAIN else "")
            or (self._changed_pack(name, known) if known.done.is_good else "")
        )

    def _changed_use(self, known: Known) -> str:
        for path, digest in known.done.uses.items():
            if path not in self._digests:
                self._digests[path] = file_digest(os.path.join(self._home, path))
            if self._digests[path] != digest:
                return f"{path} has changed" if self._digests[path] else f"{path} cannot be read any more"
        return ""

    def _changed_pack(self, name: str, known: Known) -> str:
        folder = f"{self._packs}/{name}"
        stamps = stamps_of(folder, known.done.files)
        for file, digest in known.done.files.items():
            if file not in stamps:
                return f"{file} of its pack is not there"
            if stamps[file] != known.stamps.get(file) and file_digest(os.path.join(folder, file)) != digest:
                return f"{file} of its pack has been changed"
        return ""


def _changed_settings(before: Made, now: Made) -> str:
    if before.recipe != now.recipe:
        return f"the recipe was {before.recipe}"
    if before.sets != now.sets:
        paths = dict.fromkeys(s.partition("=")[0] for s in set(before.sets) ^ set(now.sets))
        return f"changed: {', '.join(sorted(paths)[:5])}" if paths else "the order of what is set has changed"
    if before.outputs != now.outputs:
        return "other outputs are asked for"
    return "the program or one of its libraries has changed" if before.program != now.program else ""
