"""Can the cutters at hand reach into the corners of every pocket?"""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, pi

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY, STANDARD_END_MILLS_MM
from generator.checks.check import Check, no_less
from generator.outline.carrier import tangents
from generator.outline.contour import Contour, Point
from generator.outline.measure import area, bounds, length, signed_area
from generator.outline.offset import offset_region
from generator.outline.opening import opening, residue
from generator.outline.predicates import contains_region
from generator.outline.region import Region
from generator.part.part import Feature, Plan
from generator.part.relation import disc_of
from generator.recipe.model import Recipe

ID = "inside-corners"
TRACE_MM2 = 1e-3
"""Smaller areas left uncut are rounding."""
SHARP_RAD = 1e-3
"""Corners that turn by less are smooth for a cutter."""
CUT_LAYERS = ("bottom-pocket", "inlay-pocket", "openings", "outer-profile")


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``does-not-fit``, ``uncut``, ``blocks-original`` and, without end mills, ``no-end-mill``."""
    mills = sorted(d for _, d in plan.tool_diameters)
    if not mills:
        yield Finding(
            check=ID,
            code="no-end-mill",
            severity=Severity.NOTES,
            message="no end mill is named: inside corners were not held against a cutter",
            source=GEOMETRY,
            remedy="add tools.finishing with kind: end mill and diameter: 3 mm",
            path="tools",
        )
        return
    for feature in plan.cover.features:
        if feature.layer.startswith(CUT_LAYERS) and disc_of(feature.region) is None:
            yield from _judge(recipe, plan, feature, mills[0])


def _judge(recipe: Recipe, plan: Plan, feature: Feature, cutter_mm: float) -> Iterator[Finding]:
    """Yield what the smallest cutter leaves of one feature."""
    if _is_roomy(feature.region, cutter_mm):
        return
    left = residue(feature.region, cutter_mm / 2.0)
    lost = area(left)
    if lost <= TRACE_MM2:
        return
    nothing = lost >= area(feature.region) - TRACE_MM2
    fits = _largest_that_does(feature.region, cutter_mm)
    does = f"the largest that would do: {fits:g} mm" if fits else "no round cutter leaves a sharp corner"
    place = bounds(Region(left.contours[:1])).centre
    code = "does-not-fit" if nothing else "uncut"
    message = "does not fit into" if nothing else f"leaves {lost:.3f} mm² uncut in"
    yield _finding(
        feature,
        code,
        f"the smallest end mill, {cutter_mm:g} mm, {message} {feature.name}; {does}",
        lost,
        place,
        _remedy(feature, cutter_mm, fits),
        Severity.FORBIDS if nothing else Severity.WARNS,
    )
    if feature.name == "bottom-pocket" and not nothing:
        cut = opening(feature.region, cutter_mm / 2.0)
        if not contains_region(cut, plan.footprint):
            gap = no_less(max(recipe.clearance.around, cutter_mm / 2.0))
            remedy = f"set clearance.around to at least {gap}, or {_rounding(feature, cutter_mm)}"
            yield _finding(
                feature,
                "blocks-original",
                f"what a {cutter_mm:g} mm end mill leaves in the corners of the "
                "bottom pocket stands where the original is",
                lost,
                place,
                remedy,
                Severity.WARNS,
            )


def _is_roomy(region: Region, cutter_mm: float) -> bool:
    """Return True if a round cutter reaches every corner.

    Offset inward by r, a region of area A, boundary length L and Euler number χ (outlines less holes) has the area
    A - L r + π χ r² (Steiner) exactly as long as nothing of it is too narrow or too sharp, and more otherwise.
    """
    r = cutter_mm / 2.0
    euler = sum(1 if signed_area(c) > 0.0 else -1 for c in region)
    smooth = area(region) - length(region) * r + pi * euler * r * r
    return smooth > 0.0 and abs(area(offset_region(region, -r)) - smooth) <= TRACE_MM2


def _largest_that_does(region: Region, below_mm: float) -> float:
    """Return the largest commonly stocked end mill that leaves nothing; 0 if there is none."""
    if _has_sharp_corner(region):
        return 0.0
    for diameter in STANDARD_END_MILLS_MM:
        if diameter < below_mm and _is_roomy(region, diameter):
            return diameter
    return 0.0


def _has_sharp_corner(region: Region) -> bool:
    """Return True if two segments meet in a corner that a round cutter cannot reach."""
    return any(turn > SHARP_RAD for contour in region for turn in _turns(contour))


def _turns(contour: Contour) -> Iterator[float]:
    """Yield the angle turned at every vertex, radians: positive where the region has an outside corner."""
    directions = [tangents(s) for s in contour.segments() if s.chord_mm > 0.0]
    for (_, end), (start, _) in zip(directions, directions[1:] + directions[:1], strict=True):
        yield atan2(end.x * start.y - end.y * start.x, end.x * start.x + end.y * start.y)


def _remedy(feature: Feature, cutter_mm: float, fits: float) -> str:
    """Return the edits that let the corners be cut: rounder ones if the outline has room for them, a smaller cutter."""
    box = bounds(feature.region)
    tool = f"add an end mill of {fits:g} mm to tools" if fits else ""
    rounding = _rounding(feature, cutter_mm) if cutter_mm < min(box.width_mm, box.height_mm) else ""
    return ", or ".join(e for e in (rounding, tool) if e) or f"make {feature.path} wider than {cutter_mm:g} mm"


def _rounding(feature: Feature, cutter_mm: float) -> str:
    """Return the edit that rounds the feature's outline as far as the cutter needs."""
    path = {"bottom-pocket": "original.footprint"}.get(feature.name, f"{feature.path}.outline")
    return f"set {path}.round_corners to at least {no_less(cutter_mm / 2.0)}"


def _finding(
    feature: Feature, code: str, message: str, lost: float, at: Point, remedy: str, severity: Severity
) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature=feature.name,
        point_mm=at,
        face=feature.face.value,
        figure=lost,
        limit=TRACE_MM2,
        unit="mm²",
        source=GEOMETRY,
        remedy=remedy,
        path=feature.path,
    )


CHECK = Check(
    ID,
    "inside corners against the cutters",
    "A round cutter leaves its radius in every inside corner: an original or an insert with a sharper corner then does "
    "not go in.",
    GEOMETRY,
    run,
)
