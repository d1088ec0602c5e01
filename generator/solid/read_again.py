"""Facts of the products of a STEP file: read face by face, by the kernel, or known from a file with the same in it.

Parts with upright walls are read and judged face by face, without the kernel; all other parts the kernel reads. Where
nothing is shared it reads every file as well, and what it finds counts where it differs. Where variants share, it reads
one in thirty-two files of parts besides, and of the others what is round the solids: names, units and places, with
little prisms in the stead of the solids, once for all files that differ in their solids alone. In an assembly parts are
known from their own files, to the last digit of their text.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import replace
from math import isclose
from typing import Final

from generator.base.sharing import NOTHING_SHARED, Sharing
from generator.part.solid_facts import ReadSize, SolidFacts
from generator.solid.anonymous import Anonymous, anonymous_of, facts_bytes, facts_of, sizes_bytes, sizes_of
from generator.solid.blocks import BlockText
from generator.solid.sized_text import sized_ends
from generator.solid.stand_ins import with_stand_ins
from generator.solid.upright_read import upright_facts

__all__ = ["ReadAgain"]

NEAR_MM = 1e-9
"""A height is told by two faces of a box; the same body elsewhere agrees with itself within this."""
NEAR_REL = 1e-9
ONE_IN: Final = 32
"""So many files of parts are read face by face until one is read by the kernel too: chosen by their text."""


class ReadAgain:
    """Reads the files of one plan.

    Args:
        sharing: keeps what files of other plans can use.
        read_facts, read_sizes: how the kernel reads a file, loaded when it is first needed.
    """

    def __init__(
        self,
        sharing: Sharing,
        read_facts: Callable[[bytes], tuple[SolidFacts, ...]] | None = None,
        read_sizes: Callable[[bytes], tuple[ReadSize, ...]] | None = None,
    ) -> None:
        self._sharing = sharing
        self._is_shared = sharing is not NOTHING_SHARED
        self._read_facts = read_facts or _kernel_facts
        self._read_sizes = read_sizes or _kernel_sizes
        self._known: list[tuple[BlockText, SolidFacts]] = []

    def facts(self, data: bytes) -> tuple[SolidFacts, ...]:
        """Return the facts of every product, in the order of the file.

        Raises: ProofError: the bytes cannot be read back.
        """
        anonymous = anonymous_of(data)
        apart = anonymous.apart
        blocks = apart.blocks if apart else ()
        parts = [self._part(block) for block in blocks]
        known = tuple(part for part in parts if part is not None)
        if apart and self._is_shared and len(known) == len(parts) and not _is_sample(blocks):
            placed = self._placed(data, anonymous, apart.frame, known)
            if placed is not None:
                return anonymous.with_names(placed)
        facts = facts_of(self._sharing.get("step-facts", anonymous.key, lambda: self._from_kernel(data, anonymous)))
        if len(facts) == len(parts):
            facts = tuple(_preferred(part, fact) for part, fact in zip(parts, facts, strict=True))
            if len(facts) == 1:
                self._known = [known for known in self._known if known[0] is not blocks[0]] + [(blocks[0], facts[0])]
        return anonymous.with_names(facts)

    def _part(self, block: BlockText) -> SolidFacts | None:
        """Return the facts of a part as it lies by itself, None if they are for the kernel to find."""
        for other, facts in self._known:
            if other.is_same(block):
                return facts
        facts_read = upright_facts(block.text)
        if facts_read is not None:
            self._known.append((block, facts_read))
        return facts_read

    def sizes(self, data: bytes) -> tuple[ReadSize, ...]:
        """Return the sizes with limits: as the kernel reads them, with the faces that the text gives them.

        Raises: ProofError: the bytes cannot be read back.
        """
        read, ends = self._sizes(data), sized_ends(data)
        if len(read) != len(ends):
            return read  # without faces no size is proven
        return tuple(replace(size, ends=own) for size, own in zip(read, ends, strict=True))

    def _sizes(self, data: bytes) -> tuple[ReadSize, ...]:
        """Return them without faces: they stand round the solids and do not depend on their shapes."""
        if not self._is_shared:
            return self._read_sizes(data)
        anonymous = anonymous_of(data)
        apart = anonymous.apart
        if apart is None:
            return sizes_of(self._sharing.get("step-sizes", anonymous.key, lambda: sizes_bytes(self._read_sizes(data))))

        def of_the_frame() -> bytes:
            file, stand_ins = with_stand_ins(data)
            return sizes_bytes(self._read_sizes(file if stand_ins else data))

        return sizes_of(self._sharing.get("step-sizes", apart.frame, of_the_frame))

    def _from_kernel(self, data: bytes, anonymous: Anonymous) -> bytes:
        return facts_bytes(anonymous.without(self._read_facts(data)))

    def _placed(
        self, data: bytes, anonymous: Anonymous, frame: str, parts: tuple[SolidFacts, ...]
    ) -> tuple[SolidFacts, ...] | None:
        """Return facts of parts where a file of this frame has them; None if that cannot be told."""
        made = self._sharing.get("step-frame", frame, lambda: self._frame(data, anonymous))
        places = json.loads(made)
        if len(places) != len(parts):
            return None
        return tuple(_lifted(part, name, z_mm) for part, (name, z_mm) in zip(parts, places, strict=True))

    def _frame(self, data: bytes, anonymous: Anonymous) -> bytes:
        """Return number of name and height (mm) of every product as the kernel reads them; nothing if that fails."""
        file, stand_ins = with_stand_ins(data)
        read = anonymous.without(self._read_facts(file)) if stand_ins else ()
        places = [(fact.product, fact.box_mm[2] - own.box_mm[2]) for fact, own in zip(read, stand_ins, strict=False)]
        agree = len(read) == len(stand_ins) and all(
            _same(fact, _lifted(own, *place)) for fact, own, place in zip(read, stand_ins, places, strict=True)
        )
        return json.dumps(places if agree else []).encode()


def _is_sample(blocks: Sequence[BlockText]) -> bool:
    """Return True for the file of a part that the kernel is to read besides."""
    return len(blocks) == 1 and int(blocks[0].digest, 16) % ONE_IN == 0


def _preferred(part: SolidFacts | None, kernels: SolidFacts) -> SolidFacts:
    """Return what is known of a part by itself, where the kernel stands by it; else what the kernel has read.

    A fault that was seen face by face is one whatever the kernel says, which does not look for it.
    """
    if part is None:
        return kernels
    lifted = _lifted(part, kernels.product, kernels.box_mm[2] - part.box_mm[2])
    return lifted if _same(lifted, kernels) or not part.is_valid else kernels


def _kernel_facts(data: bytes) -> tuple[SolidFacts, ...]:
    from generator.solid.step_read import read_facts

    return read_facts(data)


def _kernel_sizes(data: bytes) -> tuple[ReadSize, ...]:
    from generator.solid.step_read_sizes import read_sizes

    return read_sizes(data)


def _lifted(part: SolidFacts, name: str, z_mm: float) -> SolidFacts:
    """Return the facts of a part that stands higher by ``z_mm``."""
    x0, y0, z0, x1, y1, z1 = part.box_mm
    holes = tuple(replace(h, z_from_mm=h.z_from_mm + z_mm, z_to_mm=h.z_to_mm + z_mm) for h in part.holes)
    walls = tuple(replace(w, z_from_mm=w.z_from_mm + z_mm, z_to_mm=w.z_to_mm + z_mm) for w in part.walls)
    return replace(part, product=name, box_mm=(x0, y0, z0 + z_mm, x1, y1, z1 + z_mm), holes=holes, walls=walls)


def _same(a: SolidFacts, b: SolidFacts) -> bool:
    return (
        isclose(a.volume_mm3, b.volume_mm3, rel_tol=NEAR_REL)
        and (a.is_valid, a.is_closed, a.faces, len(a.holes)) == (b.is_valid, b.is_closed, b.faces, len(b.holes))
        and all(abs(p - q) <= NEAR_MM for p, q in zip(a.box_mm, b.box_mm, strict=True))
    )
