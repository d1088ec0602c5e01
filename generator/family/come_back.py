"""What comes back for a whole family: tables, gallery, contact sheet, cut list, nested sheets; made anew if need be."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Final

from generator.base.errors import OutputError
from generator.base.whole_file import write_whole
from generator.family.digests import file_digest
from generator.family.plain_data import plain_text
from generator.family.task import BUILT, Done
from generator.outputs.pack_disk import reason

if TYPE_CHECKING:
    from generator.family.run import Ran

__all__ = ["STATE", "come_back", "get_ready"]

STATE: Final = ".family-files.json"
"""What the files were made from, and their digests: so that they are not made again from the same."""
NESTED: Final = "nested"


def come_back(ran: Ran, program: str) -> tuple[str, ...]:
    """Have the files of the family in its folder, made anew unless they are there from the same; return their names.

    Raises: OutputError: the folder or disk refuses.
    """
    state = ran.folder / STATE
    made_from = _made_from(ran, program)
    before, digests = _read_state(state)
    if before == made_from and _are_there(ran.folder, digests):
        return tuple(digests)
    files = _files(ran)
    try:
        with suppress(OSError):
            state.unlink()
        for name, content in files.items():
            (ran.folder / name).parent.mkdir(parents=True, exist_ok=True)
            write_whole(ran.folder / name, content)
        _sweep(ran.folder, files)
        digests = {name: hashlib.sha256(content).hexdigest() for name, content in files.items()}
        write_whole(state, json.dumps({"made_from": made_from, "files": digests}).encode())
    except OSError as error:
        raise OutputError(f"{ran.folder}: {reason(error)}; the packs are whole, run again to have the rest") from error
    return tuple(files)


def get_ready() -> None:
    """Load what the files are made with, while others work."""
    _makers()


def _files(ran: Ran) -> dict[str, bytes]:
    return {name: content for make in _makers() for name, content in make(ran).items()}


def _makers() -> tuple[Callable[[Ran], dict[str, bytes]], ...]:
    """Return what makes the files; only who needs them loads it."""
    from generator.family.cut_list.files import cut_list_files
    from generator.family.returns.contact_sheet import contact_sheet_files
    from generator.family.returns.gallery import gallery_files
    from generator.family.returns.tables import table_files

    return table_files, gallery_files, contact_sheet_files, cut_list_files


def _made_from(ran: Ran, program: str) -> str:
    h = hashlib.sha256(f"{program}\n{ran.proof!r}\n{ran.strangers!r} {ran.stopped}\n".encode())
    file = ran.family.file
    h.update(
        repr((file.family, file.title, file.recipe, file.outputs, file.stock, file.spacing, file.sheet_edge)).encode()
    )
    for row in ran.rows:
        h.update(f"{row.variant!r}\n{_lasting(row.done) or row.why}\n".encode())
    return h.hexdigest()


def _lasting(done: Done | None) -> str:
    """Return what became of a variant but for what tells one run from another."""
    if done is None:
        return ""
    same = {"rss_mb": 0.0, "status": BUILT if done.is_good else done.status}
    return plain_text({**vars(done), **same}, sort_keys=True)


def _read_state(path: Path) -> tuple[str, dict[str, str]]:
    """Return what the files were made from, and their digests; of neither anything if it is not known."""
    with suppress(OSError, ValueError, KeyError, TypeError):
        data = json.loads(path.read_bytes())
        return str(data["made_from"]), dict(data["files"])
    return "", {}


def _are_there(folder: Path, files: Mapping[str, str]) -> bool:
    return all(file_digest(str(folder / name)) == digest for name, digest in files.items())


def _sweep(folder: Path, files: Mapping[str, bytes]) -> None:
    """Take away nested sheets of an earlier run that are not needed any more."""
    for path in (folder / NESTED).glob("*.dxf"):
        if f"{NESTED}/{path.name}" not in files:
            path.unlink(missing_ok=True)
