"""Main dimensions and the table of features, as plain values for report and drawing."""

from __future__ import annotations

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point
from generator.outline.measure import Bounds, area, bounds
from generator.outline.region import EMPTY
from generator.part.heights import level
from generator.part.part import Bolt, Face, Feature, Part, Plan
from generator.part.relation import covers, disc_of, meets
from generator.part.section import feature_at

__all__ = ["Dimension", "FeatureRow", "dimensions", "feature_rows", "floor_left_mm", "head_on_original"]


@frozen_record
class Dimension:
    """One dimension in words: what, and how much in mm."""

    what: str
    value_mm: float


@frozen_record
class FeatureRow:
    """One line of the feature table.

    Attributes:
        name: of the feature.
        layer: it is cut in.
        face: it is cut from.
        depth_mm: from that face to its floor, or the part's thickness.
        floor_mm: material left under it, 0 if it goes through.
        width_mm: of its box along x, at its widest height.
        height_mm: of its box along y.
        area_mm2: at its widest height.
        diameter_mm: of a round feature at its widest height, else 0.
        shape: ``through``, ``flat floor`` or ``countersink``.
        centre: of its box, mm.
    """

    name: str
    layer: str
    face: Face
    depth_mm: float
    floor_mm: float
    width_mm: float
    height_mm: float
    area_mm2: float
    diameter_mm: float
    shape: str
    centre: Point


def dimensions(plan: Plan) -> tuple[Dimension, ...]:
    """Return the main dimensions of cover, blank, pocket and inserts."""
    out = [*_box("cover", bounds(plan.cover.profile), plan.cover.thickness_mm)]
    out += _box("blank", bounds(plan.blank.region), plan.blank.thickness_mm)
    out += _box("footprint", bounds(plan.footprint), plan.original_height_mm)
    for f in plan.cover.features:
        if f.layer == "bottom-pocket" or f.layer.startswith("inlay-pocket"):
            out.append(Dimension(f"{f.name} depth", f.depth_mm))
            out.append(Dimension(f"{f.name} floor left", floor_left_mm(plan.cover, f)))
    for insert in plan.inserts:
        if insert.profile:
            out += _box(insert.name, bounds(insert.profile), insert.thickness_mm)
    return tuple(out)


def _box(name: str, box: Bounds, thickness: float) -> list[Dimension]:
    return [
        Dimension(f"{name} width", box.width_mm),
        Dimension(f"{name} height", box.height_mm),
        Dimension(f"{name} thickness", thickness),
    ]


def feature_rows(part: Part) -> tuple[FeatureRow, ...]:
    """Return the feature table of a part, in the order of its features."""
    return tuple(_row(part, f) for f in part.features)


def _row(part: Part, feature: Feature) -> FeatureRow:
    widest = feature_at(feature, feature.z_to_mm)
    box = bounds(widest)
    through = feature.z_from_mm <= 0.0 and feature.z_to_mm >= part.thickness_mm
    depth = part.thickness_mm - feature.z_from_mm if feature.face is Face.TOP else feature.z_to_mm
    return FeatureRow(
        name=feature.name,
        layer=feature.layer,
        face=feature.face,
        depth_mm=min(depth, part.thickness_mm),
        floor_mm=0.0 if through else floor_left_mm(part, feature),
        width_mm=box.width_mm,
        height_mm=box.height_mm,
        area_mm2=area(widest),
        diameter_mm=box.width_mm if disc_of(widest) else 0.0,
        shape="through" if through else "countersink" if feature.flare_mm else "flat floor",
        centre=box.centre,
    )


def floor_left_mm(part: Part, feature: Feature) -> float:
    """Return the thinnest material left under a feature's floor, mm: 0 or less if it breaks into another feature.

    Through cuts beside or inside it (a bolt hole in its seat) do not count: they are meant to open the floor.
    """
    top = feature.face is Face.TOP
    left = feature.z_from_mm if top else part.thickness_mm - feature.z_to_mm
    for o in part.features:
        if o is feature or o.face is feature.face or is_through(part, o):
            continue
        a = feature.region
        if a != EMPTY and (covers(o.region, a) or meets(a, feature_at(o, o.z_to_mm))):
            left = min(left, feature.z_from_mm - o.z_to_mm if top else o.z_from_mm - feature.z_to_mm)
    return level(left)


def is_through(part: Part, feature: Feature) -> bool:
    """Return True if a feature goes right through its part."""
    return feature.z_from_mm <= 0.0 and feature.z_to_mm >= part.thickness_mm


def head_on_original(plan: Plan, bolt: Bolt) -> bool:
    """Return True if the bolt's counterbore goes through the cover, so that the head bears on the original alone.

    A countersink holds the cover however deep it goes: the head wedges into its cone.
    """
    seat = next((f for f in plan.cover.features if f.name == f"seat-{bolt.name}"), None)
    if seat is None or seat.flare_mm:
        return False
    return min(floor_left_mm(plan.cover, seat), seat.z_from_mm) <= 0.0
