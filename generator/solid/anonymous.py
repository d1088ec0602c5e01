"""What is read from a STEP file kept for other files that differ from it in names alone.

Names of products are texts between apostrophes. A file whose products have other names, and a header that says other
things, holds the same solids to the last digit; so what the kernel has read from one holds for the other, and names are
taken from the text of each.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Sequence
from dataclasses import asdict, replace
from functools import cached_property, lru_cache

from generator.base.errors import ProofError
from generator.outline.contour import Point
from generator.part.solid_facts import Hole, ReadSize, SolidFacts
from generator.solid.blocks import Apart, taken_apart
from generator.solid.step_encoding import decode_text

__all__ = ["Anonymous", "anonymous_of", "facts_bytes", "facts_of", "sizes_bytes", "sizes_of"]

_PRODUCT = re.compile(rb"= PRODUCT\(\s*('(?:[^']|'')*')")
_REVISION = re.compile(rb"(= PRODUCT_DEFINITION_FORMATION\()'(?:[^']|'')*'")
_HEADER_END = b"ENDSEC;"


class Anonymous:
    """The text of a STEP file without header, and without names and revision of products.

    Attributes:
        names: of the products, as texts, in the order of the file.
        key: digest of the rest.
    """

    def __init__(self, data: bytes) -> None:
        written = list(dict.fromkeys(_PRODUCT.findall(data)))
        rest = _REVISION.sub(rb"\1", data.partition(_HEADER_END)[2])
        for i, name in enumerate(written):
            rest = rest.replace(name, b"'@%d'" % i)
        self.names = [decode_text(name[1:-1].decode("ascii", "replace")) for name in written]
        self.key = hashlib.sha256(rest).hexdigest()
        self._rest = rest

    @cached_property
    def apart(self) -> Apart | None:
        """Return the rest taken apart; None if it is not written as the kernel does."""
        return taken_apart(self._rest)

    def without(self, facts: Iterable[SolidFacts]) -> tuple[SolidFacts, ...]:
        """Return facts with the number of its name in the file for the name of each product.

        Raises: ProofError: the kernel reads a name that the text does not have.
        """
        made = []
        for fact in facts:
            if fact.product not in self.names:
                raise ProofError(f"the STEP file names no product {fact.product!r}", feature="step")
            made.append(replace(fact, product=str(self.names.index(fact.product))))
        return tuple(made)

    def with_names(self, facts: Iterable[SolidFacts]) -> tuple[SolidFacts, ...]:
        """Return facts with the names of this file."""
        return tuple(replace(fact, product=self.names[int(fact.product)]) for fact in facts)


@lru_cache(maxsize=4)  # facts and sizes of a file are asked for one after the other
def anonymous_of(data: bytes) -> Anonymous:
    """Return a file without names; it is taken apart once for all who ask."""
    return Anonymous(data)


def facts_bytes(facts: Sequence[SolidFacts]) -> bytes:
    """Return facts that the kernel has read as JSON; ``facts_of`` reads them back to the last bit."""
    return json.dumps([{k: v for k, v in asdict(fact).items() if k != "walls"} for fact in facts]).encode()


def facts_of(data: bytes) -> tuple[SolidFacts, ...]:
    """Return what ``facts_bytes`` wrote."""
    return tuple(
        SolidFacts(
            **{
                **fact,
                "holes": tuple(Hole(**{**h, "at": Point(*h["at"])}) for h in fact["holes"]),
                "box_mm": tuple(fact["box_mm"]),
            }
        )
        for fact in json.loads(data)
    )


def sizes_bytes(sizes: Sequence[ReadSize]) -> bytes:
    """Return sizes that the kernel has read as JSON; ``sizes_of`` reads them back to the last bit."""
    return json.dumps([{k: v for k, v in asdict(size).items() if k != "ends"} for size in sizes]).encode()


def sizes_of(data: bytes) -> tuple[ReadSize, ...]:
    """Return what ``sizes_bytes`` wrote."""
    return tuple(ReadSize(**size) for size in json.loads(data))
