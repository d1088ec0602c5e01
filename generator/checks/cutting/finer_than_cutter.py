"""Is anything drawn finer than the cutter that its corners were made for?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import field, replace
from functools import lru_cache
from math import ceil

from generator.base.figures import Figure
from generator.base.finding import Finding, Severity
from generator.base.frozen_record import frozen_record
from generator.base.practice import FINE_END_MILLS_MM, GEOMETRY, STANDARD_END_MILLS_MM
from generator.checks.check import NOISE, Check, no_more
from generator.outline.contour import Contour, Point
from generator.outline.measure import area, bounds, signed_area
from generator.outline.reach import largest_cutter
from generator.outline.region import Region
from generator.outline.transform import scaled
from generator.part.corners import cut_by, mated
from generator.part.cutter_loss import CutterLoss, cutter_loss, share_cut
from generator.part.gap_pieces import is_whole
from generator.part.inlays import gap_of
from generator.part.part import Feature, Plan
from generator.part.redraw import Place, fewer_letters, is_bounded, larger_region, letters_in, place_of
from generator.recipe.model import Recipe

ID = "finer-than-cutter"
TRACE = 0.0005
"""Less than this share is corners that nobody sees."""
PERCENT = 100.0
SOLD_MM = (*STANDARD_END_MILLS_MM, *FINE_END_MILLS_MM)
FINEST_MM = SOLD_MM[-1]
MOST_HALVINGS = 14
POCKET_HALVINGS = 3
FACTORS = (1.0, 1.5, 2.0, 3.0, 5.0)
"""Drawings that even the finest end mill cannot make are tried so many times as large as those that it might."""
STEP = 100.0
"""Diameters are told in hundredths of a millimetre."""
REMEMBERED = 128
MOST_TRIED = 4_000
"""Lines and arcs of a drawing for which other cutters are tried, some seconds' work (chosen)."""


@frozen_record
class _Judged:
    """A feature, and what it is held against.

    Attributes:
        feature: with its corners made for a cutter.
        tool: name of the tool that the recipe gives it; empty for the smallest end mill.
        seen: loss that is worth a warning, % of the area.
        gap_mm: the gap between an inlay pocket and its insert; None for anything else.
        mills: names and diameters of the end mills in the recipe, the largest first.
        place: where it is drawn.
        swallowed: whether that gap takes or parts a piece of the insert: its own check says so.
    """

    feature: Feature
    tool: str
    seen: Figure
    gap_mm: float | None
    mills: tuple[tuple[str, float], ...]
    place: Place = field(compare=False)
    swallowed: bool = False

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

    def of(self, drawn: Region) -> _Judged:
        """Return another drawing, judged alike."""
        return replace(self, feature=replace(self.feature, asked=drawn))

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
                yield from _feature(_judged(recipe, plan, feature))


def _judged(recipe: Recipe, plan: Plan, feature: Feature) -> _Judged:
    """Return the feature with what the recipe says of its cutter and gap."""
    seen = recipe.limits.cutting.artwork_lost
    keys, place = feature.path.split("."), place_of(recipe, plan, feature)
    ends = ((n, t.diameter) for n, t in recipe.tools.items() if t.kind == "end mill")
    mills = tuple(sorted(ends, key=lambda m: -m[1]))
    if keys[0] == "cover":
        return _Judged(feature, recipe.cover.engravings[keys[2]].cutter, seen, None, mills, place)
    inlay = recipe.inlays[keys[1]]
    if len(keys) > 2:
        return _Judged(feature, inlay.artwork[keys[3]].cutter, seen, None, mills, place)
    insert = next(p for p in plan.inserts if p.name == f"insert-{keys[1]}")
    swallowed = not is_whole(feature.region, insert.profile)
    return _Judged(feature, inlay.cutter, seen, gap_of(inlay).value, mills, place, swallowed)


def _feature(judged: _Judged) -> Iterator[Finding]:
    feature, cutter = judged.feature, judged.feature.cutter_mm
    if feature.region == feature.asked:
        message = (
            f"an end mill of {cutter:g} mm cuts nothing of {feature.name}, {area(feature.asked):.2f} mm²: it is "
            f"narrower everywhere; {_finest(judged)}"
        )
        yield _finding(judged, "nothing-left", Severity.FORBIDS, message, PERCENT, feature.asked)
        return
    loss = cutter_loss(feature.asked, feature.region)
    if judged.even_gap_mm and not loss.torn and not judged.swallowed:
        yield from _by_the_gap(judged, loss)
        return
    if judged.even_gap_mm:  # whatever the gap takes is told by its own check: here the cutter alone is judged
        judged = replace(judged, gap_mm=None)
        loss = cutter_loss(feature.asked, judged.made(cutter))
    percent = PERCENT * max(loss.share, loss.filled)
    mill = f"the end mill of {cutter:g} mm"
    if loss.torn:
        says = f"to {mill}: pieces go, fall apart or run together{_where(loss.changed)}; {_finest(judged)}"
        yield _finding(judged, "piece-lost", Severity.FORBIDS, f"{_much(feature, loss)} {says}", percent, loss.changed)
    elif percent > judged.seen.value:
        says = f"to the corners of {mill}{_where(loss.changed)}; {_finest(judged)}"
        yield _finding(judged, "thinned", Severity.WARNS, f"{_much(feature, loss)} {says}", percent, loss.changed)
    elif max(loss.share, loss.filled) > TRACE:
        says = f"corners of {feature.name} are rounded for {mill}: {percent:.2f} % of its area; {_largest(feature)}"
        yield _finding(judged, "corners-rounded", Severity.NOTES, says, percent, loss.changed)


def _by_the_gap(judged: _Judged, loss: CutterLoss) -> Iterator[Finding]:
    """Yield the finding of corners that have the gap's radius because it is wider than the cutter's."""
    feature, percent = judged.feature, PERCENT * max(loss.share, loss.filled)
    gap, alone = f"the gap of {judged.even_gap_mm:g} mm, to keep it even", _narrower(feature)
    if percent > judged.seen.value:
        message = f"{_much(feature, loss)} to the corners of {gap}{_where(loss.changed)}; {alone}"
        yield _finding(judged, "thinned", Severity.WARNS, message, percent, loss.changed)
    elif max(loss.share, loss.filled) > TRACE:
        message = f"corners of {feature.name} are rounded for {gap}: {percent:.2f} % of its area; {alone}"
        yield _finding(judged, "corners-rounded", Severity.NOTES, message, percent, loss.changed)


def _much(feature: Feature, loss: CutterLoss) -> str:
    """Return in words how much of a feature is not as drawn."""
    what = "loses" if loss.share >= loss.filled else "is filled by"
    percent = PERCENT * max(loss.share, loss.filled)
    return f"{feature.name} {what} {area(loss.changed):.2f} mm², {percent:.3g} % of its area,"


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
    share = cutter_loss(feature.asked, cut_by(feature.asked, feature.cutter_mm / 2.0)).share
    return f"the end mill of {feature.cutter_mm:g} mm by itself takes {PERCENT * share:.2f} %"


@lru_cache(maxsize=REMEMBERED)
def _lost(judged: _Judged, diameter_mm: float) -> float | None:
    """Return what an end mill would lose or fill, % of the area; None where pieces go or run together."""
    if judged.gap_mm is None:
        share = share_cut(judged.feature.asked, diameter_mm / 2.0)
        return None if share is None else PERCENT * share
    made = judged.made(diameter_mm)
    loss = cutter_loss(judged.feature.asked, made)
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
    largest = _largest_that_would_do(judged) if judged.is_tried else 0.0
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
        return ", or ".join(_redrawn(judged)) or f"draw {feature.path}.outline larger"
    largest = _largest_that_would_do(judged)
    at_hand = next((n for n, d in judged.mills if d <= largest + NOISE and judged.would_do(d)), "")
    if at_hand:
        cutter = f"set {feature.path}.cutter to {at_hand}"
    elif judged.tool and judged.mills and judged.tool == judged.mills[-1][0]:
        cutter = f"set tools.{judged.tool}.diameter to {sold:g} mm"
    else:
        cutter = f"add an end mill of {sold:g} mm to tools and name it in {feature.path}.cutter"
    return ", or ".join((cutter, *_redrawn(judged)))


def _redrawn(judged: _Judged) -> list[str]:
    """Return how else to draw for the cutter at hand: how much larger, or fewer letters; tried, none if none does.

    What a cutter loses does not change if drawing and cutter are scaled alike; an inlay's gap stays as it is.
    """
    if not judged.is_tried:
        return []
    feature, factor = judged.feature, _factor(judged)
    if not factor:
        return []

    def does(drawn: Region) -> bool:
        return judged.of(drawn).would_do(feature.cutter_mm)

    if is_bounded(judged.place.outline):
        return [*fewer_letters(judged.place, factor, does), *larger_region(judged.place, factor, does)]
    box, room = bounds(feature.asked), bounds(judged.place.room)
    size = f"{box.width_mm * factor:.1f} x {box.height_mm * factor:.1f} mm"
    if box.width_mm * factor > room.width_mm and judged.place.outline.kind == "text":
        letters = letters_in(judged.place, room.width_mm / box.width_mm / factor)
        return [f"draw it {factor:g} times as large and write at most {letters} letters in a line"]
    return [f"draw it {factor:g} times as large, {size}"]


def _factor(judged: _Judged) -> float:
    """Return how much larger the drawing would have to be for the cutter at hand, in hundredths; 0 if none does."""
    cutter, largest = judged.feature.cutter_mm, _largest_that_would_do(judged)

    def does(factor: float) -> bool:
        return judged.of(scaled(judged.feature.asked, factor)).would_do(cutter)

    if judged.gap_mm is not None:
        return 0.0
    if largest:
        factor = ceil(cutter / largest * STEP - NOISE) / STEP
        return factor if does(factor) else 0.0
    low = cutter / FINEST_MM
    good = next((low * f for f in FACTORS if does(low * f)), 0.0)
    if not good:
        return 0.0
    bad = max([low, *(low * f for f in FACTORS if low * f < good)])
    for _ in range(POCKET_HALVINGS):
        middle = (good + bad) / 2.0
        good, bad = (middle, bad) if does(middle) else (good, middle)
    factor = ceil(good * STEP - NOISE) / STEP
    return factor if does(factor) else 0.0


CHECK = Check(
    ID,
    "artwork no finer than its cutter",
    "A round cutter cannot enter a stroke narrower than itself and rounds every inside corner: fine letters come out "
    "blunt, or not at all.",
    GEOMETRY,
    run,
    limits=("cutting.artwork_lost",),
)
