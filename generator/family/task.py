"""What a worker is handed and what it hands back: plain data, the same for a process here and a machine elsewhere."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.family.plain_data import plain_text, record_of

__all__ = [
    "BUILT",
    "CRASHED",
    "FAILED",
    "FORBIDDEN",
    "GOOD",
    "HUNG",
    "READY",
    "STATUSES",
    "UNCHANGED",
    "WRONG",
    "Done",
    "Made",
    "Piece",
    "Said",
    "Task",
]

READY: Final = "ready"
"""What a worker says once it has loaded its libraries."""
BUILT: Final = "built"
UNCHANGED: Final = "unchanged"
FORBIDDEN: Final = "forbidden"
WRONG: Final = "wrong"
FAILED: Final = "failed"
CRASHED: Final = "crashed"
HUNG: Final = "hung"
"""How a variant ended: a pack was made, or was there; a finding forbids it; its recipe is wrong; proof, folder or disk
refused; its process died; it took longer than it may."""
GOOD: Final = frozenset({BUILT, UNCHANGED})
STATUSES: Final = GOOD | {FORBIDDEN, WRONG, FAILED, CRASHED, HUNG}


@frozen_record
class Task:
    """One variant to be made.

    Attributes:
        name: of its pack.
        recipe: path of the recipe.
        sets: what is laid over it.
        out: folder of the packs.
        outputs: names of the outputs; all of them if empty.
        store: folder of what variants share; empty where nothing is to be kept.
    """

    name: str
    recipe: str
    sets: tuple[str, ...]
    out: str
    outputs: tuple[str, ...]
    store: str = ""


@frozen_record
class Made:
    """What a variant was made of, beside the files it uses.

    Attributes:
        recipe: path of the recipe.
        sets: what was laid over it.
        outputs: names of the outputs asked for; all of them if empty.
        program: digest of the program and its libraries.
    """

    recipe: str
    sets: tuple[str, ...]
    outputs: tuple[str, ...]
    program: str


@frozen_record
class Said:
    """One thing that a check or the reader said of a variant: severity (``mistake`` for the reader), check, message."""

    severity: str
    check: str
    message: str


@frozen_record
class Piece:
    """One piece of stock that a variant needs: the cover's blank, or what an insert is cut from.

    Attributes:
        part: ``cover`` or ``insert-NAME``.
        material: as the recipe names it.
        thickness_mm: of the stock.
        length_mm, width_mm: of the blank, or of the upright box round the insert.
        outline: digest of the insert's outline among the shapes; empty for a blank, which is a rectangle.
        cuts: digest of what is cut through the insert; empty if nothing is.
    """

    part: str
    material: str
    thickness_mm: float
    length_mm: float
    width_mm: float
    outline: str = ""
    cuts: str = ""


@frozen_record
class Done:
    """What became of one variant.

    Attributes:
        name: of its pack.
        status: one of the words above.
        why: one sentence where no pack was made.
        said: findings and mistakes, the most serious first.
        files: SHA-256 (hexadecimal) of every file of the pack, by relative path.
        parameters: of the recipe, by name, as they stand in a text.
        size_mm: length, width and thickness of the cover.
        mass_g: of cover and inserts together.
        pieces: stock that it needs.
        picture: what its picture is made of: (colour, digest of a shape), the lowest first.
        shapes: the shapes named above by their digest, as text; variants share them.
        uses: SHA-256 of every file that the recipe is read from or uses, by path.
        likeness: digest of all that the recipe says of geometry and making.
        geometry: digest of every part by the plane, by its name.
        alike: digests of a part's files without names and texts, by part and file.
        proofs: how many comparisons held.
        seconds: time that it took.
        rss_mb: memory of the process that made it.
    """

    name: str
    status: str
    why: str = ""
    said: tuple[Said, ...] = ()
    files: Mapping[str, str] = dataclasses.field(default_factory=dict)
    parameters: Mapping[str, str] = dataclasses.field(default_factory=dict)
    size_mm: tuple[float, float, float] = (0.0, 0.0, 0.0)
    mass_g: float = 0.0
    pieces: tuple[Piece, ...] = ()
    picture: tuple[tuple[str, str], ...] = ()
    shapes: Mapping[str, str] = dataclasses.field(default_factory=dict)
    uses: Mapping[str, str] = dataclasses.field(default_factory=dict)
    likeness: str = ""
    geometry: Mapping[str, str] = dataclasses.field(default_factory=dict)
    alike: Mapping[str, Mapping[str, str]] = dataclasses.field(default_factory=dict)
    proofs: int = 0
    seconds: float = 0.0
    rss_mb: float = 0.0

    @property
    def is_good(self) -> bool:
        """Return True if its pack is there and proven."""
        return self.status in GOOD


def done_text(done: Done) -> str:
    """Return ``done`` as one line of JSON."""
    return plain_text(done)


def done_of(data: object) -> Done:
    """Return what ``done_text`` wrote, parsed.

    Raises: ValueError: it is not that.
    """
    return with_status(record_of(Done, data))


def with_status(done: Done) -> Done:
    """Return what became of a variant, as it is.

    Raises: ValueError: its status is none that there is.
    """
    if done.status not in STATUSES:
        raise ValueError(f"no status: {done.status}")
    return done


def arguments_of(seconds: float, memory_mb: float, outputs: Sequence[str]) -> list[str]:
    """Return the arguments of a worker."""
    return [f"{seconds:g}", f"{memory_mb:g}", *outputs]
