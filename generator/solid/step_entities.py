"""Where things are in the text of a STEP file that the kernel wrote: products with their solids, the millimetre."""

from __future__ import annotations

import re
from collections.abc import Container

from generator.base.frozen_record import frozen_record

__all__ = ["Body", "bodies_of", "millimetre_of", "real"]

_ENTITY = re.compile(
    r"#(\d+) = (PRODUCT|PRODUCT_DEFINITION|PRODUCT_DEFINITION_FORMATION|PRODUCT_DEFINITION_SHAPE"
    r"|SHAPE_DEFINITION_REPRESENTATION|SHAPE_REPRESENTATION|ADVANCED_BREP_SHAPE_REPRESENTATION)\s*(\(.*?\));\n",
    re.DOTALL,
)
_NUMBER = re.compile(r"^#(\d+) = ", re.MULTILINE)
_MILLIMETRE = re.compile(r"#(\d+) = \(\s*LENGTH_UNIT\(\)\s*NAMED_UNIT\(\*\)\s*SI_UNIT\(\.MILLI\.,\.METRE\.\)\s*\);")
_REF = re.compile(r"#(\d+)")


@frozen_record
class Body:
    """Where a product is in the file: numbers of its definition, context, solids, shape and representation."""

    definition: int
    context: int
    solids: tuple[int, ...]
    shape: int
    representation: int


def bodies_of(data: str, solids: Container[int]) -> tuple[dict[str, Body], int]:
    """Return where each product's solids are, by name, and the highest number in use.

    Args:
        data: the text of the data section; the entities of the solids may be left out.
        solids: numbers of the solids.
    """
    entities = {int(m[1]): (m[2], m[3]) for m in _ENTITY.finditer(data)}
    bodies = {}
    for kind, text in entities.values():
        if kind != "SHAPE_DEFINITION_REPRESENTATION":
            continue
        shape, representation = _refs(text)
        *items, context = _refs(entities[representation][1])
        own = tuple(i for i in items if i in solids)
        if not own:
            continue  # an assembly
        definition = _refs(entities[shape][1])[0]
        product = entities[_refs(entities[_refs(entities[definition][1])[0]][1])[0]]
        bodies[product[1].split("'")[1]] = Body(definition, context, own, shape, representation)
    return bodies, max(int(n) for n in _NUMBER.findall(data))


def _refs(text: str) -> list[int]:
    return [int(n) for n in _REF.findall(text)]


def millimetre_of(data: str) -> int:
    """Return the number of the unit that lengths in the file are in.

    Raises:
        ValueError: it is not in millimetres.
    """
    found = _MILLIMETRE.search(data)
    if found is None:
        raise ValueError("no millimetre in the STEP text")
    return int(found[1])


def real(value: float, decimals: int = 9) -> str:
    """Return a real number as ISO 10303-21 wants it, with a point, and no more decimals than it needs."""
    return f"{value:z.{decimals}f}".rstrip("0")
