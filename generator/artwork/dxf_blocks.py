"""Block references taken apart into what they draw, within bounds."""

from __future__ import annotations

from typing import Any

from generator.base.errors import GeometryError

DEEPEST = 16
"""Blocks within blocks go no deeper than this."""


def flattened(document: Any, most: int) -> list[Any]:
    """Return everything drawn in the model space, block references replaced by copies of what they draw.

    Args:
        document: the DXF document.
        most: number of entities beyond which nothing is done.
    Raises: GeometryError: more than ``most`` entities, or blocks that contain themselves or go too deep.
    """
    walk = _Walk(most)
    for entity in document.modelspace():
        walk.collect(entity, ())
    return walk.found


class _Walk:
    """Gathers entities, counting every one it meets, block references included."""

    def __init__(self, most: int) -> None:
        self.found: list[Any] = []
        self._most = most
        self._met = 0

    def collect(self, entity: Any, blocks: tuple[str, ...]) -> None:
        """Take one entity, or everything in the block that it refers to."""
        self._count(1)
        if entity.dxftype() != "INSERT":
            self.found.append(entity)
            return
        block = entity.block()
        if block is None or block.block.is_xref:  # references to other files are left alone
            return
        name = entity.dxf.name.casefold()
        if name in blocks:
            raise GeometryError(f"block {entity.dxf.name!r} contains itself")
        if len(blocks) >= DEEPEST:
            raise GeometryError(f"blocks lie more than {DEEPEST} deep within each other")
        self._count(len(block) * entity.mcount, only_ask=True)
        for one in entity.multi_insert() if entity.mcount > 1 else (entity,):
            for part in one.virtual_entities():
                if part.dxf.layer == "0":  # what lies on layer 0 of a block takes the layer of its reference
                    part.dxf.layer = entity.dxf.layer
                self.collect(part, (*blocks, name))

    def _count(self, more: int, *, only_ask: bool = False) -> None:
        if self._met + more > self._most:
            raise GeometryError(f"the DXF file draws more than {self._most} entities: save the outline alone")
        self._met += 0 if only_ask else more
