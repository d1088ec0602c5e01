"""Is anything drawn finer than the cutter that its corners were made for?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY, STANDARD_END_MILLS_MM
from generator.checks.check import Check, no_more
from generator.outline.combine import difference
from generator.outline.contour import Point
from generator.outline.measure import area, bounds, signed_area
from generator.outline.reach import largest_cutter
from generator.outline.region import Region
from generator.part.corners import cut_by
from generator.part.inlays import gap_of
from generator.part.part import Feature, Plan
from generator.recipe.model import Recipe

ID = "finer-than-cutter"
TRACE = 0.0005
"""Less than this share is corners that nobody sees."""
PERCENT = 100.0


@dataclass(frozen=True)
class _Loss:
    """What corners for the cutter made of a drawn region.

    Attributes:
        share, filled: shares of its area that were lost, and that were filled.
        torn: whether pieces or holes vanished, split or ran together.
        changed: the area that was lost, or what was filled where nothing was.
    """

    share: float
    filled: float
    torn: bool
    changed: Region


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``nothing-left``, ``piece-lost``, ``thinned`` and ``corners-rounded`` for what corners were made of."""
    for part in plan.parts:
        for feature in part.features:
            if feature.asked and feature.cutter_mm > 0.0:
                yield from _feature(recipe.limits.cutting.artwork_lost, feature, _wide_gap_mm(recipe, feature))


def _wide_gap_mm(recipe: Recipe, feature: Feature) -> float:
    """Return the gap whose radius an inlay pocket's corners have because it is wider than the cutter's; else 0, mm."""
    inlay = recipe.inlays.get(feature.layer.removeprefix("inlay-pocket-"))
    if inlay is None or not feature.layer.startswith("inlay-pocket-"):
        return 0.0
    gap = gap_of(inlay).value
    return gap if 2.0 * gap > feature.cutter_mm else 0.0


def _feature(seen: Figure, feature: Feature, gap_mm: float) -> Iterator[Finding]:
    cutter = feature.cutter_mm
    whose = f"the gap of {gap_mm:g} mm, to keep it even" if gap_mm else f"the end mill of {cutter:g} mm"
    if feature.region == feature.asked:
        message = f"an end mill of {cutter:g} mm cuts nothing of {feature.name}: it is narrower everywhere"
        yield _finding(seen, feature, "nothing-left", Severity.FORBIDS, message, PERCENT, feature.asked)
        return
    loss = _loss(feature.asked, feature.region)
    percent = PERCENT * max(loss.share, loss.filled)
    if loss.torn:
        message = f"{feature.name} loses pieces, or they run together: it is finer than the end mill of {cutter:g} mm"
        yield _finding(seen, feature, "piece-lost", Severity.FORBIDS, message, percent, loss.changed)
    elif percent > seen.value:
        what = "loses" if loss.share >= loss.filled else "is filled by"
        message = f"{feature.name} {what} {percent:.1f} % of its area to the corners of {whose}"
        yield _finding(seen, feature, "thinned", Severity.WARNS, message, percent, loss.changed, gap_mm)
    elif max(loss.share, loss.filled) > TRACE:
        message = f"corners of {feature.name} are rounded for {whose}: {percent:.2f} % of its area"
        yield _finding(seen, feature, "corners-rounded", Severity.NOTES, message, percent, loss.changed, gap_mm)


def _loss(asked: Region, made: Region) -> _Loss:
    """Return what was lost; pieces and holes are counted, so that a letter which falls apart counts too."""
    whole = area(asked)
    lost, filled = difference(asked, made), difference(made, asked)
    return _Loss(area(lost) / whole, area(filled) / whole, len(asked) != len(made), lost or filled)


def _finding(
    seen: Figure,
    feature: Feature,
    code: str,
    severity: Severity,
    message: str,
    percent: float,
    changed: Region,
    gap_mm: float = 0.0,
) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=f"{message}; {_narrower(feature) if gap_mm else _largest(feature)}",
        feature=feature.name,
        point_mm=_worst_place(changed),
        face="top",
        figure=percent,
        limit=0.0 if severity is Severity.FORBIDS else seen.value,
        unit=seen.unit,
        source=GEOMETRY if severity is Severity.FORBIDS else seen.told_source,
        remedy=_remedy(seen, feature, severity, gap_mm),
        path=f"{feature.path}.outline",
    )


def _worst_place(changed: Region) -> Point | None:
    """Return the middle of the largest place that is not as drawn."""
    pieces = [c for c in changed if signed_area(c) > 0.0]
    return bounds(max(pieces, key=signed_area)).centre if pieces else None


def _largest(feature: Feature) -> str:
    """Return in words the largest cutter that loses nothing."""
    largest = largest_cutter(feature.asked)
    if largest.radius_mm <= 0.0:
        return "it has sharp inside corners, which no round cutter makes"
    return f"the largest that loses nothing has {2.0 * largest.radius_mm:.3g} mm"


def _narrower(feature: Feature) -> str:
    """Return in words what a narrower gap would lose."""
    share = _loss(feature.asked, cut_by(feature.asked, feature.cutter_mm / 2.0)).share
    return f"the end mill of {feature.cutter_mm:g} mm by itself takes {PERCENT * share:.2f} %"


def _remedy(seen: Figure, feature: Feature, severity: Severity, gap_mm: float = 0.0) -> str:
    """Return the edit: a finer cutter of a common diameter that loses little, or sharp corners finished by hand."""
    if gap_mm:
        return f"set {feature.path}.gap to at most {no_more(feature.cutter_mm / 2.0)}, or leave it"
    if severity is Severity.NOTES:
        return f"leave it, or set {feature.path}.corners to `as drawn` and finish corners by hand to 0 mm"
    finer = _finer(seen, feature)
    if finer is None:
        smaller = STANDARD_END_MILLS_MM[-1]
        return (
            f"make it larger with {feature.path}.outline; even an end mill of {smaller:g} mm loses more than "
            f"{seen.value:g} %"
        )
    return (
        f"name a finer end mill in {feature.path}.cutter, such as tools.fine with diameter: {finer:g} mm, or make "
        f"the drawing {feature.cutter_mm / finer:.2g} times as large"
    )


def _finer(seen: Figure, feature: Feature) -> float | None:
    """Return the largest common end mill that loses less than the share told of, mm; None if none does."""
    for diameter in STANDARD_END_MILLS_MM:
        if diameter >= feature.cutter_mm:
            continue
        made = cut_by(feature.asked, diameter / 2.0)
        whole = area(feature.asked)
        if made and len(made) == len(feature.asked) and PERCENT * (whole - area(made)) <= seen.value * whole:
            return diameter
    return None


CHECK = Check(
    ID,
    "artwork no finer than its cutter",
    "A round cutter cannot enter a stroke narrower than itself and rounds every inside corner: fine letters come out "
    "blunt, or not at all.",
    GEOMETRY,
    run,
    limits=("cutting.artwork_lost",),
)
