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
    out: list[Any] = []
    for entity in document.modelspace():
        _collect(entity, (), out, most)
    return out


def _collect(entity: Any, blocks: tuple[str, ...], out: list[Any], most: int) -> None:
    if entity.dxftype() != "INSERT":
        if len(out) >= most:
            raise GeometryError(f"the DXF file draws more than {most} entities: save the outline alone")
        out.append(entity)
        return
    name = entity.dxf.name.casefold()
    if name in blocks:
        raise GeometryError(f"block {entity.dxf.name!r} contains itself")
    if len(blocks) >= DEEPEST:
        raise GeometryError(f"blocks lie more than {DEEPEST} deep within each other")
    block = entity.block()
    if block is None or block.block.is_xref:  # references to other files are left alone
        return
    if len(block) * entity.mcount > most - len(out):
        raise GeometryError(f"the DXF file draws more than {most} entities: save the outline alone")
    copies = entity.multi_insert() if entity.mcount > 1 else (entity,)
    for one in copies:
        for part in one.virtual_entities():
            if part.dxf.layer == "0":  # what lies on layer 0 of a block takes the layer of its reference
                part.dxf.layer = entity.dxf.layer
            _collect(part, (*blocks, name), out, most)
