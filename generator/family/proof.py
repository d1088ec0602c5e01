"""The proof for a family: what must hold between its variants, beside what every pack has proven by itself."""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Sequence
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.many import many
from generator.family.task import Done

__all__ = ["FamilyProof", "prove_family"]

MOST_TOLD: Final = 10


@frozen_record
class FamilyProof:
    """What was compared and what does not hold.

    Attributes:
        packs: how many packs are there, each proven by itself.
        comparisons: how many comparisons their own proofs made.
        alike: how many times two variants that must agree in a part were compared.
        faults: one sentence for each thing that does not hold; empty if all does.
        suspects: names of the packs that the faults name, in the order of the family.
        strays: files in packs that are not of them, as ``NAME/path``; nothing was proven of these.
    """

    packs: int
    comparisons: int
    alike: int
    faults: tuple[str, ...]
    suspects: tuple[str, ...] = ()
    strays: tuple[str, ...] = ()

    @property
    def holds(self) -> bool:
        """Return True if there is no fault."""
        return not self.faults

    def sentence(self) -> str:
        """Return the proof in a sentence."""
        if not self.packs:
            return "no packs: nothing was proven"
        packs = f"{self.packs} packs, each" if self.packs > 1 else "1 pack,"
        compared = many(self.comparisons, "comparison")
        pairs = f"compared {many(self.alike, 'time')}" if self.alike else "are none"
        said = (
            f"{packs} proven by itself ({compared}); no two of one name; "
            f"parts of equal geometry and variants of equal recipes {pairs}"
        )
        if self.strays:
            said += f"; {many(len(self.strays), 'file')} in packs not of them, not proven"
        if self.holds:
            return f"{said}: all hold"
        more = len(self.faults) - MOST_TOLD
        told = "; ".join(self.faults[:MOST_TOLD]) + (f"; and {more} more" if more > 0 else "")
        return f"{said}: {many(len(self.faults), 'does', 'do')} NOT hold: {told}"

    def remedy(self, packs: str, store: str) -> str:
        """Return what to do where something does not hold.

        Args:
            packs: folder of the packs.
            store: folder of what variants share; empty for none.
        """
        named = ", ".join(self.suspects[:MOST_TOLD])
        more = len(self.suspects) - MOST_TOLD
        named += f" and {more} more" if more > 0 else ""
        clean = shlex.join(["coverplate", "store", "--clean", "--store", store])
        shared = f" and what variants share (`{clean}`)" if store else ""
        return f"edit nothing by hand: take away the packs named, in {packs}: {named}{shared}, and run again"


def prove_family(dones: Sequence[Done]) -> FamilyProof:
    """Return the proof for what became of a family's variants; only packs that are there are looked at."""
    good = [d for d in dones if d.is_good]
    alike = 0
    faults = [*_same_names(good), *_unproven(good)]
    for first, other, part in _pairs_of_recipes(good):
        alike += 1
        faults += _parts_differ(first, other, part)
    for first, other, part in _pairs_of_parts(good):
        alike += 1
        faults += _files_differ(first, other, part)
    named = {done.name for _, dones in faults for done in dones}
    suspects = tuple(d.name for d in good if d.name in named)
    return FamilyProof(len(good), sum(d.proofs for d in good), alike, tuple(text for text, _ in faults), suspects)


_Fault = tuple[str, tuple[Done, ...]]
"""What does not hold, and of which packs."""


def _same_names(good: Sequence[Done]) -> Iterator[_Fault]:
    seen: dict[str, Done] = {}
    for done in good:
        other = seen.setdefault(done.name.lower(), done)
        if other is not done:
            yield f"{other.name} and {done.name} have one name", (other, done)


def _unproven(good: Sequence[Done]) -> Iterator[_Fault]:
    for done in good:
        if done.proofs < 1:
            yield f"{done.name} was not proven", (done,)


def _pairs_of_recipes(good: Sequence[Done]) -> Iterator[tuple[Done, Done, str]]:
    """Yield every variant beside the first whose recipe says the same of geometry, for each part."""
    first: dict[str, Done] = {}
    for done in good:
        other = first.setdefault(done.likeness, done)
        if other is not done:
            for part in sorted(done.geometry.keys() | other.geometry.keys()):
                yield other, done, part


def _parts_differ(first: Done, other: Done, part: str) -> Iterator[_Fault]:
    for has, lacks in ((first, other), (other, first)):
        if part not in lacks.geometry:
            yield f"{part} is in {has.name} and not in {lacks.name} although their recipes are alike", (first, other)
            return
    if first.geometry[part] != other.geometry[part]:
        yield f"{part} of {first.name} and {other.name} differs although their recipes are alike", (first, other)


def _pairs_of_parts(good: Sequence[Done]) -> Iterator[tuple[Done, Done, str]]:
    """Yield every variant beside the first that has the same part by the plane."""
    first: dict[tuple[str, str], Done] = {}
    for done in good:
        for part, digest in done.geometry.items():
            other = first.setdefault((part, digest), done)
            if other is not done:
                yield other, done, part


def _files_differ(first: Done, other: Done, part: str) -> Iterator[_Fault]:
    mine, others = first.alike.get(part, {}), other.alike.get(part, {})
    for file in sorted(mine.keys() & others.keys()):
        if mine[file] != others[file]:
            yield f"{file} of {first.name} and {other.name} differs although the part is the same", (first, other)
