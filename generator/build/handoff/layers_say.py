"""What the DXF files of the layers state: circles, sizes and depths, read back from the files themselves."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator, Sequence
from math import hypot
from typing import Final

from generator.base.errors import ProofError
from generator.base.frozen_record import frozen_record
from generator.build.handoff.statement import Look, Statement
from generator.estimate.characteristic import ISLAND, Kind
from generator.outline.clip import FillRule
from generator.outline.combine import regularise
from generator.outline.contour import Contour, Point
from generator.outline.create import circle
from generator.outline.measure import Bounds, area, bounds
from generator.outline.predicates import is_circle
from generator.outline.region import Region
from generator.outputs.dxf_read import ReadEntity, read_dxf
from generator.part.part import Face, FlipAxis
from generator.part.setups import as_machined

__all__ = ["LayerFile", "layer_file", "layers_say"]

AXIS: Final = re.compile(r"Flip axis of the cover's blank: the line ([xy]) = (-?[\d.]+) mm")
DEPTHS: Final = re.compile(r"from (-?[\d.]+) to (-?[\d.]+) mm")
MODEL_MM: Final = 1e-3
NEAR_MM: Final = 2.0
"""A hole that lies farther from where it should be is another one."""


@frozen_record
class _Disc:
    """A circle of a layer, as seen from the top, mm."""

    at: Point
    diameter_mm: float


@frozen_record
class LayerFile:
    """A layer's file: what its properties say, and its region as seen from the top.

    Attributes:
        path: in the pack.
        part, layer: as the file's properties name them.
        face: that is up.
        from_mm, to_mm: depths that it is cut between.
        region: as seen from the top, mm.
        circles: its round contours.
        is_cone: its walls slope, and the region is the widest one.
        revision: as the file has it.
    """

    path: str
    part: str
    layer: str
    face: Face
    from_mm: float
    to_mm: float
    region: Region
    circles: tuple[_Disc, ...]
    is_cone: bool
    revision: str


def layer_file(path: str, data: bytes) -> LayerFile:
    """Return what the file of a layer says.

    Raises: ProofError: it cannot be read, or lacks part, layer, face, depth or flip axis.
    """
    from ezdxf.filemanagement import read

    found = read_dxf(data)
    text = data.decode("utf-8", errors="surrogateescape")
    axis = AXIS.search(text)
    try:
        if found.faults:
            raise ValueError("; ".join(found.faults))
        words = dict(read(io.StringIO(text)).header.custom_vars.properties)
        depths = DEPTHS.search(words["depth"])
        if axis is None or depths is None:
            raise ValueError("no flip axis or depth")
        face = Face(words["face"])
        flip = FlipAxis("y" if axis[1] == "x" else "x", float(axis[2]))
        entities = [e for layer in found.layers.values() for e in layer]
        region = as_machined(regularise(map(_contour, entities), rule=FillRule.EVEN_ODD), face, flip)
        discs = tuple(_Disc(c.centre, 2.0 * c.radius_mm) for k in region if (c := is_circle(k)))
        return LayerFile(
            path,
            words["part"],
            words["layer"],
            face,
            float(depths[1]),
            float(depths[2]),
            region,
            discs,
            is_cone="countersink, widest at" in text,
            revision=words["revision"],
        )
    except (KeyError, ValueError, OSError) as error:
        raise ProofError(f"{path}: not the file of a layer: {error}", feature=path) from error


def _contour(entity: ReadEntity) -> Contour:
    return circle(entity.centre, entity.radius_mm) if entity.kind == "CIRCLE" else Contour.of(entity.vertices)


# ------------------------------------------------------------------ what they state
def layers_say(files: Sequence[LayerFile], wanted: Iterable[Look], datum: Point, has_hole: bool) -> Iterator[Statement]:
    """Yield what the files state of the numbers that are looked for.

    Args:
        files: of all layers.
        wanted: where to look.
        datum: about where the datum lies, mm.
        has_hole: whether it is the middle of a hole; else the corner of the box round the cover.
    """
    origin = _origin(files, datum, has_hole)
    for look in wanted:
        own = [f for f in files if f.part == look.part]
        if look.kind in (Kind.DIAMETER, Kind.CONE) and not look.is_overall:
            yield from _diameters(own, look)
        elif look.kind in (Kind.POSITION_X, Kind.POSITION_Y) and origin:
            yield from _position(own, look, origin)
        elif look.kind in (Kind.SIZE_X, Kind.SIZE_Y, Kind.THICKNESS) or look.is_overall:
            yield from _size(own, look)
        elif look.kind is Kind.DEPTH:
            yield from _depth(own, look)
        elif look.kind is Kind.CHAMFER:
            yield from (_exact(look, f.path, f.to_mm - f.from_mm) for f in own if f.layer == look.layer)
        elif look.kind is Kind.DISTANCE:
            yield from _distance(own, look)


def _origin(files: Sequence[LayerFile], datum: Point, has_hole: bool) -> Point | None:
    """Return the datum as the files have it."""
    cover = [f for f in files if f.part == "cover"]
    if not has_hole:
        box = _box([f for f in cover if f.layer == "outer-profile"])
        return Point(box.xmin, box.ymin) if box else None
    discs = [d for f in cover if f.layer.startswith("bolt-holes") for d in f.circles]
    nearest = min(discs, key=lambda d: _apart(d.at, datum), default=None)
    return nearest.at if nearest and _apart(nearest.at, datum) < NEAR_MM else None


def _in_layer(files: Sequence[LayerFile], look: Look) -> list[LayerFile]:
    """Return the files of the layer that a feature is cut in; a layer of several depths has several."""
    return [f for f in files if f.layer == look.layer or re.fullmatch(rf"{re.escape(look.layer)}-\d+", f.layer)]


def _diameters(files: Sequence[LayerFile], look: Look) -> Iterator[Statement]:
    chosen = _in_layer(files, look) if look.layer else files
    if look.feature.endswith(ISLAND):
        chosen = [f for f in files if f.layer == look.feature.removesuffix(ISLAND)]
    for place in look.places:
        found = [(d, f) for f in chosen for d in f.circles if _apart(d.at, place) < NEAR_MM]
        if found:
            nearest = min(_apart(d.at, place) for d, _ in found)
            about = [(d, f) for d, f in found if _apart(d.at, place) < nearest + MODEL_MM]
            disc, file = min(about, key=lambda pair: look.misses(pair[0].diameter_mm))
            yield _exact(look, file.path, disc.diameter_mm)


def _position(files: Sequence[LayerFile], look: Look, origin: Point) -> Iterator[Statement]:
    """Yield where the middle of a round feature lies; of any other that of the box round its largest piece."""
    place = look.places[0]
    for file in _in_layer(files, look):
        round_ones = [d.at for d in file.circles if _apart(d.at, place) < NEAR_MM]
        middles = round_ones or [bounds(c).centre for c in file.region if _apart(bounds(c).centre, place) < NEAR_MM]
        if middles:
            at = min(middles, key=lambda p: _apart(p, place))
            yield _exact(look, file.path, at.x - origin.x if look.kind is Kind.POSITION_X else at.y - origin.y)
            return


def _distance(files: Sequence[LayerFile], look: Look) -> Iterator[Statement]:
    """Yield how far apart two round features are."""
    for file in _in_layer(files, look):
        found = [min(file.circles, key=lambda d: _apart(d.at, p), default=None) for p in look.places]
        ends = [d.at for d in found if d]
        if len(ends) == 2:
            yield _exact(look, file.path, _apart(*ends))


def _size(files: Sequence[LayerFile], look: Look) -> Iterator[Statement]:
    """Yield size and thickness of a part; of a feature that fills its layer alone the size of its largest piece."""
    if look.is_overall:
        chosen = [f for f in files if f.layer == "outer-profile" or f.layer.startswith("insert-profile")]
    else:
        chosen = [f for f in _in_layer(files, look) if f.layer == look.feature]
    for file in chosen[:1]:
        largest = max(file.region, key=lambda c: area(Region((c,))), default=None)
        if look.kind is Kind.THICKNESS:
            through = [f for f in files if f.layer in look.through]
            yield from (_exact(look, f.path, f.to_mm - f.from_mm) for f in (file, *through))
        elif largest is not None:
            box = bounds(largest)
            yield _exact(look, file.path, box.height_mm if look.kind is Kind.SIZE_Y else box.width_mm)


def _depth(files: Sequence[LayerFile], look: Look) -> Iterator[Statement]:
    found = [f for f in _in_layer(files, look) if any(_inside(f.region, p) for p in look.places)]
    for file in found[:1]:
        yield _exact(look, file.path, file.to_mm - file.from_mm)


def _inside(region: Region, place: Point) -> bool:
    box = bounds(region)
    return box.xmin <= place.x <= box.xmax and box.ymin <= place.y <= box.ymax


def _box(files: Sequence[LayerFile]) -> Bounds | None:
    return bounds(files[0].region) if files else None


def _exact(look: Look, path: str, value_mm: float) -> Statement:
    return Statement(look.number, path, value_mm, MODEL_MM, f"{value_mm:z.4f} mm")


def _apart(a: Point, b: Point) -> float:
    return hypot(a.x - b.x, a.y - b.y)
