"""A DXF file read back and held against the regions that it was written from.

Nothing of the writer is used: entities are taken as ezdxf's strict reader gives them and compared with the
contours point by point, so a fault in the writer's own idea of a circle or a bulge shows.
"""

from __future__ import annotations

import io
from collections import defaultdict
from collections.abc import Mapping
from math import hypot, inf, pi
from typing import TYPE_CHECKING, Any

from generator.base.frozen_record import frozen_record
from generator.base.sharing import NOTHING_SHARED, Sharing, digest_of
from generator.base.units import Tolerance
from generator.outline.contour import Contour, Point, Segment
from generator.outline.measure import signed_area
from generator.outline.region import Region
from generator.outputs.dxf_document import without_texts
from generator.outputs.output import Proof
from generator.outputs.proofs import count_proof, proofs_bytes, proofs_of

if TYPE_CHECKING:
    from ezdxf.document import Drawing

__all__ = ["ReadEntity", "ReadFile", "prove_dxf", "read_dxf"]

OLDEST = "AC1015"
MAX_FAULTS_TOLD = 3


@frozen_record
class ReadEntity:
    """An entity as read: ``vertices`` (x, y, bulge) of a closed polyline, or the centre and radius of a circle, mm."""

    kind: str
    vertices: tuple[tuple[float, float, float], ...] = ()
    centre: Point = Point(0.0, 0.0)
    radius_mm: float = 0.0


@frozen_record
class ReadFile:
    """What a DXF file says: entities by layer, and everything about it that a shop would stumble over."""

    layers: Mapping[str, tuple[ReadEntity, ...]]
    faults: tuple[str, ...]


def prove_dxf(
    name: str, data: bytes, expected: Mapping[str, Region], tol: Tolerance, sharing: Sharing = NOTHING_SHARED
) -> tuple[Proof, ...]:
    """Return the proofs that the file called ``name`` holds exactly the regions ``expected``, by DXF layer.

    A file that differs from one proven before in comments and in what its properties say need not be read again.
    """
    key = digest_of(name, without_texts(data), tuple(expected.items()), tol)
    made = sharing.get("dxf-proofs", key, lambda: proofs_bytes(_proven(name, data, expected, tol)))
    return proofs_of(made)


def _proven(name: str, data: bytes, expected: Mapping[str, Region], tol: Tolerance) -> tuple[Proof, ...]:
    read = read_dxf(data)
    faults = [*read.faults, *(f"layer {n} is not of this file" for n in read.layers if n not in expected)]
    told = "; ".join(faults[:MAX_FAULTS_TOLD])
    proofs = [count_proof("only closed LWPOLYLINEs and CIRCLEs in mm at z = 0, none twice", name, len(faults))]
    if told:
        proofs = [
            count_proof(f"only closed LWPOLYLINEs and CIRCLEs in mm at z = 0, none twice: {told}", name, len(faults))
        ]
    for layer, region in expected.items():
        gap = _region_gap(region, read.layers.get(layer, ()))
        feature = layer if len(expected) == 1 else f"{layer} in {name}"
        proofs.append(Proof("contours: DXF read back against region", feature, gap, tol.model_mm, "mm"))
    return tuple(proofs)


def read_dxf(data: bytes) -> ReadFile:
    """Return what a DXF file says, by ezdxf's strict reader; a file that it refuses is one fault and nothing else."""
    from ezdxf.filemanagement import read
    from ezdxf.lldxf.const import DXFError

    try:
        doc = read(io.StringIO(data.decode("utf-8", errors="surrogateescape")))
    except (DXFError, OSError, ValueError) as error:
        return ReadFile({}, (f"not readable: {error}",))
    by_layer: dict[str, list[ReadEntity]] = defaultdict(list)
    faults = _header_faults(doc)
    for item in doc.modelspace():
        entity, wrong = _entity(item)
        faults += [f"{item.dxftype()} {item.dxf.handle}: {w}" for w in wrong]
        if entity is not None:
            by_layer[item.dxf.layer].append(entity)
    for layer, entities in by_layer.items():
        faults += [f"an entity stands twice on layer {layer}"] * (len(entities) - len(set(map(_likeness, entities))))
        if layer not in doc.layers:
            faults.append(f"layer {layer} is used but not declared")
    return ReadFile({k: tuple(v) for k, v in by_layer.items()}, tuple(faults))


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
    m = _middle(segment)
    return round(m.x, 6), round(m.y, 6)


def _middle(segment: Segment) -> Point:
    """Return the point half-way along a segment: the chord's middle moved by the sagitta ``b c / 2`` to the right."""
    dx, dy = segment.end.x - segment.start.x, segment.end.y - segment.start.y
    return Point(
        (segment.start.x + segment.end.x + segment.bulge * dy) / 2.0,
        (segment.start.y + segment.end.y - segment.bulge * dx) / 2.0,
    )


def _region_gap(region: Region, entities: tuple[ReadEntity, ...]) -> float:
    """Return the largest distance in mm between the contours and the entities, which stand in the same order."""
    if len(region) != len(entities):
        return inf
    return max((_gap(c, e) for c, e in zip(region, entities, strict=True)), default=0.0)


def _gap(contour: Contour, entity: ReadEntity) -> float:
    if entity.kind == "CIRCLE":
        return _circle_gap(contour, entity.centre, entity.radius_mm)
    other = Contour.of(entity.vertices)
    if len(other) != len(contour):
        return inf
    return max(
        (
            max(_apart(a.start, b.start), _apart(_middle(a), _middle(b)), _apart(a.end, b.end))
            for a, b in zip(contour.segments(), other.segments(), strict=True)
        ),
        default=inf,
    )


def _circle_gap(contour: Contour, centre: Point, radius: float) -> float:
    """Return how far the contour strays from the circle, by the ends and middles of its arcs and by its area.

    The area (over the circumference, mm) makes sure that the contour goes round once and not, say, there and back.
    """
    points = [p for s in contour.segments() for p in (s.start, _middle(s))]
    stray = max((abs(_apart(p, centre) - radius) for p in points), default=inf)
    around = 2.0 * pi * radius
    by_area = abs(abs(signed_area(contour)) - pi * radius * radius) / around if around > 0.0 else inf
    return max(stray, by_area)


def _apart(a: Point, b: Point) -> float:
    return hypot(a.x - b.x, a.y - b.y)
