"""The proof for a family: what must hold between its variants, beside what every pack has proven by itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.base.frozen_record import frozen_record
from generator.family.task import Done

__all__ = ["FamilyProof", "prove_family"]

MOST_TOLD = 10


@frozen_record
class FamilyProof:
    """What was compared and what does not hold.

    Attributes:
        packs: how many packs are there, each proven by itself.
        comparisons: how many comparisons their own proofs made.
        alike: how many times two variants that must agree in a part were compared.
        faults: one sentence for each thing that does not hold; empty if all does.
    """

    packs: int
    comparisons: int
    alike: int
    faults: tuple[str, ...]

    @property
    def holds(self) -> bool:
        """Return True if there is no fault."""
        return not self.faults

    def sentence(self) -> str:
        """Return the proof in a sentence."""
        said = (
            f"{self.packs} packs, each proven by itself ({self.comparisons} comparisons); no two of one name; "
            f"parts of equal geometry and variants of equal recipes compared {self.alike} times"
        )
        if self.holds:
            return f"{said}: all hold"
        more = len(self.faults) - MOST_TOLD
        told = "; ".join(self.faults[:MOST_TOLD]) + (f"; and {more} more" if more > 0 else "")
        return f"{said}: {len(self.faults)} do NOT hold: {told}"


def prove_family(dones: Sequence[Done]) -> FamilyProof:
    """Return the proof for what became of a family's variants; only packs that are there are looked at."""
    good = [d for d in dones if d.is_good]
    faults = [*_same_names(good), *_unproven(good)]
    alike = 0
    for first, other, part in _pairs_of_recipes(good):
        alike += 1
        if first.geometry[part] != other.geometry[part]:
            faults.append(f"{part} of {first.name} and {other.name} differs although their recipes are alike")
    for first, other, part in _pairs_of_parts(good):
        alike += 1
        faults += _files_differ(first, other, part)
    return FamilyProof(len(good), sum(d.proofs for d in good), alike, tuple(faults))


def _same_names(good: Sequence[Done]) -> Iterator[str]:
    seen: dict[str, str] = {}
    for done in good:
        other = seen.setdefault(done.name.lower(), done.name)
        if other is not done.name:
            yield f"{other} and {done.name} have one name"


def _unproven(good: Sequence[Done]) -> Iterator[str]:
    for done in good:
        if done.proofs < 1:
            yield f"{done.name} was not proven"


def _pairs_of_recipes(good: Sequence[Done]) -> Iterator[tuple[Done, Done, str]]:
    """Yield every variant beside the first whose recipe says the same of geometry, for each part."""
    first: dict[str, Done] = {}
    for done in good:
        other = first.setdefault(done.likeness, done)
        if other is not done:
            for part in sorted(done.geometry.keys() & other.geometry.keys()):
                yield other, done, part


def _pairs_of_parts(good: Sequence[Done]) -> Iterator[tuple[Done, Done, str]]:
    """Yield every variant beside the first that has the same part by the plane."""
    first: dict[tuple[str, str], Done] = {}
    for done in good:
        for part, digest in done.geometry.items():
            other = first.setdefault((part, digest), done)
            if other is not done:
                yield other, done, part


def _files_differ(first: Done, other: Done, part: str) -> Iterator[str]:
    mine, others = first.alike.get(part, {}), other.alike.get(part, {})
    for file in sorted(mine.keys() & others.keys()):
        if mine[file] != others[file]:
            yield f"{file} of {first.name} and {other.name} differs although the part is the same"
