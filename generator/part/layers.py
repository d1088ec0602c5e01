"""Layers: the regions of one operation on one face, as the machine sees them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from generator.base.errors import GeometryError
from generator.outline.region import Region
from generator.part.heights import level
from generator.part.part import Face, Feature, Layer, Part, Plan
from generator.part.relation import covers
from generator.part.section import feature_at, profile_at
from generator.part.setups import as_machined

__all__ = ["layer_names", "layers"]

MIRRORED = "Bottom face up, as the machine sees it: mirrored in the flip axis"
UPRIGHT = "Top face up"


def layers(plan: Plan) -> tuple[Layer, ...]:
    """Return every layer of a plan: the blank's, the cover's from the bottom face, from the top face, the inserts'.

    Depths count from the face that is up. Names are unique; features of one name that differ in depth are numbered.
    """
    cover = plan.cover
    features = list(_by_operation(cover.features))
    held = f" {plan.held}" if plan.held else ""
    return (
        *_blank_layers(plan),
        *(_feature_layer(plan, cover, name, group) for name, group in features if group[0].face is Face.BOTTOM),
        *(_feature_layer(plan, cover, name, group) for name, group in features if group[0].face is Face.TOP),
        *_edge_break(plan),
        _profile_layer(cover, f"{UPRIGHT}: outline, cut last, on the outside.{held}"),
        *(layer for insert in plan.inserts for layer in _insert_layers(plan, insert)),
    )


def layer_names(part: Part) -> dict[str, str]:
    """Return the layer that every feature of a part is cut in, by the feature's name."""
    return {f.name: name for name, group in _by_operation(part.features) for f in group}


def _insert_layers(plan: Plan, insert: Part) -> Iterator[Layer]:
    """Yield the layers of an insert: its artwork first, the outline that frees it last."""
    for name, group in _by_operation(insert.features):
        yield _feature_layer(plan, insert, name, group)
    yield _profile_layer(insert, f"{UPRIGHT}: outline of the insert, cut last, on the outside.")


def _blank_layers(plan: Plan) -> Iterator[Layer]:
    """Yield the blank and the dowel holes in it, seen in the first setup."""
    blank, flip = plan.blank, plan.flip
    note = f"{MIRRORED}. The piece of stock, {blank.thickness_mm:g} mm thick."
    yield _blank_layer("blank", as_machined(blank.region, Face.BOTTOM, flip), blank.thickness_mm, note)
    if blank.dowel_holes:
        note = f"{MIRRORED}. Dowel holes on the flip axis, through the blank and on into what lies under it."
        yield _blank_layer("dowel-holes", as_machined(blank.dowel_holes, Face.BOTTOM, flip), blank.thickness_mm, note)


def _blank_layer(name: str, region: Region, depth: float, note: str) -> Layer:
    return Layer(name, "blank", Face.BOTTOM, region, 0.0, depth, note)


def _by_operation(features: Iterable[Feature]) -> Iterator[tuple[str, list[Feature]]]:
    """Yield layer names with their features; dowel holes are the blank's and not repeated here."""
    groups: dict[tuple[str, float, float, float], list[Feature]] = {}
    for f in features:
        if f.layer != "dowel-holes":
            groups.setdefault((f.layer, f.z_from_mm, f.z_to_mm, f.flare_mm), []).append(f)
    names = [key[0] for key in groups]
    seen: dict[str, int] = {}
    for key, group in groups.items():
        seen[key[0]] = seen.get(key[0], 0) + 1
        yield (key[0] if names.count(key[0]) == 1 else f"{key[0]}-{seen[key[0]]}"), group


def _feature_layer(plan: Plan, part: Part, name: str, group: list[Feature]) -> Layer:
    """Return the layer of features of a part that are cut alike."""
    first = group[0]
    up = first.face is Face.TOP
    z_to = min(first.z_to_mm, part.thickness_mm)
    z_from = max(first.z_from_mm, 0.0)
    top, bottom = (part.thickness_mm - z_to, part.thickness_mm - z_from) if up else (z_from, z_to)
    region = Region.of(c for r in _distinct([feature_at(f, first.z_to_mm) for f in group]) for c in r)
    return Layer(
        name=name,
        part=part.name,
        face=first.face,
        region=as_machined(region, first.face, plan.flip),
        top_mm=level(top),
        bottom_mm=level(bottom),
        note=f"{UPRIGHT if up else MIRRORED}: {_what(first, top, bottom, part)}",
    )


def _distinct(regions: list[Region]) -> list[Region]:
    """Return the regions without those that another one covers: no outline is cut twice."""
    out: list[Region] = []
    for r in sorted(regions, key=lambda r: -len(r)):
        if not any(covers(o, r) for o in out):
            out = [o for o in out if not covers(r, o)]
            out.append(r)
    return out


def _what(feature: Feature, top: float, bottom: float, part: Part) -> str:
    """Return what is cut, in a few words with depths."""
    if feature.z_from_mm <= 0.0 and feature.z_to_mm >= part.thickness_mm:
        return f"{feature.layer}, right through."
    if feature.flare_mm:
        tip = f"narrower by {2.0 * feature.flare_mm:.4g} mm in diameter at {bottom:.4g} mm depth"
        return f"{feature.layer}, 90° countersink, widest at {top:.4g} mm depth (drawn), {tip}."
    return f"{feature.layer}, flat floor, from {top:.4g} to {bottom:.4g} mm depth."


def _edge_break(plan: Plan) -> Iterator[Layer]:
    """Yield the rim that a chamfer cutter follows: the outline at the top face; none where it cannot be made."""
    cover = plan.cover
    if 0.0 < cover.rim_break_mm < cover.thickness_mm:
        try:
            rim = profile_at(cover, cover.thickness_mm)
        except GeometryError:
            return  # the check of the edge break says so
        note = f"{UPRIGHT}: rim at the top face after the 45° edge break of {cover.rim_break_mm:g} mm."
        yield Layer("edge-break", cover.name, Face.TOP, rim, 0.0, cover.rim_break_mm, note)


def _profile_layer(part: Part, note: str) -> Layer:
    """Return the layer of a part's outline, right through."""
    return Layer(part.layer, part.name, Face.TOP, part.profile, 0.0, part.thickness_mm, note)
