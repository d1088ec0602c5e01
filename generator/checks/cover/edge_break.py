"""Can the edge break go all round the rim?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from generator.base.errors import GeometryError
from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.units import MODEL
from generator.checks.check import Check, no_more
from generator.outline.contour import Point
from generator.outline.measure import bounds, signed_area
from generator.outline.opening import residue
from generator.outline.region import EMPTY, Region
from generator.part.nearness import growth_to_cover, thin_walls, widest
from generator.part.part import Part, Plan
from generator.part.relation import covers
from generator.part.section import profile_at
from generator.part.tapers import rim_fault
from generator.recipe.model import Recipe

ID = "edge-break"
PATH = "cover.edge_break"
HALVINGS = 7
"""Steps in the search for an edge break that fits: to a hundredth of the one that does not."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield what keeps the edge break from going all round.

    Codes: ``as-deep-as-stock``, ``rim-changes``, ``rim-too-narrow``, ``meets-feature``, ``narrow-land``,
    ``pinched-corner``.
    """
    cover = plan.cover
    size = cover.rim_break_mm
    if size <= 0.0:
        return
    if size >= cover.thickness_mm:
        message = f"an edge break of {size:g} mm in stock of {cover.thickness_mm:g} mm leaves no edge"
        yield _finding("as-deep-as-stock", message, size, cover.thickness_mm, cover.thickness_mm / 2.0)
        return
    rim = _rim(cover)
    if len(rim) != len(cover.profile):
        message = f"an edge break of {size:g} mm is wider than the narrowest part of the rim allows"
        fits = _widest_that_fits(cover)
        yield _finding("rim-changes", message, size, fits, fits, at=_neck(cover.profile, size))
        return
    narrow = rim_fault(cover, size)
    if narrow is not None:
        message = f"the rim is too narrow for an edge break of {size:g} mm: two sides meet under the chamfer"
        fits = _widest_that_fits(cover)
        yield _finding(
            "rim-too-narrow",
            message,
            size,
            fits,
            fits,
            at=Point(*narrow.point_mm) if narrow.point_mm else None,
        )
    yield from _features(cover, rim, recipe.limits.walls.rim_land)
    yield from _corners(cover)


def _rim(cover: Part) -> Region:
    """Return the outline at the top face; empty if nothing is left or it cannot be made."""
    try:
        return profile_at(cover, cover.thickness_mm)
    except GeometryError:
        return EMPTY


def _neck(profile: Region, break_mm: float) -> Point:
    """Return the middle of the largest piece of the outline that is narrower than two edge breaks."""
    try:
        narrow = [c for c in residue(profile, break_mm) if signed_area(c) > 0.0]
    except GeometryError:
        narrow = []
    return bounds(max(narrow, key=signed_area)).centre if narrow else bounds(profile).centre


def _widest_that_fits(cover: Part) -> float:
    """Return an edge break that the rim has room for, mm, by halving."""
    low, high = 0.0, cover.rim_break_mm
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if _fits(cover, middle) else (low, middle)
    return low


def _fits(cover: Part, break_mm: float) -> bool:
    """Return True if an edge break goes all round, and the rim keeps its pieces and holes."""
    same = len(_rim(replace(cover, rim_break_mm=break_mm))) == len(cover.profile)
    return same and rim_fault(cover, break_mm) is None


def _features(cover: Part, rim: Region, land: Figure) -> Iterator[Finding]:
    """Yield findings about what the edge break meets; what leaves the outline altogether is told by other checks."""
    low = cover.thickness_mm - cover.rim_break_mm
    upper = [f for f in cover.features if f.z_to_mm > low and f.z_from_mm < cover.thickness_mm]
    for near in thin_walls(rim, upper, land.value):
        if near.meets and not covers(cover.profile, widest(near.first)):
            continue
        meets = near.meets or near.gap_mm <= 0.0
        left = -growth_to_cover(rim, widest(near.first)) if meets else near.gap_mm
        told = "runs into" if meets else f"leaves a land of only {left:.3f} mm beside"
        yield _finding(
            "meets-feature" if meets else "narrow-land",
            f"the edge break of {cover.rim_break_mm:g} mm {told} {near.first.name}",
            left,
            0.0 if meets else land.value,
            _break_that_clears(cover, near.first.name, land, upper_limit=cover.rim_break_mm),
            at=near.at,
            feature=near.first.name,
            severity=Severity.FORBIDS if meets else Severity.WARNS,
            source=GEOMETRY if meets else land.told_source,
        )


def _break_that_clears(cover: Part, name: str, land: Figure, *, upper_limit: float) -> float:
    """Return the edge break that leaves a land beside a feature, mm."""
    feature = [f for f in cover.features if f.name == name]
    near = next(iter(thin_walls(cover.profile, feature, upper_limit + land.value)), None)
    return max(0.0, near.gap_mm - land.value) if near else upper_limit


def _corners(cover: Part) -> Iterator[Finding]:
    """Yield a note if an outside corner is rounded by less than the edge break: its rounding ends in a point."""
    tightest, at = _tightest_corner(cover.profile)
    if 0.0 < tightest < cover.rim_break_mm - MODEL.same_mm:
        yield _finding(
            "pinched-corner",
            f"an outside corner of radius {tightest:.3f} mm comes to a point under an edge break of "
            f"{cover.rim_break_mm:g} mm",
            cover.rim_break_mm,
            tightest,
            tightest,
            at=at,
            severity=Severity.NOTES,
        )


def _tightest_corner(profile: Region) -> tuple[float, Point]:
    """Return radius and place of the smallest arc that bulges outward (0 if there is none), mm."""
    arcs = [(s.radius_mm, s.start) for c in profile for s in c.segments() if s.bulge > 0.0]
    return min(arcs, default=(0.0, Point(0.0, 0.0)))


def _finding(
    code: str,
    message: str,
    figure: float,
    limit: float | None,
    to_mm: float,
    *,
    at: Point | None = None,
    feature: str = "edge-break",
    severity: Severity = Severity.FORBIDS,
    source: str = GEOMETRY,
) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature=feature,
        point_mm=at,
        face="top",
        figure=figure,
        limit=limit,
        unit="mm",
        source=source,
        remedy=f"set {PATH} to at most {no_more(to_mm)}",
        path=PATH,
    )


CHECK = Check(
    ID,
    "edge break round the rim",
    "A chamfer that runs into a seat, an inlay or an opening leaves a knife edge or a gap in the rim.",
    GEOMETRY,
    run,
    limits=("walls.rim_land",),
)
