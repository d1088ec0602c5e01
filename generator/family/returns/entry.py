"""A variant as every output of a family tells it: one list of them, so that none says more or less than another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from generator.base.errors import CoverplateError
from generator.base.frozen_record import frozen_record
from generator.base.units import MILLIMETRE, LengthUnit, decimal, length_unit
from generator.build.reading import read
from generator.family.family_file import Family
from generator.family.run import PACKS, Ran, Row
from generator.family.task import BUILT, CRASHED, FAILED, FORBIDDEN, HUNG, UNCHANGED, WRONG, Done
from generator.recipe.merge import parse_override
from generator.recipe.text import Scalar

__all__ = [
    "NOT_MADE",
    "SEVERITIES",
    "STATUSES",
    "Base",
    "Entry",
    "base_of",
    "counted",
    "entries_of",
    "mass_text",
    "names_of",
    "shared_values",
    "title_of",
]

NOT_MADE: Final = "not made"
STATUSES: Final = (BUILT, FORBIDDEN, WRONG, FAILED, CRASHED, HUNG, NOT_MADE)
"""How a variant stands. Whether this run built its pack or found it unchanged is no matter here: a run that goes on
after another was stopped hands back what one run would have."""
SUSPECT: Final = "the proof for the family names its pack: do not use it"
SEVERITIES: Final = ("mistake", "forbids", "warns", "notes")
"""The most serious first; mistakes are those of the recipe's reader."""
_NOTHING: Final = Done("", NOT_MADE)
_KILOGRAM_G: Final = 1000.0


@frozen_record
class Entry:
    """One variant.

    Attributes:
        number: in the family, from 1.
        name: of its pack.
        status: one of ``STATUSES``.
        why: one sentence where there is no pack.
        place: file and line that it comes from, seen from the family's file.
        values: what varies, by name, as it stands in a text.
        settings: what is laid over the recipe, by path, as it stands in a text; the name of the pack left out.
        told: what a person knows it by: values, and settings of the table's paths and the overrides that are one value.
        done: what became of it; nothing but a status while it has not been made.
    """

    number: int
    name: str
    status: str
    why: str
    place: str
    values: Mapping[str, str]
    settings: Mapping[str, str]
    told: Mapping[str, str]
    done: Done

    @property
    def folder(self) -> str:
        """Return the folder of its pack, seen from that of the family."""
        return f"{PACKS}/{self.name}"

    @property
    def has_size(self) -> bool:
        """Return True if it came as far as to have a size."""
        return any(self.done.size_mm)

    def count(self, severity: str) -> int:
        """Return how many findings of that severity it has."""
        return sum(s.severity == severity for s in self.done.said)


def entries_of(ran: Ran) -> tuple[Entry, ...]:
    """Return every variant of a family in the order of its file."""
    suspects = frozenset(ran.proof.suspects)
    return tuple(_entry(row, ran.family, row.variant.name in suspects) for row in ran.rows)


def _entry(row: Row, family: Family, is_suspect: bool) -> Entry:
    done, variant = row.done or _NOTHING, row.variant
    status = BUILT if done.status == UNCHANGED else done.status
    why = done.why if row.done else row.why
    if is_suspect:  # the pack is there, but is not borne out
        status, why = FAILED, SUSPECT
    given = [s.partition("=") for s in variant.sets]
    paths = Counter(path for path, _, _ in given)
    settings = {path: _setting(path, text) for path, _, text in given if path != "name"}
    own = {
        path: text
        for path, text in settings.items()
        if path.removeprefix("parameters.") not in variant.values
        and (path not in family.file.sets or paths[path] > 1)
        and not text.startswith(("{", "["))
    }
    told = {**variant.values, **own}
    return Entry(variant.number, variant.name, status, why, variant.place, variant.values, settings, told, done)


def _setting(path: str, text: str) -> str:
    """Return what stands behind ``path=`` as a person reads it: a text without its quotes."""
    try:
        value = parse_override(f"{path}={text}").value
    except CoverplateError:
        return text
    return value.text.replace("{{", "{").replace("}}", "}") if isinstance(value, Scalar) else text


def names_of(maps: Iterable[Mapping[str, str]]) -> tuple[str, ...]:
    """Return the names of all of ``maps``, each once, in the order in which they first come."""
    return tuple(dict.fromkeys(name for one in maps for name in one))


def shared_values(entries: Sequence[Entry]) -> dict[str, str]:
    """Return what all variants have alike among what they are known by; of a single variant nothing."""
    if len(entries) < 2:
        return {}
    first = entries[0].told
    return {n: v for n, v in first.items() if all(e.told.get(n) == v for e in entries)}


def counted(entries: Iterable[Entry]) -> dict[str, int]:
    """Return how many variants have each status that any has, in the order of ``STATUSES``."""
    found = Counter(e.status for e in entries)
    return {s: found[s] for s in (*STATUSES, *sorted(found.keys() - set(STATUSES))) if s in found}


def title_of(family: Family) -> str:
    """Return the title of a family, or its name."""
    return family.file.title or family.file.family


def mass_text(grams: float) -> str:
    """Return a mass as a person reads it."""
    return f"{decimal(grams / _KILOGRAM_G, 3)} kg" if grams >= _KILOGRAM_G else f"{decimal(grams, 1)} g"


@frozen_record
class Base:
    """What the family's recipe says of figures and paper."""

    unit: LengthUnit = MILLIMETRE
    paper: str = "A4"


def base_of(family: Family) -> Base:
    """Return unit and paper of the family's recipe; mm and A4 where it can no longer be read."""
    try:
        recipe = read(family.recipe).recipe
    except CoverplateError:
        return Base()
    return Base(length_unit(recipe.units), recipe.paper.size)
