"""``manifest.json``: what a pack consists of, and the questions that it answers.

The manifest lists every other file of the pack with size and SHA-256, so that a pack can be verified without building
it again, and so that a build knows which files in the folder are its own. Nothing heavy is imported here.
"""

from __future__ import annotations

import hashlib
import json
import os
import stat
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from generator.base.frozen_record import frozen_record
from generator.outputs.json_text import json_text

if TYPE_CHECKING:
    from generator.outputs.output import Files, Work

__all__ = ["MANIFEST", "Manifest", "PackFault", "is_current", "manifest_bytes", "read_manifest", "verify_pack"]

MANIFEST: Final = "manifest.json"
FORMAT: Final = "coverplate pack 1"
MAX_BYTES: Final = 16_000_000
"""A manifest larger than this is not ours; it is not read."""
CHUNK: Final = 1 << 20


@frozen_record
class Entry:
    """Size in bytes and SHA-256 (hexadecimal) of one file."""

    size: int
    sha256: str


@frozen_record
class Manifest:
    """The manifest of a pack.

    Attributes:
        name, revision: of the recipe.
        recipe_sha256: digest of the resolved recipe and what it uses.
        versions: of the package and the libraries that shape the outputs, by name.
        outputs: names of the outputs that were asked for.
        files: every file of the pack but the manifest itself, by relative path.
    """

    name: str
    revision: str
    recipe_sha256: str
    versions: Mapping[str, str]
    outputs: tuple[str, ...]
    files: Mapping[str, Entry]


@frozen_record
class PackFault:
    """One thing wrong with a pack folder.

    Attributes:
        file: relative path.
        kind: ``missing``, ``altered``, ``foreign`` (not of this pack) or ``unreadable``.
        message: one plain sentence, with the digests where they differ.
    """

    file: str
    kind: str
    message: str


def manifest_bytes(work: Work, outputs: Sequence[str], files: Files) -> bytes:
    """Return the manifest of a pack that consists of ``files``; same arguments, same bytes."""
    data = {
        "format": FORMAT,
        "name": work.plan.name,
        "revision": work.plan.revision,
        "recipe_sha256": work.recipe_digest,
        "versions": dict(sorted(work.tool_versions.items())),
        "outputs": list(outputs),
        "files": {
            path: {"size": len(content), "sha256": hashlib.sha256(content).hexdigest()}
            for path, content in sorted(files.items())
            if path != MANIFEST
        },
    }
    return (json_text(data) + "\n").encode()


def read_manifest(folder: Path) -> Manifest | None:
    """Return the manifest in ``folder``; None if there is none that is whole and ours."""
    path = folder / MANIFEST
    try:
        info = path.lstat()
        if not stat.S_ISREG(info.st_mode) or info.st_size > MAX_BYTES:
            return None
        return _manifest_of(json.loads(path.read_bytes()))
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def _manifest_of(data: Any) -> Manifest | None:
    if data["format"] != FORMAT:
        return None
    files = {str(k): Entry(int(v["size"]), str(v["sha256"])) for k, v in data["files"].items()}
    if any(not _stays_inside(path) for path in files):
        return None
    return Manifest(
        name=str(data["name"]),
        revision=str(data["revision"]),
        recipe_sha256=str(data["recipe_sha256"]),
        versions={str(k): str(v) for k, v in data["versions"].items()},
        outputs=tuple(str(o) for o in data["outputs"]),
        files=files,
    )


def _stays_inside(path: str) -> bool:
    return bool(path) and all(part not in ("", ".", "..") for part in path.split("/")) and "\\" not in path


def verify_pack(folder: str | Path) -> tuple[PackFault, ...]:
    """Return everything wrong with the pack in ``folder``: files missing, altered, foreign or unreadable.

    Links are not followed: a link in the place of a file counts as altered. Files that a person put into the folder are
    ``foreign``: no harm, but not proven.
    """
    root = Path(folder)
    manifest = read_manifest(root)
    if manifest is None:
        return (PackFault(MANIFEST, "unreadable", f"{root / MANIFEST} is missing or is not the manifest of a pack"),)
    faults = [f for path, entry in manifest.files.items() if (f := _fault(root, path, entry)) is not None]
    ours = {MANIFEST, *manifest.files}
    try:
        foreign = sorted(path for path in walk(root) if path not in ours)
    except OSError as error:
        return (*faults, PackFault(str(error.filename), "unreadable", f"a folder cannot be read: {error.strerror}"))
    return (*faults, *(PackFault(p, "foreign", f"{p} is not of this pack") for p in foreign))


def is_current(folder: str | Path, digest: str, versions: Mapping[str, str], outputs: Sequence[str]) -> bool:
    """Return True if the pack in ``folder`` is of this recipe, these versions and outputs, with every file unchanged.

    Foreign files do not count: they are kept by the next build as well.
    """
    manifest = read_manifest(Path(folder))
    return (
        manifest is not None
        and manifest.recipe_sha256 == digest
        and manifest.versions == dict(versions)
        and manifest.outputs == tuple(outputs)
        and all(_fault(Path(folder), path, entry) is None for path, entry in manifest.files.items())
    )


def walk(folder: Path) -> Iterator[str]:
    """Yield the relative path, with forward slashes, of everything below ``folder`` but folders; links not followed."""
    waiting = [""]
    while waiting:
        prefix = waiting.pop()
        with os.scandir(folder / prefix) as entries:
            for entry in entries:
                path = prefix + entry.name
                if entry.is_dir(follow_symlinks=False):
                    waiting.append(path + "/")
                else:
                    yield path


def _fault(root: Path, path: str, entry: Entry) -> PackFault | None:
    file = root / path
    try:
        info = file.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return PackFault(path, "missing", f"{path} is missing")
    except OSError as error:
        return PackFault(path, "unreadable", f"{path} cannot be read: {error.strerror}")
    if not stat.S_ISREG(info.st_mode):
        return PackFault(path, "altered", f"{path} is no longer a plain file")
    if info.st_size != entry.size:
        return PackFault(path, "altered", f"{path} has {info.st_size} bytes, not {entry.size}")
    try:
        found = _sha256(file)
    except OSError as error:
        return PackFault(path, "unreadable", f"{path} cannot be read: {error.strerror}")
    if found != entry.sha256:
        return PackFault(path, "altered", f"{path} has SHA-256 {found}, not {entry.sha256}")
    return None


def _sha256(file: Path) -> str:
    digest = hashlib.sha256()
    with file.open("rb") as stream:
        while chunk := stream.read(CHUNK):
            digest.update(chunk)
    return digest.hexdigest()
