"""DXF files held against the regions that they were written from, by what an independent reader finds in them.

Nothing of the writer is used: entities are taken as the reader gives them and compared with the contours point by
point, so a fault in the writer's own idea of a circle or a bulge shows.

Where variants share what they have in common, a file is read by parts, and of these only what is new: its frame
(everything but the section of entities, which is a list), and the entities of each layer. The whole says what its parts
say, since nothing but its handle ties an entity to the frame, and handles are looked at here. A file that is not put
together like that, or in which anything is wrong, is read as a whole.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from math import hypot, inf, isfinite, pi
from typing import Final

from generator.base.frozen_record import frozen_record
from generator.base.sharing import NOTHING_SHARED, Sharing, digest_of
from generator.base.units import Tolerance
from generator.outline.contour import Contour, Point
from generator.outline.measure import signed_area
from generator.outline.region import Region
from generator.outline.remembered import remembered
from generator.outputs.dxf_document import without_texts
from generator.outputs.dxf_read import ReadEntity, middle, read_dxf, read_entities
from generator.outputs.output import Proof
from generator.outputs.proofs import count_proof

__all__ = ["prove_dxf"]

MAX_FAULTS_TOLD: Final = 3
SOUND: Final = "only closed LWPOLYLINEs and CIRCLEs in mm at z = 0, none twice"
_ENTITIES: Final = b"\n  0\nSECTION\n  2\nENTITIES\n"
_SECTION_END: Final = b"  0\nENDSEC\n"
_START: Final = re.compile(rb"^  0\n", re.MULTILINE)
_HANDLE: Final = re.compile(rb"(\n  5\n)([0-9A-F]+)(?=\n)")
_DECIMAL: Final = re.compile(rb"\n-?[0-9]+\.[0-9]+(?:e[+-]?[0-9]+)?(?=\n)")


def prove_dxf(
    name: str, data: bytes, expected: Mapping[str, Region], tol: Tolerance, sharing: Sharing = NOTHING_SHARED
) -> tuple[Proof, ...]:
    """Return the proofs that the file called ``name`` holds exactly the regions ``expected``, by DXF layer."""
    gaps = None if sharing is NOTHING_SHARED else _gaps_by_parts(data, expected, sharing)
    return tuple(_proven(name, data, expected, tol) if gaps is None else _proofs(name, (), gaps, tol))


def _proven(name: str, data: bytes, expected: Mapping[str, Region], tol: Tolerance) -> Iterator[Proof]:
    """Yield the proofs of a file that is read as a whole."""
    read = read_dxf(data)
    faults = [*read.faults, *(f"layer {n} is not of this file" for n in read.layers if n not in expected)]
    gaps = {layer: _region_gap(region, read.layers.get(layer, ())) for layer, region in expected.items()}
    return _proofs(name, faults, gaps, tol)


def _proofs(name: str, faults: Sequence[str], gaps: Mapping[str, float], tol: Tolerance) -> Iterator[Proof]:
    told = "; ".join(faults[:MAX_FAULTS_TOLD])
    yield count_proof(f"{SOUND}: {told}" if told else SOUND, name, len(faults))
    for layer, gap in gaps.items():
        feature = layer if len(gaps) == 1 else f"{layer} in {name}"
        yield Proof("contours: DXF read back against region", feature, gap, tol.model_mm, "mm")


def _gaps_by_parts(data: bytes, expected: Mapping[str, Region], sharing: Sharing) -> dict[str, float] | None:
    """Return the gap of every layer, new parts of the file read; None if the whole of it has to be read."""
    apart = _taken_apart(data, [len(region) for region in expected.values()])
    if apart is None or not _is_sound(apart.frame, expected, sharing):
        return None
    gaps = {}
    for (layer, region), lines in zip(expected.items(), apart.layers, strict=True):
        gap = _layer_gap(layer, region, lines, sharing)
        if not isfinite(gap):
            return None
        gaps[layer] = gap
    return gaps


@frozen_record
class _Apart:
    """A file taken apart: all but what stands in its section of entities, and the lines of every layer there."""

    frame: bytes
    layers: tuple[bytes, ...]


def _taken_apart(data: bytes, counts: Sequence[int]) -> _Apart | None:
    """Return the parts of a file whose layers have ``counts`` entities, one layer after another.

    None if the lines do not stand like that, or two things have one handle.
    """
    start = data.find(_ENTITIES) + len(_ENTITIES)
    end = data.find(_SECTION_END, start)
    handles = [handle for _, handle in _HANDLE.findall(data)]
    if start < len(_ENTITIES) or end < 0 or data.count(_ENTITIES) > 1 or len(set(handles)) < len(handles):
        return None
    section = data[start:end]
    at = [*(m.start() for m in _START.finditer(section)), len(section)]
    if len(at) - 1 != sum(counts) or at[0] != 0:
        return None
    layers, first = [], 0
    for count in counts:
        layers.append(section[at[first] : at[first + count]])
        first += count
    frame = data[:start] + data[end:]
    if any(lines.count(b"\n") % 2 for lines in (data[:start], *layers)):
        return None  # what looked like the code of a beginning was a value
    return _Apart(frame, tuple(layers))


def _is_sound(frame: bytes, expected: Mapping[str, Region], sharing: Sharing) -> bool:
    """Return True if a file without entities has no fault and lists the layers; which decimals it has is no matter."""

    def read() -> bytes:
        found = read_dxf(frame)
        return json.dumps([len(found.faults), found.declared]).encode()

    faults, declared = json.loads(sharing.get("dxf-frame", _without_decimals(without_texts(frame)), read))
    return not faults and all(layer in declared for layer in expected)


@remembered
def _without_decimals(frame: bytes) -> str:
    """Return a digest of a frame that is the same whatever its decimals are."""
    return hashlib.sha256(_DECIMAL.sub(b"\n0.0", frame)).hexdigest()


def _layer_gap(layer: str, region: Region, lines: bytes, sharing: Sharing) -> float:
    """Return how far the entities of a layer are from its region, mm; infinite if anything is wrong with them."""

    def read() -> bytes:
        found = read_entities(lines)
        is_right = not found.faults and list(found.layers) == [layer]
        return json.dumps(_region_gap(region, found.layers[layer]) if is_right else inf).encode()

    return float(json.loads(sharing.get("dxf-entities", digest_of(layer, region, _HANDLE.sub(rb"\1", lines)), read)))


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
            max(_apart(a.start, b.start), _apart(middle(a), middle(b)), _apart(a.end, b.end))
            for a, b in zip(contour.segments(), other.segments(), strict=True)
        ),
        default=inf,
    )


def _circle_gap(contour: Contour, centre: Point, radius: float) -> float:
    """Return how far the contour strays from the circle, by the ends and middles of its arcs and by its area.

    The area (over the circumference, mm) makes sure that the contour goes round once and not, say, there and back.
    """
    points = [p for s in contour.segments() for p in (s.start, middle(s))]
    stray = max((abs(_apart(p, centre) - radius) for p in points), default=inf)
    around = 2.0 * pi * radius
    by_area = abs(abs(signed_area(contour)) - pi * radius * radius) / around if around > 0.0 else inf
    return max(stray, by_area)


def _apart(a: Point, b: Point) -> float:
    return hypot(a.x - b.x, a.y - b.y)
