"""The report as plain data: what ``report.json`` holds, and what ``report.md`` is written from.

Keys end in their unit (``_mm``, ``_mm2``, ``_mm3``, ``_g``, ``_kg_m3``); numbers are numbers. Lengths are mm whatever
unit the recipe is in. Keys are never renamed; ``docs/report.md`` describes them.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from typing import Any, Final, TypeAlias

from generator.base.cautions import cautions
from generator.base.fills import Fill
from generator.base.finding import Finding, Severity
from generator.estimate.measured_places import inside_radius
from generator.outline.measure import area, bounds, length
from generator.outline.region import Region
from generator.outputs.layers_dxf import drawn_layers
from generator.outputs.output import Files, Proof, Work
from generator.outputs.report_bolts import bolts_data
from generator.outputs.report_cutting import cutting_data
from generator.outputs.report_fit import fit_data
from generator.outputs.report_making import making_data
from generator.part.describe import FeatureRow, feature_rows
from generator.part.inlays import gap_of
from generator.part.mass import GRAMS_PER_KG, MM3_PER_M3, centre_of_mass, volume_mm3
from generator.part.part import Face, Feature, Layer, Part, Plan

__all__ = ["FORMAT", "report_data"]

FORMAT: Final = "coverplate report 1"
Data: TypeAlias = dict[str, Any]


def report_data(work: Work, proofs: Sequence[Proof], files: Files) -> Data:
    """Return everything that the report says, as JSON can hold it.

    Args:
        work: plan, layers and findings.
        proofs: every proof that was made; all of them hold.
        files: the files of the pack so far, without report and manifest.
    """
    plan = work.plan
    return {
        "format": FORMAT,
        "name": plan.name,
        "title": plan.title,
        "revision": plan.revision,
        "notes": plan.notes,
        "recipe_units": plan.units,
        "quantity": None if work.recipe is None else work.recipe.order.quantity,
        "recipe_sha256": work.recipe_digest,
        "versions": dict(sorted(work.tool_versions.items())),
        "original": {
            "bears_load": plan.load_bearing,
            "height_mm": _number(plan.original_height_mm),
            "footprint": _extent(plan.footprint),
        },
        "parts": [_part(part, work) for part in plan.parts],
        "blank": _blank(plan),
        "bolts": [_bolt(plan, i) for i in range(len(plan.bolts))],
        "bolting": bolts_data(work),
        "tools": [{"name": name, "diameter_mm": _number(d)} for name, d in plan.tool_diameters],
        "tolerances": _tolerances(work),
        "cutting": cutting_data(work),
        "fit": fit_data(work),
        "making": making_data(work),
        "layers": [_layer(file, dxf_name, layer, files) for file, dxf_name, layer in drawn_layers(work.layers)],
        "checks": _checks(work),
        "findings": _findings(work),
        "proofs": [_proof(proof) for proof in proofs],
        "cautions": [
            {"id": c.id, "title": c.title, "text": c.text, "loud": c.loud}
            for c in cautions(load_bearing=plan.load_bearing)
        ],
        "files": [
            {"path": path, "bytes": len(content), "sha256": hashlib.sha256(content).hexdigest()}
            for path, content in sorted(files.items())
        ],
    }


def _number(value: float, digits: int = 6) -> float:
    """Return a number without the noise of the last bits; 1e-6 mm is a thousandth of the model's accuracy."""
    return round(value, digits) + 0.0


def _tolerances(work: Work) -> Data | None:
    """Return how exactly things are known and made, as the recipe has it; None if the recipe is not at hand."""
    if work.recipe is None:
        return None
    given = work.recipe.tolerances
    return {
        "general": given.general,
        "footprint_mm": _number(given.footprint),
        "bolts_mm": _number(given.bolts),
        "bolt_play_mm": _number(given.bolt_play),
        "height_mm": _number(given.height),
        "position_mm": _number(given.position),
        "size_mm": _number(given.size),
        "depth_mm": _number(given.depth),
        "flip_mm": _number(given.flip),
    }


def _extent(region: Region) -> Data:
    if not region:
        return {"area_mm2": 0.0, "length_mm": 0.0, "box_mm": None}
    return {
        "area_mm2": _number(area(region)),
        "length_mm": _number(length(region)),
        "box_mm": [_number(v) for v in bounds(region)],
    }


def _part(part: Part, work: Work) -> Data:
    volume = volume_mm3(part)
    material = part.material
    return {
        "name": part.name,
        "thickness_mm": _number(part.thickness_mm),
        "profile": _extent(part.profile),
        "corner_radius_mm": _corner(part.profile),
        "rim_break_mm": _number(part.rim_break_mm),
        "seat_z_mm": _number(part.seat_z_mm),
        "volume_mm3": _number(volume),
        "mass_g": _number(volume / MM3_PER_M3 * material.density_kg_m3 * GRAMS_PER_KG),
        "centre_of_mass_mm": [_number(v) for v in centre_of_mass(part)],
        "material": {
            "name": material.name,
            "density_kg_m3": material.density_kg_m3,
            "cte_per_k": material.cte_per_k,
            "youngs_gpa": material.youngs_gpa,
            "proof_mpa": material.proof_mpa,
            "colour": material.colour,
            "provenance": material.provenance,
            "note": material.note,
        },
        "gap": _gap(part, work),
        "fills": [_fill(f, f.fill) for f in part.features if f.fill],
        "features": [_feature(row, f) for row, f in zip(feature_rows(part), part.features, strict=True)],
    }


def _corner(region: Region) -> float | None:
    """Return the smallest radius of the corners of an outline or pocket; None for none."""
    found = inside_radius(region)
    return None if found is None else _number(found[0])


def _gap(part: Part, work: Work) -> Data | None:
    """Return the gap between an insert and its pocket with its source; None for the cover or without a recipe."""
    inlay = work.recipe.inlays.get(part.name.removeprefix("insert-")) if work.recipe else None
    if inlay is None or part.name == "cover":
        return None
    gap = gap_of(inlay)
    fit = None if inlay.gap is not None else inlay.fit
    return {"fit": fit, "gap_mm": _number(gap.value), "source": gap.source, "provenance": gap.provenance}


def _fill(feature: Feature, fill: Fill) -> Data:
    """Return what an engraving is filled with, and how much of it that takes."""
    taken = _number(area(feature.region) * feature.depth_mm)
    return {"feature": feature.name, "name": fill.name, "colour": fill.colour, "volume_mm3": taken}


def _feature(row: FeatureRow, feature: Feature) -> Data:
    return {
        "name": row.name,
        "layer": row.layer,
        "face": row.face.value,
        "shape": row.shape,
        "depth_mm": _number(row.depth_mm),
        "floor_left_mm": None if row.shape == "through" else _number(row.floor_mm),
        "width_mm": _number(row.width_mm),
        "height_mm": _number(row.height_mm),
        "diameter_mm": _number(row.diameter_mm) or None,
        "corner_radius_mm": None if row.diameter_mm else _corner(feature.region),
        "area_mm2": _number(row.area_mm2),
        "at_mm": [_number(v) for v in row.centre],
    }


def _blank(plan: Plan) -> Data:
    blank = plan.blank
    return {
        **_extent(blank.region),
        "thickness_mm": _number(blank.thickness_mm),
        "dowel_mm": _number(blank.dowel_mm) if blank.dowel_holes else None,
        "dowels_at_mm": [[_number(v) for v in bounds(c).centre] for c in blank.dowel_holes],
        "flip_axis": {"direction": plan.flip.direction, "at_mm": _number(plan.flip.at_mm)},
    }


def _bolt(plan: Plan, index: int) -> Data:
    bolt = plan.bolts[index]
    return {
        "name": bolt.name,
        "at_mm": [_number(bolt.at[0]), _number(bolt.at[1])],
        "hole_mm": _number(bolt.hole_mm),
        "hole_source": bolt.source,
        "thread": bolt.thread or None,
        "screw": bolt.screw or None,
    }


def _layer(file: str, dxf_name: str, layer: Layer, files: Files) -> Data:
    return {
        "name": layer.name,
        "part": layer.part,
        "face": layer.face.value,
        "mirrored": layer.face is Face.BOTTOM,
        "from_mm": _number(layer.top_mm),
        "to_mm": _number(layer.bottom_mm),
        "contours": len(layer.region),
        "area_mm2": _number(area(layer.region)),
        "note": layer.note,
        "dxf_layer": dxf_name,
        "file": file if file in files else None,
    }


def _checks(work: Work) -> Data:
    return {
        "passed": [o.check for o in work.outcomes if not o.findings and not o.crash],
        "found": [o.check for o in work.outcomes if o.findings],
        "crashed": [{"check": o.check, "crash": o.crash} for o in work.outcomes if o.crash],
    }


def _findings(work: Work) -> list[Data]:
    """Return all findings, the most serious first."""
    order = list(Severity)
    found = [f for o in work.outcomes for f in o.findings]
    return [_finding(f) for f in sorted(found, key=lambda f: order.index(f.severity))]


def _finding(f: Finding) -> Data:
    return {
        "check": f.check,
        "code": f.code,
        "severity": f.severity.value,
        "message": f.message,
        "feature": f.feature or None,
        "at_mm": [_number(v) for v in f.point_mm] if f.point_mm else None,
        "face": f.face or None,
        "figure": None if f.figure is None else _number(f.figure),
        "limit": None if f.limit is None else _number(f.limit),
        "unit": f.unit or None,
        "source": f.source or None,
        "remedy": f.remedy or None,
        "path": f.path or None,
    }


def _proof(proof: Proof) -> Data:
    """Return a proof; its deviation to three digits, for what lies below is rounding of the arithmetic."""
    return {
        "what": proof.what,
        "feature": proof.feature,
        "deviation": float(f"{proof.deviation:.3g}"),
        "limit": proof.limit,
        "unit": proof.unit,
        "holds": proof.holds,
    }
