"""What is remembered of a family between runs: of every variant what became of it, and what it was made of.

A journal: one line a variant, written the moment it is done, so that a run that is killed loses nothing that was
finished; the last line of a name counts. Every line begins with the digest of its own content and is believed only if
that holds: a line that is torn, damaged, edited or of another form is passed over. At the end of a run it is written
anew. It is only a memory: without it everything is verified again, and of a pack nothing is believed that its files do
not bear out.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
import os
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Final

from generator.base.errors import OutputError
from generator.base.frozen_record import frozen_record
from generator.base.whole_file import write_whole
from generator.family.plain_data import plain_text, record_of
from generator.family.task import Done, Made, with_status
from generator.outputs.pack_disk import reason

__all__ = ["NAME", "Index", "Known", "Stamp", "stamps_of"]

NAME: Final = ".family-index.jsonl"
FORMAT: Final = b"coverplate family index 2\n"
"""Goes into the digest of every line: lines of another form are not believed."""
MOST_BYTES: Final = 2_000_000_000

Stamp = tuple[int, int]
"""Size (bytes) and time of change (ns) of a file: while they stay, so does its content."""


@frozen_record
class Known:
    """What is known of a variant: what became of it, what it was made of, and the stamps of its pack's files."""

    done: Done
    made: Made
    stamps: Mapping[str, Stamp]


class Index:
    """The journal of one family's folder."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / NAME
        self.known: dict[str, Known] = {}
        self._shapes: dict[str, str] = {}
        self._written: set[str] = set()
        self._is_torn = False
        self._lines = 0
        self._read()

    def _read(self) -> None:
        with suppress(OSError):
            if self._path.stat().st_size > MOST_BYTES:
                return
            with open(self._path, "rb") as lines:
                for line in lines:
                    self._is_torn = not line.endswith(b"\n")
                    self._lines += 1
                    digest, _, text = line.rstrip(b"\n").partition(b" ")
                    if digest == _digest(text):
                        with suppress(ValueError, KeyError, RecursionError):
                            self._take(text)

    def _take(self, text: bytes) -> None:
        """Remember what a line tells.

        Raises: ValueError, KeyError: it is no record of a variant, or a shape that it names is not there.
        """
        read = record_of(Known, json.loads(text))
        done = with_status(read.done)
        self._shapes |= done.shapes
        named = {s for _, s in done.picture} | {s for p in done.pieces for s in (p.outline, p.cuts) if s}
        whole = dataclasses.replace(done, shapes={s: self._shapes[s] for s in named})
        self.known[done.name] = dataclasses.replace(read, done=whole)
        self._written |= set(done.shapes)

    def add(self, known: Known) -> None:
        """Remember a variant, in the file too.

        Raises: OutputError: the folder or disk refuses.
        """
        self.known[known.done.name] = known
        try:
            with open(self._path, "ab") as journal:
                journal.write((b"\n" if self._is_torn else b"") + self._line(known))
            self._is_torn = False
            self._lines += 1
        except OSError as error:
            raise OutputError(
                f"{self._path} cannot be written: {reason(error)}; packs made so far are whole"
            ) from error

    def _line(self, known: Known) -> bytes:
        new = {k: v for k, v in known.done.shapes.items() if k not in self._written}
        self._written |= set(new)
        text = plain_text({**vars(known), "done": {**vars(known.done), "shapes": new}}).encode()
        return _digest(text) + b" " + text + b"\n"

    def close(self, names: Iterable[str]) -> None:
        """Write the journal anew with what is known of ``names``; where that fails the longer one stays."""
        kept = {n: self.known[n] for n in names if n in self.known}
        if self._lines == len(kept) and not self._is_torn:
            return  # a line for each already
        self._written = set()
        with suppress(OSError):
            write_whole(self._path, b"".join(self._line(k) for k in kept.values()))


def _digest(text: bytes) -> bytes:
    return hashlib.sha256(FORMAT + text).hexdigest().encode()


def stamps_of(folder: str, files: Iterable[str]) -> dict[str, Stamp]:
    """Return the stamps of a pack's files; of those that are not there none."""
    stamps = {}
    for name in files:
        with suppress(OSError):
            status = os.stat(f"{folder}/{name}")
            stamps[name] = (status.st_size, status.st_mtime_ns)
    return stamps
