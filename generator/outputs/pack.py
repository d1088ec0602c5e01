"""Writing a pack: all of it or nothing.

Files are written to a hidden folder beside the pack, then the two folders change names in one step. Whatever happens
(full disk, refusal, Ctrl-C, a signal), the previous pack stays as it was until the new one is whole and on the disk,
and the hidden folder is removed. Only a process that is killed outright can leave it behind; the next build into the
same ``out`` sweeps it away, when the lock on it shows that its owner is dead.

Nothing that a person has put into a pack's folder is lost: files which the previous manifest does not list move along
into the new pack. Files which it does list are coverplate's own, and are made anew even if they were edited. A folder
that is not a pack is refused.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

from generator.base.errors import OutputError
from generator.outputs.held_signals import held_signals
from generator.outputs.manifest import MANIFEST, read_manifest, walk
from generator.outputs.output import Files
from generator.outputs.pack_disk import (
    exchange_folders,
    folders_of,
    link_or_copy,
    locked_folder,
    reason,
    remove_folder,
    sync_all,
    sync_path,
    try_lock,
    write_file,
)
from generator.outputs.pack_names import demand_names

__all__ = ["demand_place", "write_pack"]

STAGED: Final = ".coverplate-staged-"
ASIDE: Final = ".coverplate-aside-"
_STAGED_NAME: Final = re.compile(re.escape(STAGED) + r"[0-9a-f]{16}")


def write_pack(out: str | Path, name: str, files: Files) -> Path:
    """Write ``files`` as the pack ``out``/``name`` in the place of the previous one, and return its folder.

    Args:
        out: folder of the packs; made if it is not there.
        name: name of the pack's folder.
        files: content by relative path with forward slashes; ``manifest.json`` among them.

    Raises: OutputError: names, folder or disk refuse; the previous pack is as it was and nothing half-written is left.
    """
    demand_names(name, files)
    root = Path(out)
    with _plain_reasons(root / name), held_signals() as stop_if_signalled, _folder_made(root):
        _write(root, name, files, stop_if_signalled)
    return root / name


def demand_place(out: str | Path, name: str) -> None:
    """Refuse if a pack called ``name`` cannot stand in ``out``; ask before long work, ``write_pack`` asks again.

    Raises: OutputError: the name is impossible, or what stands there is a file, a link or not a pack of that name.
    """
    demand_names(name, ())
    with _plain_reasons(Path(out) / name):
        _refuse_what_is_not_ours(Path(out) / name)


@contextmanager
def _plain_reasons(where: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise OutputError(f"cannot write the pack {where}: {reason(error)}; the previous pack is as it was") from error


def _refuse_what_is_not_ours(where: Path) -> None:
    remedy = "move it away, or choose another `name` or another place with --out"
    if where.is_symlink():
        raise OutputError(f"{where} is a link, not a pack; {remedy}")
    if not where.exists():
        return
    if not where.is_dir():
        raise OutputError(f"{where} is a file where the pack's folder is wanted; {remedy}")
    manifest = read_manifest(where)
    if manifest is None and any(where.iterdir()):
        raise OutputError(f"{where} is not a pack: it has files but no {MANIFEST} of coverplate's; {remedy}")
    if manifest is not None and manifest.name != where.name:
        raise OutputError(f"{where} holds the pack {manifest.name}, perhaps a copy that you want to keep; {remedy}")


@contextmanager
def _folder_made(root: Path) -> Iterator[None]:
    """Make ``root`` and what is missing above it; take away again what was made if the block fails."""
    made: list[Path] = []
    try:
        for folder in [*reversed(root.parents), root]:
            if not folder.is_dir():
                os.mkdir(folder)
                made.append(folder)
        yield
    except BaseException:
        for folder in reversed(made):
            with suppress(OSError):  # someone else has put something there meanwhile
                folder.rmdir()
        raise


def _write(root: Path, name: str, files: Files, stop_if_signalled: Callable[[], None]) -> None:
    """Stage the files, then put them in the place of the previous pack."""
    staged = root / f"{STAGED}{os.urandom(8).hex()}"
    lock = None
    try:
        with locked_folder(root) as locked:
            if locked:
                _sweep(root)
            _refuse_what_is_not_ours(root / name)
            os.mkdir(staged)
            lock = try_lock(staged)
        for folder in {os.path.dirname(path) for path in files} - {""}:
            (staged / folder).mkdir(parents=True, exist_ok=True)
        for path in sorted(files):
            stop_if_signalled()
            write_file(f"{staged}/{path}", files[path])
        sync_all(f"{staged}/{path}" for path in files)
        stop_if_signalled()
        with locked_folder(root):
            _replace(root, name, staged)
    finally:
        remove_folder(staged)  # by now the previous pack, or what has been staged in vain
        if lock is not None:
            os.close(lock)


def _replace(root: Path, name: str, staged: Path) -> None:
    """Put ``staged`` in the place of the pack ``name``; ``staged`` is then the previous pack, if there was one."""
    target = root / name
    _refuse_what_is_not_ours(target)
    if not target.is_dir():
        sync_all(folders_of(staged))
        os.rename(staged, target)
    else:
        ours = _own_files(target)
        carried = _carry(target, staged, ours)
        sync_all(folders_of(staged))
        _exchange(root, name, staged)
        try:
            _carry(staged, target, ours | carried)  # what a person has put there in the last instant
        except BaseException:
            _exchange(root, name, staged)
            raise
    with suppress(OSError):  # the new pack is in place; after a power cut either is there, whole
        sync_path(root)


def _exchange(root: Path, name: str, staged: Path) -> None:
    """Let the pack and ``staged`` change places, in one step if system and file system can.

    Else by three renames. A process killed between them leaves the previous pack under a hidden name, from which
    ``_sweep`` brings it back.
    """
    target, aside = root / name, root / f"{ASIDE}{name}"
    if exchange_folders(staged, target):
        return
    done: list[tuple[Path, Path]] = []
    try:
        for a, b in ((target, aside), (staged, target), (aside, staged)):
            os.rename(a, b)
            done.append((a, b))
    except BaseException:
        for a, b in reversed(done):
            os.rename(b, a)
        raise


def _own_files(pack: Path) -> frozenset[str]:
    manifest = read_manifest(pack)
    return frozenset([MANIFEST, *manifest.files]) if manifest else frozenset()


def _carry(old: Path, new: Path, ours: frozenset[str]) -> frozenset[str]:
    """Have every file of ``old`` that is not ``ours`` appear in ``new`` too; return which they are.

    Raises: OutputError: the new pack has a file of its own in that place.
    """
    foreign = frozenset(walk(old)) - ours
    for path in sorted(foreign):
        try:
            (new / path).parent.mkdir(parents=True, exist_ok=True)
            link_or_copy(old / path, new / path)
        except (FileExistsError, NotADirectoryError) as error:
            raise OutputError(
                f"{path} in the previous pack is not coverplate's, and the new pack has a file of its own there; "
                "move it elsewhere first"
            ) from error
    return foreign


def _sweep(root: Path) -> None:
    """Remove what killed builds have left behind, and bring back a pack that one of them had set aside.

    The caller holds the lock of ``root``, so no living build is between two renames.
    """
    for entry in [e for e in os.scandir(root) if e.name.startswith((STAGED, ASIDE))]:
        path = Path(entry.path)
        if not entry.is_dir(follow_symlinks=False):
            continue
        if _STAGED_NAME.fullmatch(entry.name):
            lock = try_lock(path)
            if lock is not None:
                remove_folder(path)
                os.close(lock)
        elif entry.name.startswith(ASIDE):
            home = root / entry.name.removeprefix(ASIDE)
            if os.path.lexists(home):
                remove_folder(path)
            else:
                os.rename(path, home)
