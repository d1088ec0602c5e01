"""What a pack asks of the disk: durable files, locks, an exchange of two folders in one step, plain reasons."""

from __future__ import annotations

import contextlib
import ctypes
import errno
import os
import shutil
import stat
from collections.abc import Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor, wait
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Final

try:
    import fcntl
except ImportError:  # a system without it has no renameat2 either; builds there are not guarded against each other
    fcntl = None  # type: ignore[assignment]

__all__ = [
    "CAN_LOCK",
    "exchange_folders",
    "folders_of",
    "link_or_copy",
    "locked_folder",
    "reason",
    "remove_folder",
    "sync_all",
    "sync_path",
    "try_lock",
    "write_file",
]

CAN_LOCK: Final = fcntl is not None
AT_FDCWD: Final = -100
RENAME_EXCHANGE: Final = 2
"""linux/fs.h, linux/fcntl.h."""
SYNCS_AT_ONCE: Final = 16
NO_EXCHANGE: Final = frozenset([errno.ENOSYS, errno.EINVAL, errno.EOPNOTSUPP])
NO_LINK: Final = frozenset([errno.EPERM, errno.EACCES, errno.EXDEV, errno.EMLINK, errno.ENOSYS, errno.EOPNOTSUPP])
_DIRECTORY: Final = getattr(os, "O_DIRECTORY", 0)
_NOFOLLOW: Final = getattr(os, "O_NOFOLLOW", 0)
_BINARY: Final = getattr(os, "O_BINARY", 0)


def write_file(path: str | Path, content: bytes) -> None:
    """Create ``path``, which must not exist; ``sync_all`` waits until it is on the disk."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _NOFOLLOW | _BINARY, 0o666)
    try:
        rest = memoryview(content)
        while rest:
            rest = rest[os.write(handle, rest) :]
    finally:
        os.close(handle)


def sync_all(paths: Iterable[str | Path]) -> None:
    """Wait until files and folders (the names in them) are on the disk.

    All are asked for at once: a journalling file system then writes its journal once and not once a file, which was
    measured at 5 against 180 ms for 25 files on a busy disk.
    """
    asked = [_syncing().submit(sync_path, path) for path in paths]
    wait(asked)
    for one in asked:
        one.result()


@cache
def _syncing() -> ThreadPoolExecutor:
    """Return the threads that wait for the disk; a process that writes pack after pack keeps them."""
    return ThreadPoolExecutor(SYNCS_AT_ONCE)


if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_syncing.cache_clear)  # threads do not follow into a child


def sync_path(path: str | Path) -> None:
    """Wait until one file or folder is on the disk."""
    if fcntl is None:
        return  # a system whose files must be open for writing to be synced, and whose folders cannot be
    handle = os.open(path, os.O_RDONLY | _NOFOLLOW)
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno != errno.EINVAL:  # some network file systems do not sync folders, and say so this way
            raise
    finally:
        os.close(handle)


def folders_of(folder: Path) -> list[Path]:
    """Return ``folder`` and all folders below it."""
    return [Path(path) for path, _, _ in os.walk(folder)]


@contextmanager
def locked_folder(folder: Path) -> Iterator[bool]:
    """Hold the lock of ``folder`` (waiting for it); yields whether there is one: not every file system has locks."""
    if fcntl is None:
        yield False
        return
    handle = os.open(folder, os.O_RDONLY | _DIRECTORY)
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX)
            held = True
        except OSError:
            held = False
        yield held
    finally:
        os.close(handle)  # gives the lock back


def try_lock(folder: Path) -> int | None:
    """Return an open handle that holds the lock of ``folder``; None if a living process holds it, or it is gone.

    The lock lasts until the handle is closed, by the system at the latest when the process ends, however it ends.
    """
    if fcntl is None:
        return None
    try:
        handle = os.open(folder, os.O_RDONLY | _DIRECTORY | _NOFOLLOW)
    except FileNotFoundError:
        return None
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        os.close(handle)
        return None
    return handle


def exchange_folders(a: Path, b: Path) -> bool:
    """Let ``a`` and ``b`` change names in one step; return False if system or file system cannot.

    Raises: OSError: they can, but refuse.
    Source: renameat2(2) with RENAME_EXCHANGE.
    """
    try:
        rename = ctypes.CDLL(None, use_errno=True).renameat2
    except (AttributeError, OSError, TypeError):
        return False
    if rename(AT_FDCWD, os.fsencode(a), AT_FDCWD, os.fsencode(b), RENAME_EXCHANGE) == 0:
        return True
    code = ctypes.get_errno()
    if code in NO_EXCHANGE:
        return False
    raise OSError(code, os.strerror(code), str(a), None, str(b))


def link_or_copy(source: Path, target: Path) -> None:
    """Have the file or link ``source`` appear at ``target`` too: by a second name, else as a copy."""
    try:
        os.link(source, target, follow_symlinks=False)
        return
    except NotImplementedError:
        pass
    except OSError as error:
        if error.errno not in NO_LINK:
            raise
    mode = source.lstat().st_mode
    if stat.S_ISLNK(mode):
        os.symlink(os.readlink(source), target)
    elif stat.S_ISREG(mode):
        write_file(target, source.read_bytes())
        sync_path(target)
        shutil.copystat(source, target)
    else:
        raise OSError(errno.EINVAL, "neither a file nor a link", str(source))


def remove_folder(folder: Path) -> None:
    """Remove ``folder`` with all in it as far as possible; what stays behind is hidden and swept by a later build."""
    with contextlib.suppress(OSError):
        shutil.rmtree(folder, ignore_errors=True)


_REASONS: Final = {
    errno.ENOSPC: "the disk is full; free some space",
    errno.EDQUOT: "your disk quota is used up; free some space",
    errno.EROFS: "the disk is read-only; choose another place with --out",
    errno.EACCES: "you may not write there; choose another place with --out or mend the permissions",
    errno.EPERM: "you may not write there; choose another place with --out or mend the permissions",
    errno.ENOTDIR: "a file stands where a folder is wanted; choose another place with --out",
    errno.EEXIST: "a file stands where a folder is wanted; choose another place with --out",
    errno.ENAMETOOLONG: "the path is too long; choose a shorter place with --out or a shorter `name`",
    errno.ELOOP: "links lead round in a circle; choose another place with --out",
    errno.EMFILE: "too many files are open; close some programs",
    errno.ENFILE: "too many files are open; close some programs",
    errno.EIO: "the disk reports a fault; choose another place with --out and check the disk",
}


def reason(error: OSError) -> str:
    """Return why the disk refused and what can be done, in plain words."""
    known = _REASONS.get(error.errno or 0)
    return known or f"the system says: {error.strerror or error}"
