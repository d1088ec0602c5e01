"""What a DXF file says, by a reader that has nothing of the writer's: ezdxf's, the strict one."""

from __future__ import annotations

import io
from collections import defaultdict
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Contour, Point, Segment

if TYPE_CHECKING:
    from ezdxf.document import Drawing

__all__ = ["ReadEntity", "ReadFile", "middle", "read_dxf", "read_entities"]

OLDEST = "AC1015"
_BEFORE = "  0\nSECTION\n  2\nHEADER\n  9\n$ACADVER\n  1\nAC1024\n  0\nENDSEC\n  0\nSECTION\n  2\nENTITIES\n"
_AFTER = "  0\nENDSEC\n  0\nEOF\n"
"""The least that makes a file of entities alone."""


@frozen_record
class ReadEntity:
    """An entity as read: ``vertices`` (x, y, bulge) of a closed polyline, or the centre and radius of a circle, mm."""

    kind: str
    vertices: tuple[tuple[float, float, float], ...] = ()
    centre: Point = Point(0.0, 0.0)
    radius_mm: float = 0.0


@frozen_record
class ReadFile:
    """What a DXF file says.

    Attributes:
        layers: entities by layer.
        faults: everything about it that a shop would stumble over.
        declared: the layers that it lists, used or not.
    """

    layers: Mapping[str, tuple[ReadEntity, ...]]
    faults: tuple[str, ...]
    declared: tuple[str, ...] = ()


def read_dxf(data: bytes) -> ReadFile:
    """Return what a DXF file says, by ezdxf's strict reader; a file that it refuses is one fault and nothing else."""
    from ezdxf.filemanagement import read
    from ezdxf.lldxf.const import DXFError

    try:
        doc = read(io.StringIO(data.decode("utf-8", errors="surrogateescape")))
    except (DXFError, OSError, ValueError) as error:
        return ReadFile({}, (f"not readable: {error}",))
    layers, faults = _drawn(doc)
    faults = [
        *_header_faults(doc),
        *faults,
        *(f"layer {n} is used but not declared" for n in layers if n not in doc.layers),
    ]
    return ReadFile(layers, tuple(faults), tuple(layer.dxf.name for layer in doc.layers))


def read_entities(lines: bytes) -> ReadFile:
    """Return what lines from a section of entities say, by the same reader; nothing else of the file is known."""
    from ezdxf.filemanagement import read
    from ezdxf.lldxf.const import DXFError

    text = f"{_BEFORE}{lines.decode('utf-8', errors='surrogateescape')}{_AFTER}"
    try:
        layers, faults = _drawn(read(io.StringIO(text)))
    except (DXFError, OSError, ValueError) as error:
        return ReadFile({}, (f"not readable: {error}",))
    return ReadFile(layers, tuple(faults))


def _drawn(doc: Drawing) -> tuple[dict[str, tuple[ReadEntity, ...]], list[str]]:
    """Return the entities of every layer, and what is wrong with them."""
    by_layer: dict[str, list[ReadEntity]] = defaultdict(list)
    faults = []
    for item in doc.modelspace():
        entity, wrong = _entity(item)
        faults += [f"{item.dxftype()} {item.dxf.handle}: {w}" for w in wrong]
        if entity is not None:
            by_layer[item.dxf.layer].append(entity)
    for layer, entities in by_layer.items():
        faults += [f"an entity stands twice on layer {layer}"] * (len(entities) - len(set(map(_likeness, entities))))
    return {k: tuple(v) for k, v in by_layer.items()}, faults


def _header_faults(doc: Drawing) -> list[str]:
    faults = []
    if doc.dxfversion < OLDEST:
        faults.append(f"version {doc.dxfversion} is older than {OLDEST}")
    for key, value in (("$INSUNITS", 4), ("$MEASUREMENT", 1)):
        if doc.header.get(key) != value:
            faults.append(f"{key} is {doc.header.get(key)}, not {value}")
    for layout in doc.layouts:
        if not layout.is_modelspace and len(layout):
            faults.append(f"layout {layout.name} is not empty")
    faults += [f"block {b.name} is not empty" for b in doc.blocks if not b.is_any_layout and len(b)]
    return faults


def _entity(item: Any) -> tuple[ReadEntity | None, list[str]]:
    """Return an entity and what is wrong with it."""
    kind = item.dxftype()
    wrong = []
    if tuple(item.dxf.get("extrusion", (0.0, 0.0, 1.0))) != (0.0, 0.0, 1.0):
        wrong.append("extrusion is not (0, 0, 1)")
    if item.dxf.get("thickness", 0.0):
        wrong.append("has a thickness")
    if kind == "CIRCLE":
        x, y, z = item.dxf.center
        if z:
            wrong.append("not at z = 0")
        return ReadEntity(kind, (), Point(x, y), item.dxf.radius), wrong
    if kind == "LWPOLYLINE":
        if item.dxf.get("elevation", 0.0):
            wrong.append("not at z = 0")
        if not item.closed:
            wrong.append("not closed")
        if item.has_width:
            wrong.append("has a width")
        return ReadEntity(kind, tuple(item.get_points("xyb"))), wrong
    return None, ["not allowed here"]


def _likeness(entity: ReadEntity) -> object:
    """Return a value that is equal for entities which cover each other, from whichever vertex, either way."""
    if entity.kind == "CIRCLE":
        return (round(entity.centre.x, 6), round(entity.centre.y, 6), round(entity.radius_mm, 6))
    contour = Contour.of(entity.vertices)
    return frozenset(
        frozenset(((round(s.start.x, 6), round(s.start.y, 6)), (round(s.end.x, 6), round(s.end.y, 6)), _middle6(s)))
        for s in contour.segments()
    )


def _middle6(segment: Segment) -> tuple[float, float]:
    m = middle(segment)
    return round(m.x, 6), round(m.y, 6)


def middle(segment: Segment) -> Point:
    """Return the point half-way along a segment: the chord's middle moved by the sagitta ``b c / 2`` to the right."""
    dx, dy = segment.end.x - segment.start.x, segment.end.y - segment.start.y
    return Point(
        (segment.start.x + segment.end.x + segment.bulge * dy) / 2.0,
        (segment.start.y + segment.end.y - segment.bulge * dx) / 2.0,
    )
