"""What the page's scripts are given: meshes to turn, outlines to measure, layers and findings to show."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final, TypeAlias

from generator.base.finding import Finding
from generator.base.units import length_unit
from generator.mesh.make import mesh_of
from generator.outline.region import Region
from generator.outputs.output import Work
from generator.outputs.plan_frame import seen_from_top
from generator.outputs.plan_style import Row
from generator.outputs.scene import inserts_of
from generator.outputs.visual.meshes import packed
from generator.part.part import Face, Part, Plan, Slab, Wall
from generator.part.slabs import slabs

__all__ = ["ORIGINAL", "findings_of", "page_data"]

Data: TypeAlias = dict[str, Any]

ORIGINAL: Final = "original"
ORIGINAL_COLOUR: Final = "#8f98a3"
CHORD_MM: Final = 0.02
"""How far a chord of the pictured solid may leave its arc; what is measured comes from the outlines, not from it."""


def findings_of(work: Work) -> tuple[Finding, ...]:
    """Return all findings, the most serious first, as the page numbers them."""
    order = {"forbids": 0, "warns": 1, "notes": 2}
    return tuple(sorted((f for o in work.outcomes for f in o.findings), key=lambda f: order[f.severity.value]))


def page_data(work: Work, rows: Sequence[Row]) -> Data:
    """Return everything that the scripts need; lengths are mm.

    Args:
        work: plan, layers and findings.
        rows: the layers as the plan shows them.
    """
    plan, unit = work.plan, length_unit(work.plan.units)
    return {
        "unit": {"mm": unit.mm, "suffix": unit.suffix, "decimals": unit.decimals},
        "thickness": plan.cover.thickness_mm,
        "parts": list(bodies(plan)),
        "layers": [_layer(row, plan) for row in rows],
        "findings": [_finding(f) for f in findings_of(work)],
    }


def bodies(plan: Plan) -> Iterator[Data]:
    """Yield what is turned: cover, inserts, what fills their engravings, and the original under the cover.

    ``goes`` says where a body goes when the parts are drawn apart: 1 up, -1 down.
    """
    for goes, part in ((0, plan.cover), *((1, insert) for insert in inserts_of(plan))):
        body = _body(part.name, part.material.colour, part.seat_z_mm, slabs(part))
        yield body | {"goes": goes, "outlines": list(_outlines(part))}
        for f in part.features:
            if f.fill and f.region:
                name = f"fill of {f.name}"
                body = _body(name, f.fill.colour, part.seat_z_mm + f.z_from_mm, _prism(f.region, f.depth_mm))
                yield body | {"goes": goes, "outlines": [_outline(name, f.layer, f.region, 0.0, f.depth_mm)]}
    if plan.footprint and plan.original_height_mm > 0.0:
        height = plan.original_height_mm
        body = _body(ORIGINAL, ORIGINAL_COLOUR, 0.0, _prism(plan.footprint, height))
        outline = _outline("footprint of the original", "footprint", plan.footprint, 0.0, height)
        yield body | {"goes": -1, "outlines": [outline]}


def _body(name: str, colour: str, seat_mm: float, stack: Sequence[Slab]) -> Data:
    mesh = mesh_of(stack, chord_mm=CHORD_MM)
    top = stack[-1].z_to_mm
    return {"name": name, "colour": colour, "seat": _round(seat_mm), "thickness": top, "mesh": packed(mesh)}


def _prism(region: Region, height_mm: float) -> tuple[Slab, ...]:
    return (Slab(0.0, height_mm, tuple(Wall(c, c) for c in region)),)


def _outlines(part: Part) -> Iterator[Data]:
    """Yield the part's outline, then every feature: what is measured."""
    yield _outline(f"outline of {part.name}", part.layer, part.profile, 0.0, part.thickness_mm)
    for f in part.features:
        face = "top" if f.face is Face.TOP else "bottom"
        yield _outline(f.name, f.layer, f.region, f.z_from_mm, f.z_to_mm, face)


def _outline(name: str, layer: str, region: Region, low_mm: float, high_mm: float, face: str = "") -> Data:
    return {
        "name": name,
        "layer": layer,
        "face": face,
        "from": _round(low_mm),
        "to": _round(high_mm),
        "contours": _contours(region),
    }


def _contours(region: Region) -> list[list[list[float]]]:
    """Return every contour as rows x, y (mm) and bulge of the segment that begins there."""
    return [[[_round(v.x), _round(v.y), round(v.bulge, 7) + 0.0] for v in contour.vertices] for contour in region]


def _layer(row: Row, plan: Plan) -> Data:
    """Return a layer as seen from the top, for measuring in the plan."""
    layer, unit = row.layer, length_unit(plan.units)
    begin = f"from {unit.length(layer.top_mm)} " if layer.top_mm > 0.0 else ""
    return {
        "name": layer.name,
        "says": f"{begin}to {unit.length(layer.bottom_mm)} below the {layer.face.value} face of the {layer.part}",
        "contours": _contours(seen_from_top(row, plan.flip)),
    }


def _finding(f: Finding) -> Data:
    point = None if f.point_mm is None else [_round(f.point_mm[0]), _round(f.point_mm[1])]
    return {"point": point, "face": f.face, "feature": f.feature}


def _round(value_mm: float) -> float:
    """Return a length to a tenth of a micrometre."""
    return round(value_mm, 4) + 0.0
