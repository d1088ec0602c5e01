"""Is anything drawn finer than the cutter that its corners were made for?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from math import ceil

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.frozen_record import frozen_record
from generator.base.practice import FINE_END_MILLS_MM, GEOMETRY, STANDARD_END_MILLS_MM
from generator.checks.check import NOISE, Check, no_more
from generator.outline.chords import inner_point
from generator.outline.combine import difference
from generator.outline.contour import Contour, Point
from generator.outline.measure import area, bounds, signed_area
from generator.outline.predicates import Side, contains_points
from generator.outline.reach import largest_cutter
from generator.outline.region import Region
from generator.outline.separate import separated
from generator.outline.transform import scaled
from generator.part.corners import cut_by, mated
from generator.part.inlays import gap_of
from generator.part.part import Feature, Plan
from generator.recipe.model import Recipe

ID = "finer-than-cutter"
TRACE = 0.0005
"""Less than this share is corners that nobody sees."""
PERCENT = 100.0
SOLD_MM = (*STANDARD_END_MILLS_MM, *FINE_END_MILLS_MM)
FINEST_MM = SOLD_MM[-1]
MOST_HALVINGS = 14
POCKET_HALVINGS = 3
STEP = 100.0
"""Diameters are told in hundredths of a millimetre."""
REMEMBERED = 128
MOST_TRIED = 4_000
"""Lines and arcs of a drawing for which other cutters are tried, some seconds' work (chosen)."""


@frozen_record
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


@frozen_record
class _Judged:
    """A feature, and what it is held against.

    Attributes:
        feature: with its corners made for a cutter.
        tool: name of the tool that the recipe gives it; empty for the smallest end mill.
        seen: loss that is worth a warning, % of the area.
        gap_mm: the gap between an inlay pocket and its insert; None for anything else.
        mills: names and diameters of the end mills in the recipe, the largest first.
    """

    feature: Feature
    tool: str
    seen: Figure
    gap_mm: float | None
    mills: tuple[tuple[str, float], ...]

    @property
    def even_gap_mm(self) -> float:
        """Return the gap whose radius the pocket's corners have because it is wider than the cutter's; else 0, mm."""
        gap = self.gap_mm or 0.0
        return gap if 2.0 * gap > self.feature.cutter_mm else 0.0

    @property
    def size(self) -> int:
        """Return of how many lines and arcs the drawing is made."""
        return sum(len(c) for c in self.feature.asked)

    @property
    def most_tried(self) -> int:
        """Return the size up to which other cutters are tried: an inlay pocket takes many times as long as a cut."""
        return MOST_TRIED // 4 if self.gap_mm is not None else MOST_TRIED

    @property
    def is_tried(self) -> bool:
        """Return True if other cutters are tried."""
        return self.size <= self.most_tried

    def made(self, diameter_mm: float) -> Region:
        """Return what an end mill would make of the drawing."""
        if self.gap_mm is not None:
            return mated(self.feature.asked, diameter_mm / 2.0, self.gap_mm)
        return cut_by(self.feature.asked, diameter_mm / 2.0)

    def lost(self, diameter_mm: float) -> float | None:
        """Return what an end mill would lose or fill, % of the area; None where pieces go or run together."""
        return _lost(self, diameter_mm)

    def would_do(self, diameter_mm: float) -> bool:
        """Return True if an end mill would lose no piece, and no more than is seen."""
        lost = self.lost(diameter_mm)
        return lost is not None and lost <= self.seen.value


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``nothing-left``, ``piece-lost``, ``thinned`` and ``corners-rounded`` for what corners were made of."""
    for part in plan.parts:
        for feature in part.features:
            if feature.asked and feature.cutter_mm > 0.0:
                yield from _feature(_judged(recipe, feature))


def _judged(recipe: Recipe, feature: Feature) -> _Judged:
    """Return the feature with what the recipe says of its cutter and gap."""
    seen = recipe.limits.cutting.artwork_lost
    keys = feature.path.split(".")
    ends = ((n, t.diameter) for n, t in recipe.tools.items() if t.kind == "end mill")
    mills = tuple(sorted(ends, key=lambda m: -m[1]))
    if keys[0] == "cover":
        return _Judged(feature, recipe.cover.engravings[keys[2]].cutter, seen, None, mills)
    inlay = recipe.inlays[keys[1]]
    if len(keys) > 2:
        return _Judged(feature, inlay.artwork[keys[3]].cutter, seen, None, mills)
    return _Judged(feature, inlay.cutter, seen, gap_of(inlay).value, mills)


def _feature(judged: _Judged) -> Iterator[Finding]:
    feature, gap_mm = judged.feature, judged.even_gap_mm
    cutter = feature.cutter_mm
    whose = f"the gap of {gap_mm:g} mm, to keep it even" if gap_mm else f"the end mill of {cutter:g} mm"
    if feature.region == feature.asked:
        message = (
            f"an end mill of {cutter:g} mm cuts nothing of {feature.name}, {area(feature.asked):.2f} mm²: it is "
            f"narrower everywhere; {_finest(judged)}"
        )
        yield _finding(judged, "nothing-left", Severity.FORBIDS, message, PERCENT, feature.asked)
        return
    loss = _loss(feature.asked, feature.region)
    percent = PERCENT * max(loss.share, loss.filled)
    what = "loses" if loss.share >= loss.filled else "is filled by"
    much = f"{what} {area(loss.changed):.2f} mm², {percent:.3g} % of its area,"
    if loss.torn:
        message = (
            f"{feature.name} {much} to the end mill of {cutter:g} mm: pieces go, fall apart or run together"
            f"{_where(loss.changed)}; {_finest(judged)}"
        )
        yield _finding(judged, "piece-lost", Severity.FORBIDS, message, percent, loss.changed)
    elif percent > judged.seen.value:
        says = _narrower(feature) if gap_mm else _finest(judged)
        message = f"{feature.name} {much} to the corners of {whose}{_where(loss.changed)}; {says}"
        yield _finding(judged, "thinned", Severity.WARNS, message, percent, loss.changed)
    elif max(loss.share, loss.filled) > TRACE:
        says = _narrower(feature) if gap_mm else _largest(feature)
        message = f"corners of {feature.name} are rounded for {whose}: {percent:.2f} % of its area; {says}"
        yield _finding(judged, "corners-rounded", Severity.NOTES, message, percent, loss.changed)


def _loss(asked: Region, made: Region) -> _Loss:
    """Return what was lost."""
    whole = area(asked)
    lost, filled = difference(asked, made), difference(made, asked)
    share, more = area(lost) / whole, area(filled) / whole
    return _Loss(share, more, _torn(asked, made), lost if lost and share >= more else filled or lost)


def _torn(asked: Region, made: Region) -> bool:
    """Return True if pieces or holes went, fell apart or ran together.

    Numbers alone do not tell: a letter may fall in two where a dot goes. So no two pieces may have been one.
    """
    outers = sorted((c for c in asked if signed_area(c) > 0.0), key=signed_area)
    pieces = separated(made)
    if len(asked) != len(made) or len(outers) != len(pieces):
        return True
    points = [p for piece in pieces if (p := inner_point(piece)) is not None] if len(outers) > 1 else []
    sides = [contains_points(c, points) for c in outers] if points else []
    homes = [next((k for k, at in enumerate(sides) if at[i] is Side.INSIDE), None) for i in range(len(points))]
    return None not in homes and len(set(homes)) < len(homes)


def _finding(judged: _Judged, code: str, severity: Severity, message: str, percent: float, changed: Region) -> Finding:
    feature, seen = judged.feature, judged.seen
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature=feature.name,
        point_mm=_worst_place(changed),
        face="top",
        figure=percent,
        limit=0.0 if severity is Severity.FORBIDS else seen.value,
        unit=seen.unit,
        source=GEOMETRY if severity is Severity.FORBIDS else seen.told_source,
        remedy=_remedy(judged, severity),
        path=f"{feature.path}.outline",
    )


def _pieces(changed: Region) -> list[Contour]:
    """Return the places that are not as drawn, the largest first."""
    return sorted((c for c in changed if signed_area(c) > 0.0), key=signed_area, reverse=True)


def _worst_place(changed: Region) -> Point | None:
    """Return the middle of the largest place that is not as drawn."""
    pieces = _pieces(changed)
    return bounds(pieces[0]).centre if pieces else None


def _where(changed: Region) -> str:
    """Return in words how many places are not as drawn, and the largest."""
    pieces = _pieces(changed)
    if not pieces:
        return ""
    x, y = bounds(pieces[0]).centre
    largest = f"{signed_area(pieces[0]):.2f} mm², at ({x:z.2f}, {y:z.2f})"
    return f", the largest of {len(pieces)} places {largest}" if len(pieces) > 1 else f", {largest}"


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


@lru_cache(maxsize=REMEMBERED)
def _lost(judged: _Judged, diameter_mm: float) -> float | None:
    """Return what an end mill would lose or fill, % of the area; None where pieces go or run together."""
    made = judged.made(diameter_mm)
    loss = _loss(judged.feature.asked, made)
    return None if loss.torn or not made else PERCENT * max(loss.share, loss.filled)


@lru_cache(maxsize=REMEMBERED)
def _largest_that_would_do(judged: _Judged) -> float:
    """Return the diameter of the largest end mill that loses no more than is seen, in hundredths; 0 if none does.

    An inlay pocket takes many times as long to make as a plain cut: the plain cut, which loses no more, bounds it, and
    it is halved a few times only below that.
    """
    if not judged.is_tried:
        return 0.0
    if judged.gap_mm is None:
        return _halved(judged, FINEST_MM, judged.feature.cutter_mm, MOST_HALVINGS)
    bound = _largest_that_would_do(replace(judged, gap_mm=None))
    if bound == 0.0 or judged.would_do(bound):
        return bound
    good = next((d for d in SOLD_MM if d < bound and judged.would_do(d)), FINEST_MM)
    return _halved(judged, good, bound, POCKET_HALVINGS)


def _halved(judged: _Judged, good_mm: float, bad_mm: float, halvings: int) -> float:
    """Return the largest diameter that would do, from one that may and one that does not; 0 if none does."""
    low, high = round(good_mm * STEP), ceil(bad_mm * STEP - NOISE)
    if low >= high or not judged.would_do(low / STEP):
        return 0.0
    for _ in range(halvings):
        if high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if judged.would_do(middle / STEP) else (low, middle)
    return low / STEP


def _sold(judged: _Judged) -> float:
    """Return the largest diameter commonly sold that would do, mm; 0 if none does."""
    largest = _largest_that_would_do(judged)
    return next((d for d in SOLD_MM if d <= largest + NOISE and judged.would_do(d)), 0.0)


def _finest(judged: _Judged) -> str:
    """Return in words the largest end mill that would do, the next one sold, and what that one loses."""
    if not judged.is_tried:
        return f"it is too much to try other cutters: {judged.size} lines and arcs, at most {judged.most_tried}"
    largest, sold = _largest_that_would_do(judged), _sold(judged)
    if not sold:
        lost = judged.lost(FINEST_MM)
        least = f"loses {lost:.3g} %" if lost is not None else "loses pieces"
        return f"even an end mill of {FINEST_MM:g} mm {least}"
    told = f"the largest end mill that loses no more than {judged.seen.value:g} % has {largest:g} mm"
    return f"{told}; one of {sold:g} mm is sold and loses {judged.lost(sold) or 0.0:.2g} %"


def _remedy(judged: _Judged, severity: Severity) -> str:
    """Return the edit: a finer cutter of a common diameter that loses little, or sharp corners finished by hand."""
    feature = judged.feature
    if judged.even_gap_mm and severity is not Severity.FORBIDS:
        return f"set {feature.path}.gap to at most {no_more(feature.cutter_mm / 2.0)}, or leave it"
    if severity is Severity.NOTES:
        return f"leave it, or set {feature.path}.corners to `as drawn` and finish corners by hand to 0 mm"
    sold = _sold(judged)
    if not sold:
        return f"draw {feature.path}.outline larger, its corners rounded by {feature.cutter_mm / 2.0:g} mm"
    largest = _largest_that_would_do(judged)
    at_hand = next((n for n, d in judged.mills if d <= largest + NOISE and judged.would_do(d)), "")
    if at_hand:
        cutter = f"set {feature.path}.cutter to {at_hand}"
    elif judged.tool and judged.mills and judged.tool == judged.mills[-1][0]:
        cutter = f"set tools.{judged.tool}.diameter to {sold:g} mm"
    else:
        cutter = f"add an end mill of {sold:g} mm to tools and name it in {feature.path}.cutter"
    return cutter + _larger(judged)


def _larger(judged: _Judged) -> str:
    """Return how much larger the drawing would have to be for the cutter at hand, tried; empty if that is not enough.

    What a cutter loses does not change if drawing and cutter are scaled alike; an inlay's gap stays as it is, so that
    nothing is said of pockets.
    """
    feature = judged.feature
    if judged.gap_mm is not None:
        return ""
    factor = ceil(feature.cutter_mm / _largest_that_would_do(judged) * STEP - NOISE) / STEP
    larger = replace(judged, feature=replace(feature, asked=scaled(feature.asked, factor)))
    if not larger.would_do(feature.cutter_mm):
        return ""
    box = bounds(larger.feature.asked)
    return f", or draw it {factor:g} times as large, {box.width_mm:.1f} x {box.height_mm:.1f} mm"


CHECK = Check(
    ID,
    "artwork no finer than its cutter",
    "A round cutter cannot enter a stroke narrower than itself and rounds every inside corner: fine letters come out "
    "blunt, or not at all.",
    GEOMETRY,
    run,
    limits=("cutting.artwork_lost",),
)
