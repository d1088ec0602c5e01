"""Facts of the products of a STEP file, read by the kernel, or known from a file that has the same in it.

The kernel reads every part's own file. An assembly of these parts differs from another of the same make in its solids
alone; where these are, to the last digit, the solids of the files that were read, its facts follow: those of the parts,
each at the height where the kernel has found the product of the other assembly.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from math import isclose

from generator.base.sharing import NOTHING_SHARED, Sharing
from generator.part.solid_facts import ReadSize, SolidFacts
from generator.solid.anonymous import Anonymous, anonymous_of, facts_bytes, facts_of, sizes_bytes, sizes_of

__all__ = ["ReadAgain"]

NEAR_MM = 1e-9
"""A height is told by two faces of a box; the same body elsewhere agrees with itself within this."""
NEAR_REL = 1e-9


class ReadAgain:
    """Reads the files of one plan; where nothing is shared the kernel reads each of them.

    Args:
        sharing: keeps what files of other plans can use.
        read_facts, read_sizes: how the kernel reads a file.
    """

    def __init__(
        self,
        sharing: Sharing,
        read_facts: Callable[[bytes], tuple[SolidFacts, ...]],
        read_sizes: Callable[[bytes], tuple[ReadSize, ...]],
    ) -> None:
        self._sharing = sharing
        self._read_facts = read_facts
        self._read_sizes = read_sizes
        self._by_block: dict[str, SolidFacts] = {}

    def facts(self, data: bytes) -> tuple[SolidFacts, ...]:
        """Return the facts of every product, in the order of the file.

        Raises: ProofError: the bytes cannot be read back.
        """
        if self._sharing is NOTHING_SHARED:
            return self._read_facts(data)
        anonymous = anonymous_of(data)
        apart = anonymous.apart
        blocks = apart.blocks if apart else ()
        if apart and len(blocks) > 1 and all(b in self._by_block for b in blocks):
            known = self._placed(data, anonymous, apart.frame, tuple(self._by_block[b] for b in blocks))
            if known is not None:
                return anonymous.with_names(known)
        made = self._sharing.get("step-facts", anonymous.key, lambda: self._from_kernel(data, anonymous))
        facts = facts_of(made)
        if len(blocks) == 1 and len(facts) == 1:
            self._by_block[blocks[0]] = facts[0]
        return anonymous.with_names(facts)

    def sizes(self, data: bytes) -> tuple[ReadSize, ...]:
        """Return the sizes with limits; they stand round the solids and do not depend on their shapes.

        Raises: ProofError: the bytes cannot be read back.
        """
        if self._sharing is NOTHING_SHARED:
            return self._read_sizes(data)
        anonymous = anonymous_of(data)
        apart = anonymous.apart
        key = apart.frame if apart else anonymous.key
        return sizes_of(self._sharing.get("step-sizes", key, lambda: sizes_bytes(self._read_sizes(data))))

    def _from_kernel(self, data: bytes, anonymous: Anonymous) -> bytes:
        return facts_bytes(anonymous.without(self._read_facts(data)))

    def _placed(
        self, data: bytes, anonymous: Anonymous, frame: str, parts: tuple[SolidFacts, ...]
    ) -> tuple[SolidFacts, ...] | None:
        """Return facts of parts where an assembly of this frame has them; None if that cannot be told."""
        made = self._sharing.get("step-frame", frame, lambda: self._frame(data, anonymous, parts))
        places = json.loads(made)
        if len(places) != len(parts):
            return None
        return tuple(_lifted(part, name, z_mm) for part, (name, z_mm) in zip(parts, places, strict=True))

    def _frame(self, data: bytes, anonymous: Anonymous, parts: tuple[SolidFacts, ...]) -> bytes:
        """Return number of name and height (mm) of every product as the kernel reads them; nothing if they differ."""
        read = facts_of(self._from_kernel(data, anonymous))
        places = [(f.product, f.box_mm[2] - p.box_mm[2]) for f, p in zip(read, parts, strict=False)]
        agree = len(read) == len(parts) and all(
            _same(f, _lifted(p, *place)) for f, p, place in zip(read, parts, places, strict=True)
        )
        return json.dumps(places if agree else []).encode()


def _lifted(part: SolidFacts, name: str, z_mm: float) -> SolidFacts:
    """Return the facts of a part that stands higher by ``z_mm``."""
    x0, y0, z0, x1, y1, z1 = part.box_mm
    holes = tuple(replace(h, z_from_mm=h.z_from_mm + z_mm, z_to_mm=h.z_to_mm + z_mm) for h in part.holes)
    return replace(part, product=name, box_mm=(x0, y0, z0 + z_mm, x1, y1, z1 + z_mm), holes=holes)


def _same(a: SolidFacts, b: SolidFacts) -> bool:
    return (
        isclose(a.volume_mm3, b.volume_mm3, rel_tol=NEAR_REL)
        and (a.is_valid, a.is_closed, a.faces, len(a.holes)) == (b.is_valid, b.is_closed, b.faces, len(b.holes))
        and all(abs(p - q) <= NEAR_MM for p, q in zip(a.box_mm, b.box_mm, strict=True))
    )
