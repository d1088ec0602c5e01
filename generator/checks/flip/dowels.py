"""Do the dowels register the blank, and is a wrong flip noticed?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from math import dist, pi

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.checks.check import NOISE, Check, no_less
from generator.estimate.flip import play_mm, same_from_below
from generator.estimate.holding import outline_of
from generator.outline.contour import Point
from generator.outline.distance import point_distance
from generator.outline.measure import Bounds, bounds
from generator.outline.predicates import Side, contains_point
from generator.outline.region import Region
from generator.part.nearness import growth_to_cover, near_features, web_mm
from generator.part.part import Plan
from generator.part.relation import covers, meets
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels
from generator.recipe.model_limits import Limits
from generator.recipe.model_tools import Tool

ID = "dowels"
Mills = tuple[tuple[str, Tool], ...]
"""End mills that can go round the part, the one in use first."""
ON_AXIS_MM = 1e-6
"""A dowel hole nearer to the flip axis than this lies on it."""
ROUNDING_MM = 0.01
"""Positions in remedies have two decimals."""
GOES_ON_MM = 0.1
"""Pins do not go into holes that lie off by more than this and their play (our own choice)."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield findings about dowel holes.

    Of their place: ``off-axis``, ``out-of-blank``, ``in-part``, ``in-the-way``, ``needs-smaller``, ``near-part``,
    ``out-of-part``, ``overlap``, ``meets-feature``, ``near-feature``; of their pattern: ``too-close``, ``turnable``.
    """
    dowels = recipe.dowels
    if not isinstance(dowels, Dowels) or not plan.blank.dowel_holes:
        return
    outline = outline_of(recipe, plan)
    for finding in _all(recipe.limits, dowels, plan, outline.reaching or outline.mills if outline else ()):
        yield finding if finding.remedy else replace(finding, remedy=_remedy(dowels, finding.path))


def _all(limits: Limits, dowels: Dowels, plan: Plan, mills: Mills) -> Iterator[Finding]:
    """Yield the findings, those without a remedy of their own for :func:`_remedy`."""
    holes = [Region((c,)) for c in plan.blank.dowel_holes]
    for hole in holes:
        yield from _place(limits, dowels, plan, hole, mills)
    yield from _overlaps(holes)
    yield from _inside_clashes(limits, plan)
    yield from _pattern(limits, dowels, plan, holes)


def _remedy(dowels: Dowels, path: str) -> str:
    """Return the change of the recipe that mends a finding about what stands at ``path``.

    Positions may only be left out where dowels lie outside the part: inside it there are none to fall back on.
    """
    if path == "cover.stock.margin":
        return "set cover.stock.margin larger, or dowels.diameter smaller"
    if dowels.place == "inside":
        return "set dowels.place to outside and leave dowels.at out, or choose other positions inside the part"
    return "leave dowels.at out: then one dowel lies beyond each end, clear of the part"


def _place(limits: Limits, dowels: Dowels, plan: Plan, hole: Region, mills: Mills) -> Iterator[Finding]:
    """Yield ``off-axis``, ``out-of-blank``, ``in-part``, ``near-part``, ``out-of-part`` or what the cutter does."""
    at = bounds(hole).centre
    profile, radius = plan.cover.profile, plan.blank.dowel_mm / 2.0
    off = abs((at.x if plan.flip.direction == "y" else at.y) - plan.flip.at_mm)
    if off > ON_AXIS_MM:
        yield _finding("off-axis", f"a dowel hole lies {off:g} mm beside the flip axis", at, off, 0.0, "dowels.at")
    if not covers(plan.blank.region, hole):
        yield _finding("out-of-blank", "a dowel hole reaches over the blank's edge", at, 0.0, 0.0, "cover.stock.margin")
    if dowels.place == "inside":
        if not covers(profile, hole):
            yield _finding(
                "out-of-part",
                "a dowel meant to be inside the part is not",
                at,
                -growth_to_cover(profile, hole),
                0.0,
                "dowels.place",
            )
        return
    web, where, over = web_mm(profile, hole)
    if over:
        yield _finding(
            "in-part",
            "a dowel meant to be outside cuts into the finished part",
            at,
            _from_part(profile, at),
            radius,
            "dowels.at",
        )
    elif mills and web < mills[0][1].diameter + limits.walls.thinnest.value - NOISE:
        yield _in_the_way(limits, web, where, mills)
    elif web < limits.walls.sound.value:
        message = f"a dowel hole leaves only {web:.3f} mm to the finished part"
        yield _finding("near-part", message, where, web, limits.walls.sound.value, "dowels.at", Severity.WARNS)


def _in_the_way(limits: Limits, web_mm: float, at: Point, mills: Mills) -> Finding:
    """Return ``in-the-way`` for a pin that every end mill that could go round runs into, or lays bare.

    If a smaller one at hand gets past it, ``needs-smaller``: the one that would be used does not.
    """
    (name, tool), wall = mills[0], limits.walls.thinnest
    past = next((n for n, t in mills if t.diameter + wall.value <= web_mm + NOISE), None)
    left = web_mm - tool.diameter
    does = "runs into its pin" if left <= 0.0 else f"leaves only {left:.3g} mm to its pin"
    message = f"a dowel hole lies {web_mm:.4g} mm from the part; `{name}`, {tool.diameter:g} mm, goes round and {does}"
    limit, source = tool.diameter + wall.value, f"{GEOMETRY}; wall: {wall.told_source}"
    if past is None:
        return _finding("in-the-way", message, at, web_mm, limit, "dowels.at", source=source)
    remedy = f"go round with `{past}` alone, and leave it so; or leave dowels.at out"
    return _finding("needs-smaller", message, at, web_mm, limit, "dowels.at", Severity.WARNS, source, remedy=remedy)


def _from_part(profile: Region, at: Point) -> float:
    """Return how far a dowel's middle lies from the finished part, mm; 0 in it."""
    return 0.0 if contains_point(profile, at) is not Side.OUTSIDE else point_distance(profile, at).distance_mm


def _overlaps(holes: list[Region]) -> Iterator[Finding]:
    """Yield ``overlap`` for dowel holes that run into each other."""
    for a, b in combinations(holes, 2):
        if meets(a, b):
            at = bounds(b).centre
            apart = dist(bounds(a).centre, at) - (bounds(a).width_mm + bounds(b).width_mm) / 2.0
            yield _finding("overlap", "two dowel holes run into each other", at, apart, 0.0, "dowels.at")


def _inside_clashes(limits: Limits, plan: Plan) -> Iterator[Finding]:
    """Yield ``meets-feature`` for dowel holes that run into a bolt hole, seat or opening, else ``near-feature``.

    A hole that is cut into holds no pin.
    """
    features = plan.cover.features
    mine = [f for f in features if f.layer == "dowel-holes"]
    others = [f for f in features if f.layer in ("bolt-holes", "openings") or f.layer.startswith("seats")]
    for near in near_features(mine, others, limits.walls.sound.value):
        if near.meets:
            yield _finding(
                "meets-feature", f"{near.first.name} runs into {near.second}", near.at, 0.0, 0.0, "dowels.at"
            )
            continue
        message = f"{near.first.name} leaves only {near.gap_mm:.3f} mm to {near.second}"
        limit = limits.walls.sound.value
        yield _finding("near-feature", message, near.at, near.gap_mm, limit, "dowels.at", Severity.WARNS)


def _pattern(limits: Limits, dowels: Dowels, plan: Plan, holes: list[Region]) -> Iterator[Finding]:
    """Yield ``too-close`` and ``turnable`` for the dowels together."""
    along = sorted(_along(plan, bounds(h).centre) for h in holes)
    part = bounds(plan.cover.profile)
    span, wanted = along[-1] - along[0], limits.flip.dowel_span.value * _extent(plan, part)
    at = bounds(holes[0]).centre
    if span < wanted:
        message = f"the outermost dowels are only {span:.2f} mm apart on a part {_extent(plan, part):.2f} mm long"
        yield _finding(
            "too-close", message, at, span, wanted, "dowels.at", Severity.WARNS, limits.flip.dowel_span.told_source
        )
    yield from _turnable(limits, dowels, plan, along)


def _turnable(limits: Limits, dowels: Dowels, plan: Plan, along: list[float]) -> Iterator[Finding]:
    """Yield ``turnable`` for a blank that goes onto its pins turned end for end, too little off to be seen.

    Two equal pins always let it: half a turn about their middle swaps them. The blank then lies off by twice the
    distance of that middle from its own. A third pin off the middle keeps it off; a bottom face that is the same after
    that half a turn does not care.
    """
    blank, limit = bounds(plan.blank.region).centre, limits.flip.dowel_asymmetry
    between = (along[0] + along[-1]) / 2.0
    upright = plan.flip.direction == "y"
    about = Point(plan.flip.at_mm, between) if upright else Point(between, plan.flip.at_mm)
    off = 2.0 * dist(about, blank)
    if off >= limit.value - NOISE or not _same_turned(along, dowels) or same_from_below(plan, pi, about):
        return
    yield _finding(
        "turnable",
        f"turned end for end the blank goes onto the pins as well, and lies only {off:.3g} mm off: nobody notices",
        bounds(Region((plan.blank.dowel_holes.contours[0],))).centre,
        off,
        limit.value,
        "dowels.at",
        Severity.WARNS,
        limit.told_source,
        remedy=_unturnable(dowels, along, blank.y if upright else blank.x, limit.value),
    )


def _unturnable(dowels: Dowels, along: list[float], blank_mm: float, wanted_mm: float) -> str:
    """Return the edits: a pin further out, so that a turned blank is seen to lie off; a third, so that it stays off."""
    low, high = along[0], along[-1]
    if dowels.place == "inside":
        need = wanted_mm - abs(low + high - 2.0 * blank_mm)
        return (
            f"set dowels.at with one dowel further from the blank's middle by at least {no_less(need)}, or with a "
            "third one off the middle, which keeps a turned blank off; or leave it and mark one end of the blank"
        )
    sign = 1.0 if low + high >= 2.0 * blank_mm else -1.0
    by = wanted_mm - sign * (low + high - 2.0 * blank_mm) + ROUNDING_MM
    ends = (low, high + by) if sign > 0.0 else (low - by, high)
    third = high + 2.0 * dowels.diameter
    return (
        f"set dowels.at to `{_positions(ends)}`, or set dowels.at to `{_positions((low, high, third))}`: "
        "with three it does not go on turned; or leave it and mark one end of the blank"
    )


def _positions(along: tuple[float, ...]) -> str:
    return "[" + ", ".join(f"{s:z.2f} mm" for s in along) + "]"


def _same_turned(along: list[float], dowels: Dowels) -> bool:
    """Return True if the holes lie over the pins again when turned end for end, within what pins have of play."""
    total = along[0] + along[-1]
    turned = sorted(total - s for s in along)
    within = GOES_ON_MM + (play_mm(dowels) or 0.0)
    return all(abs(a - b) < within for a, b in zip(along, turned, strict=True))


def _along(plan: Plan, at: Point) -> float:
    """Return a point's coordinate along the flip axis."""
    return at.y if plan.flip.direction == "y" else at.x


def _extent(plan: Plan, box: Bounds) -> float:
    """Return a box's length along the flip axis, mm."""
    return box.height_mm if plan.flip.direction == "y" else box.width_mm


def _finding(
    code: str,
    message: str,
    at: Point,
    figure: float,
    limit: float,
    path: str,
    severity: Severity = Severity.FORBIDS,
    source: str = GEOMETRY,
    *,
    remedy: str = "",
) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature="dowel-holes",
        point_mm=at,
        face="bottom",
        figure=figure,
        limit=limit,
        unit="mm",
        source=source,
        remedy=remedy,
        path=path,
    )


CHECK = Check(
    ID,
    "dowels for the flip",
    "An error of the flip axis puts the two faces apart by twice as much. Two equal pins always take a blank that is "
    "turned end for end, too: it has to lie so far off then that somebody sees it.",
    GEOMETRY,
    run,
    formula="turned: twice the distance of the dowels' middle from the blank's",
    limits=("walls.sound", "walls.thinnest", "flip.dowel_span", "flip.dowel_asymmetry"),
)
