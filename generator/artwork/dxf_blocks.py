"""Block references taken apart into what they draw, within bounds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from generator.artwork.dxf_rules import READ
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record

DEEPEST = 16
"""Blocks within blocks go no deeper than this."""
MOST_WAYS = 100_000
"""So many ways there may be down from a block through those it refers to (chosen); the reader goes each of them."""

_AGAIN = "take the block apart in the drawing, or save it again"


def refuse_endless(blocks: dict[str, set[str]]) -> None:
    """Raise if blocks contain themselves, go too deep, or refer to each other in too many ways to go through.

    Args:
        blocks: the names of the blocks that every block refers to.
    Raises: GeometryError: names the block.
    """
    ways: dict[str, int] = {}
    for name in blocks:
        _count_ways(name, blocks, ways, ())
    if sum(ways.values()) > MOST_WAYS:
        raise GeometryError("the blocks of the DXF file refer to each other in too many ways: save the outline alone")


def _count_ways(name: str, blocks: dict[str, set[str]], ways: dict[str, int], above: tuple[str, ...]) -> int:
    """Return how many ways lead down from a block."""
    if name in above:
        raise GeometryError(f"block {name!r} of the DXF file contains itself: take it apart in the drawing")
    if len(above) > DEEPEST:
        raise GeometryError(f"blocks lie more than {DEEPEST} deep within each other: take them apart in the drawing")
    if name not in ways:
        below = sorted(blocks.get(name, ()))
        ways[name] = 1 + sum(_count_ways(b, blocks, ways, (*above, name)) for b in below)
    return ways[name]


@frozen_record
class Drawn:
    """One entity as it lies in the drawing.

    Attributes:
        entity: it or a copy of it.
        hidden: not to be seen because of the block reference that it comes from.
    """

    entity: Any
    hidden: bool = False


def flattened(document: Any, most: int) -> tuple[list[Drawn], Counter[str]]:
    """Return everything drawn in the model space, block references replaced by copies of what they draw.

    Args:
        document: the DXF document.
        most: number of entities beyond which nothing is done.

    Returns: the entities, and the number of references to other files, which are left alone, by what to call them.
    Raises: GeometryError: more than ``most`` entities, blocks that contain themselves or go too deep, or something in a
        block that cannot be moved as its reference asks.
    """
    walk = _Walk(document, most)
    for entity in document.modelspace():
        walk.collect(entity, (), False)
    return walk.found, walk.left_out


def is_hidden(document: Any, entity: Any) -> bool:
    """Return whether an entity cannot be seen by itself: switched off, or its layer off or frozen."""
    layer = _layer(document, entity)
    return is_switched_off(entity) or (layer is not None and (layer.is_off() or layer.is_frozen()))


def is_switched_off(entity: Any) -> bool:
    """Return whether an entity is marked as invisible itself."""
    return entity.dxf.is_supported("invisible") and bool(entity.dxf.get("invisible", 0))


def layer_of(entity: Any) -> str:
    """Return the name of an entity's layer; kinds that the reader does not know have none."""
    return str(entity.dxf.layer) if entity.dxf.is_supported("layer") else "0"


def _layer(document: Any, entity: Any) -> Any:
    name = layer_of(entity)
    return document.layers.get(name) if name in document.layers else None


class _Walk:
    """Gathers entities, counting every one it meets, block references included."""

    def __init__(self, document: Any, most: int) -> None:
        self.found: list[Drawn] = []
        self.left_out: Counter[str] = Counter()
        self._document = document
        self._most = most
        self._met = 0

    def collect(self, entity: Any, blocks: tuple[str, ...], hidden: bool) -> None:
        """Take one entity, or everything in the block that it refers to."""
        self._count(1)
        if entity.dxftype() != "INSERT":
            self.found.append(Drawn(entity, hidden))
            return
        block = entity.block()
        if block is None:
            raise GeometryError(f"block {entity.dxf.name!r} is referred to but not there: {_AGAIN}")
        if block.block.is_xref:  # references to other files are left alone
            self.left_out["reference to another file"] += 1
            return
        name = entity.dxf.name.casefold()
        if name in blocks:
            raise GeometryError(f"block {entity.dxf.name!r} contains itself")
        if len(blocks) >= DEEPEST:
            raise GeometryError(f"blocks lie more than {DEEPEST} deep within each other")
        self._count(len(block) * entity.mcount, only_ask=True)
        layer = _layer(self._document, entity)
        # a layer that is only off hides what lies on it, not what a reference on it draws on others
        hidden = hidden or is_switched_off(entity) or (layer is not None and layer.is_frozen())
        for part in self._parts(entity):
            if layer_of(part) == "0" and part.dxf.is_supported(
                "layer"
            ):  # what lies on layer 0 of a block takes the layer of its reference
                part.dxf.layer = entity.dxf.layer
            self.collect(part, (*blocks, name), hidden)

    def _parts(self, entity: Any) -> Iterator[Any]:
        """Yield copies of what a block reference draws, where it draws it.

        Raises: GeometryError: an outline cannot be copied or moved; names the reference.
        """

        def skipped(part: Any, reason: str) -> None:
            if part.dxftype() in READ:
                raise GeometryError(f"{part.dxftype()} in block {entity.dxf.name!r}: {reason}; {_AGAIN}")
            self.left_out[part.dxftype()] += 1

        try:
            for one in entity.multi_insert() if entity.mcount > 1 else (entity,):
                yield from one.virtual_entities(skipped_entity_callback=skipped)
        except (ValueError, TypeError, KeyError, IndexError, AttributeError, ArithmeticError) as error:
            raise GeometryError(f"block {entity.dxf.name!r} cannot be drawn ({error}): {_AGAIN}") from error

    def _count(self, more: int, *, only_ask: bool = False) -> None:
        if self._met + more > self._most:
            raise GeometryError(f"the DXF file draws more than {self._most} entities: save the outline alone")
        self._met += 0 if only_ask else more
