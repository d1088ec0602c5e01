"""The frame of a DXF file with lines and circles only, filled in without loading the library for DXF.

The frame, ``frame_r2010.dxf``, is what ezdxf writes for a document with one empty layer: header, tables and
dictionaries that every reader expects. A test compares filled frames with ezdxf's own files, byte for byte, and
remakes the frame.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

from generator.outline.measure import Bounds
from generator.outputs.dxf_pen import DxfCircle, Entity

if TYPE_CHECKING:
    from generator.outputs.dxf_document import DxfLayer

__all__ = ["FIRST_HANDLE", "FRAME", "ROOM", "filled"]

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
        for entity in layer.entities:
            drawn += _entity(entity, layer.name, handle)
            handle += 1
    box = {"xmin": extent.xmin, "ymin": extent.ymin, "xmax": extent.xmax, "ymax": extent.ymax}
    view = {"x": extent.centre.x, "y": extent.centre.y, "high": ROOM * max(extent.width_mm, extent.height_mm, 1.0)}
    said = {key: str(float(value)) for key, value in (box | view).items()}
    said |= {f"handle{i}": f"{handle + i:X}" for i in range(5)}
    said |= {"layers": str(LAYERS_OF_FRAME + len(layers))}
    blocks = {"properties": list(_properties(properties)), "records": records, "drawn": drawn}

    def instead(mark: re.Match[str]) -> str:
        name = mark.group(1)
        return said[name] + "\n" if name in said else "".join(blocks[name])

    return _MARK.sub(instead, _frame())


@cache
def _frame() -> str:
    return FRAME.read_text(encoding="utf-8")


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


def _entity(entity: Entity, layer: str, handle: int) -> Iterator[str]:
    """Return the tags of a circle or polyline, as the DXF reference has them (CIRCLE, LWPOLYLINE)."""
    kind, group = ("CIRCLE", "AcDbCircle") if isinstance(entity, DxfCircle) else ("LWPOLYLINE", "AcDbPolyline")
    yield from _tags((0, kind), (5, f"{handle:X}"), (330, MODEL_SPACE), (100, "AcDbEntity"), (8, layer), (100, group))
    if isinstance(entity, DxfCircle):
        x, y = float(entity.centre.x), float(entity.centre.y)
        yield from _tags((10, x), (20, y), (30, 0.0), (40, float(entity.radius_mm)))
        return
    yield from _tags((90, len(entity.vertices)), (70, 1))
    for v in entity.vertices:
        yield from _tags((10, float(v.x)), (20, float(v.y)))
        if v.bulge:
            yield from _tags((42, float(v.bulge)))
