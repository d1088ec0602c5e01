"""The frame of a DXF file with lines and circles only, filled in without loading the library for DXF.

The frame, ``frame_r2010.dxf``, is what ezdxf writes for a document with one empty layer: header, tables and
dictionaries that every reader expects. A test compares filled frames with ezdxf's own files, byte for byte, and
remakes the frame.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

from generator.outline.measure import Bounds
from generator.outputs.dxf_pen import DxfCircle, Entity

if TYPE_CHECKING:
    from generator.outputs.dxf_document import DxfLayer

__all__ = ["FIRST_HANDLE", "FRAME", "ROOM", "drawn_text", "filled"]

FRAME: Final = Path(__file__).with_name("frame_r2010.dxf")
FIRST_HANDLE: Final = 0x2F
"""Handles below are the frame's own, and the one after it is that of ``LAYER_TEXT``."""
LAYERS_OF_FRAME: Final = 2
LAYER_TABLE, MODEL_SPACE, PLOT_STYLE, MATERIAL = "1", "17", "13", "21"
"""Handles in the frame that layers and entities refer to."""
LAYER_TEXT: Final = "AcAecLayerStandard"
"""Application under whose name the text of a layer stands (extended data)."""
ROOM: Final = 1.1
"""The view is so much higher than what is drawn."""
_MARK: Final = re.compile(r"@(\w+)@\n")
_HANDLE: Final = "\0"
"""Stands for the handle of an entity until it is known; no line of a file has it."""


def filled(layers: Sequence[DxfLayer], properties: Mapping[str, str], extent: Bounds) -> str:
    """Return the text of a file.

    Args:
        layers: one at least; their texts are single lines.
        properties: custom properties by name, single lines.
        extent: box of all that is drawn, mm.
    """
    handle = FIRST_HANDLE
    records: list[str] = []
    drawn: list[str] = []
    for i, layer in enumerate(layers):
        records += _layer(layer, handle)
        handle += 1 if i else 2
        first, *others = layer.drawn.split(_HANDLE)
        drawn.append(first)
        for text in others:
            drawn += (f"{handle:X}", text)
            handle += 1
    box = {"xmin": extent.xmin, "ymin": extent.ymin, "xmax": extent.xmax, "ymax": extent.ymax}
    view = {"x": extent.centre.x, "y": extent.centre.y, "high": ROOM * max(extent.width_mm, extent.height_mm, 1.0)}
    said = {key: str(float(value)) for key, value in (box | view).items()}
    said |= {f"handle{i}": f"{handle + i:X}" for i in range(5)}
    said |= {"layers": str(LAYERS_OF_FRAME + len(layers))}
    pieces = {name: f"{text}\n" for name, text in said.items()}
    pieces |= {"properties": "".join(_properties(properties)), "records": "".join(records), "drawn": "".join(drawn)}
    return "".join(pieces[part] if is_mark else part for is_mark, part in _frame())


@cache
def _frame() -> tuple[tuple[bool, str], ...]:
    """Return the frame in pieces: whether it is the name of a mark, and the text."""
    parts = _MARK.split(FRAME.read_text(encoding="utf-8"))
    return tuple((i % 2 == 1, part) for i, part in enumerate(parts))


def _tags(*pairs: tuple[int, str | float]) -> Iterator[str]:
    return (f"{code:3d}\n{value}\n" for code, value in pairs)


def _properties(properties: Mapping[str, str]) -> Iterator[str]:
    for name, value in properties.items():
        yield from _tags((9, "$CUSTOMPROPERTYTAG"), (1, name), (9, "$CUSTOMPROPERTY"), (1, value))


def _layer(layer: DxfLayer, handle: int) -> Iterator[str]:
    """Return the tags of a layer's record, as the DXF reference has them (LAYER)."""
    yield from _tags((0, "LAYER"), (5, f"{handle:X}"), (330, LAYER_TABLE), (100, "AcDbSymbolTableRecord"))
    yield from _tags((100, "AcDbLayerTableRecord"), (2, layer.name), (70, 0), (62, layer.colour), (6, "Continuous"))
    yield from _tags((370, layer.lineweight), (390, PLOT_STYLE), (347, MATERIAL))
    yield from _tags((1001, LAYER_TEXT), (1000, ""), (1000, layer.description))


def drawn_text(entities: Iterable[Entity], layer: str) -> str:
    """Return entities of a layer as they stand in a file, without handles: those depend on what is before them."""
    return "".join(line for entity in entities for line in _entity(entity, layer))


def _entity(entity: Entity, layer: str) -> Iterator[str]:
    """Return the tags of a circle or polyline, as the DXF reference has them (CIRCLE, LWPOLYLINE)."""
    kind, group = ("CIRCLE", "AcDbCircle") if isinstance(entity, DxfCircle) else ("LWPOLYLINE", "AcDbPolyline")
    yield from _tags((0, kind), (5, _HANDLE), (330, MODEL_SPACE), (100, "AcDbEntity"), (8, layer), (100, group))
    if isinstance(entity, DxfCircle):
        x, y = float(entity.centre.x), float(entity.centre.y)
        yield from _tags((10, x), (20, y), (30, 0.0), (40, float(entity.radius_mm)))
        return
    yield from _tags((90, len(entity.vertices)), (70, 1))
    for v in entity.vertices:
        yield f" 10\n{float(v.x)}\n 20\n{float(v.y)}\n"
        if v.bulge:
            yield f" 42\n{float(v.bulge)}\n"
