"""The store: what variants share, on the disk, under a digest of everything that it was made from.

Every entry holds a digest of its name and its content and is believed only if that holds: neither a damaged one nor one
that lies in another's place is. It appears under its name at once.
So several processes may read and write at once, may be killed at any moment, and a full disk or a damaged entry costs
the time to make the thing anew and nothing else. Old entries may be taken away at any time.
"""

from __future__ import annotations

import hashlib
import os
import re
import stat
import time
from collections import OrderedDict
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Final

from generator.base.errors import OutputError
from generator.base.frozen_record import frozen_record
from generator.base.many import many

__all__ = ["NAME", "Entry", "Store", "clean", "demand_store", "entries", "trouble"]

NAME: Final = ".coverplate-store"
"""Folder of the store beside the families."""
MARK: Final = b"coverplate store 1\n"
MARK_FILE: Final = "coverplate-store.txt"
"""Stands in every store and says what it is: a folder without it is none, whatever it holds."""
_KIND: Final = re.compile(r"[a-z]+(?:-[a-z]+)*")
_SHELF: Final = re.compile(r"[0-9a-f]{2}")
_ENTRY: Final = re.compile(r"[0-9a-f]{62}|\.[0-9a-f]{62}\.[0-9]+\.[0-9a-f]{8}\.part")
_HEAD: Final = len(MARK) + 32
HELD_MB: Final = 64.0
"""Entries that a process keeps at hand, MB in all."""
MOST_BYTES: Final = 500_000_000
STALE_S: Final = 3600.0
"""A file that was begun so long ago is not finished any more."""


def trouble(folder: str | Path) -> str:
    """Return why nothing can be kept below a folder, as a sentence; empty if it can."""
    try:
        Store(folder, "").begin()
    except OSError as error:
        why = str(error) if isinstance(error, _NoStoreError) else f"{folder}: {error.strerror or error}"
        return f"variants share nothing: {why}; give --store another folder, or `''` for none"
    return ""


class _NoStoreError(PermissionError):
    """A folder that somebody else uses."""


class Store:
    """What is kept below ``folder``; fulfils ``base.sharing.Sharing``.

    Args:
        folder: made when the first entry is written.
        program: digest of the program and its libraries: what others have made is not taken.
    """

    def __init__(self, folder: str | Path, program: str) -> None:
        self._folder = Path(folder)
        self._program = program
        self._held: OrderedDict[tuple[str, str], bytes] = OrderedDict()
        self._held_bytes = 0
        self._marked = False

    def get(self, kind: str, key: str, make: Callable[[], bytes]) -> bytes:
        """Return what is kept of ``kind`` under ``key``; it is made, and kept if that can be, if it is not there."""
        name = kind, key
        if name in self._held:
            self._held.move_to_end(name)
            return self._held[name]
        path = self._path(kind, key)
        found = _read(path)
        if found is None:
            found = make()
            with suppress(OSError):  # a full disk, no right to write: it is made again next time
                self.begin()
                _write(path, found)
        self._hold(name, found)
        return found

    def _path(self, kind: str, key: str) -> Path:
        name = hashlib.sha256(f"{self._program}\n{kind}\n{key}".encode()).hexdigest()
        return self._folder / kind / name[:2] / name[2:]

    def begin(self) -> None:
        """Say of the folder what it is; it is made if need be.

        Raises: OSError: it is somebody else's, or cannot be written.
        """
        mark = self._folder / MARK_FILE
        if self._marked or mark.exists():
            self._marked = True
            return
        if self._folder.is_dir() and any(self._folder.iterdir()):
            raise _NoStoreError(f"{self._folder} is not empty and no store")
        self._folder.mkdir(parents=True, exist_ok=True)
        _put(mark, MARK)
        self._marked = True

    def _hold(self, name: tuple[str, str], data: bytes) -> None:
        self._held[name] = data
        self._held_bytes += len(data)
        while self._held_bytes > HELD_MB * 1e6 and len(self._held) > 1:
            _, old = self._held.popitem(last=False)
            self._held_bytes -= len(old)


def _read(path: Path) -> bytes | None:
    """Return the content of an entry; None if there is none, or one that is not whole, which is taken away."""
    try:
        if path.stat().st_size > MOST_BYTES:
            return None
        data = path.read_bytes()
    except OSError:
        return None
    content = data[_HEAD:]
    if data[: len(MARK)] == MARK and data[len(MARK) : _HEAD] == _digest(path, content):
        with suppress(OSError):
            os.utime(path)  # the last use, by which old entries are told
        return content
    with suppress(OSError):
        path.unlink()
    return None


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    _put(path, MARK + _digest(path, content) + content)


def _digest(path: Path, content: bytes) -> bytes:
    """Return the digest of an entry: of its kind, its name and what it holds."""
    h = hashlib.sha256("\n".join((*path.parts[-3:], "")).encode())
    h.update(content)
    return h.digest()


def _put(path: Path, data: bytes) -> None:
    part = path.with_name(f".{path.name}.{os.getpid()}.{os.urandom(4).hex()}.part")
    try:
        part.write_bytes(data)
        os.replace(part, path)
    finally:
        part.unlink(missing_ok=True)


@frozen_record
class Entry:
    """One entry: its path, kind, size in bytes and time of last use (seconds since the epoch)."""

    path: Path
    kind: str
    size: int
    used: float


def demand_store(folder: str | Path) -> None:
    """Refuse a folder that is not a store, so that nobody's files are taken for entries; one that is not there will do.

    Raises: OutputError: it has no mark of a store.
    """
    root = Path(folder)
    if not os.path.lexists(root) or (root.is_dir() and not any(root.iterdir())):
        return
    try:
        known = (root / MARK_FILE).read_bytes()
    except OSError:
        known = b""
    if known != MARK:
        raise OutputError(f"{root} is not a store of coverplate's: it has no {MARK_FILE} of one; nothing was touched")


def entries(folder: str | Path) -> Iterator[Entry]:
    """Yield every entry of a store, and files of entries that were begun and not finished; nothing else.

    Raises: OutputError: it is not a store.
    """
    demand_store(folder)
    root = Path(folder)
    for kind in sorted(n for n in _folders(root) if _KIND.fullmatch(n)):
        for shelf in sorted(n for n in _folders(root / kind) if _SHELF.fullmatch(n)):
            for file in sorted(os.scandir(root / kind / shelf), key=lambda e: e.name):
                with suppress(OSError):
                    status = file.stat(follow_symlinks=False)
                    if _ENTRY.fullmatch(file.name) and stat.S_ISREG(status.st_mode):
                        yield Entry(Path(file.path), kind, status.st_size, status.st_mtime)


def _folders(folder: Path) -> list[str]:
    try:
        return [e.name for e in os.scandir(folder) if e.is_dir(follow_symlinks=False)]
    except OSError:
        return []


def clean(folder: str | Path, *, keep_bytes: int = 0) -> tuple[int, int]:
    """Take away entries, those not used for longest first, until what is left has at most ``keep_bytes``.

    What is being written by a living process is left alone, and so is whatever is no entry. Returns how many went and
    their bytes.

    Raises: OutputError: it is not a store, or entries cannot be taken away; those that can are gone.
    """
    found = sorted(entries(folder), key=lambda e: -e.used)
    now, kept, gone, freed = time.time(), 0, 0, 0
    stuck: list[OSError] = []
    for entry in found:
        is_begun = entry.path.name.endswith(".part")
        if is_begun and now - entry.used < STALE_S:
            continue
        if not is_begun and kept + entry.size <= keep_bytes:
            kept += entry.size
            continue
        try:
            entry.path.unlink()
            gone, freed = gone + 1, freed + entry.size
        except FileNotFoundError:  # another process was quicker
            continue
        except OSError as error:
            stuck.append(error)
    if stuck:
        why = stuck[0].strerror or stuck[0]
        raise OutputError(
            f"{folder}: {many(len(stuck), 'entry', 'entries')} cannot be removed: {why}; "
            f"{many(gone, 'other is gone', 'others are gone')}"
        )
    shelves = {e.path.parent for e in found}
    for emptied in (*shelves, *{s.parent for s in shelves}):
        with suppress(OSError):
            emptied.rmdir()
    return gone, freed
