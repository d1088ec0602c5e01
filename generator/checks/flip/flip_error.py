"""How far are the two faces off against each other, and does the wall between them bear it?"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from math import ceil, degrees

from generator.base.errors import GeometryError, RecipeError
from generator.base.finding import Finding, Severity
from generator.base.frozen_record import frozen_record
from generator.base.practice import GEOMETRY
from generator.checks.check import Check, no_less, no_more
from generator.estimate.flip import Flip, flip_of
from generator.estimate.holding import outline_of
from generator.outline.contour import Point
from generator.outline.create import circle
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.part.nearness import wall_mm, web_mm
from generator.part.part import Face, Plan
from generator.part.plan import make_plan
from generator.part.relation import meets
from generator.recipe.model import Recipe
from generator.recipe.model_dowels import Dowels
from generator.shapes.shape import NoFiles

ID = "flip-error"
CLOSEST_MM = 0.01
"""No closer work is offered (chosen): dowel holes are not placed better at a small machine."""
MOST_SPAN = 2.0
"""Dowels are offered no farther apart than so many times their distance or the part's length (chosen)."""
HALVINGS = 24
Ends = tuple[float, float]
"""Where the outermost dowels lie along the flip axis, mm."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``crooked`` if the faces may be off too far, ``eats-wall`` if a wall between may be left too thin."""
    flip = flip_of(recipe, plan)
    if flip is None or not plan.cover.profile:
        return
    off, at = flip.worst(plan.cover.profile)
    if off > recipe.limits.flip.offset.value:
        yield _crooked(recipe, plan, flip, off, at)
    wall = _thinnest(plan)
    least = recipe.limits.walls.thinnest.value
    if wall is not None and wall.width_mm >= least > wall.width_mm - flip.offset_at(wall.at):
        yield _eaten(recipe, flip, wall)


def _crooked(recipe: Recipe, plan: Plan, flip: Flip, off_mm: float, at: Point) -> Finding:
    """Return the finding of faces that may be off too far."""
    limit = recipe.limits.flip.offset
    return Finding(
        check=ID,
        code="crooked",
        severity=Severity.WARNS,
        message=f"the two faces may be off against each other by up to {off_mm:.3f} mm at the far end of the part: "
        f"{flip.each_mm:.3f} mm at each dowel, and {degrees(flip.angle_rad):.3f}° over the {flip.span_mm:.4g} mm "
        "between the dowels",
        feature="dowel-holes",
        point_mm=at,
        face="bottom",
        figure=off_mm,
        limit=limit.value,
        unit="mm",
        source=limit.told_source,
        remedy=_remedy(recipe, plan, flip, off_mm),
        path="dowels",
    )


def _remedy(recipe: Recipe, plan: Plan, flip: Flip, off_mm: float) -> str:
    """Return the edits: the other axis where that is enough, closer work, dowels farther apart."""
    limit, edits = recipe.limits.flip.offset.value, []
    dowels = recipe.dowels
    other = flip.turned_axis(plan.cover.profile)
    free = isinstance(dowels, Dowels) and not dowels.at and dowels.through is None
    if free and other.span_mm > 0.0 and other.worst(plan.cover.profile)[0] <= limit:
        edits.append(f"set dowels.axis to {'x' if flip.upright else 'y'}")
    closer = flip.each_mm * limit / off_mm
    if closer > max(flip.play_mm / 2.0, CLOSEST_MM):
        edits.append(f"set tolerances.flip to at most {no_more(closer)}")
    edits += _as_set(recipe, plan, limit) or _farther(recipe, plan, flip, limit)
    told = f"each dowel would have to be within {closer:.2g} mm, closer than anybody sets a blank"
    return ", or ".join(edits) or f"register the blank another way than on these dowels: {told}"


def _farther(recipe: Recipe, plan: Plan, flip: Flip, limit_mm: float) -> list[str]:
    """Return the edit that puts the dowels as far apart as needed, where that does it and is not out of all measure."""
    box = bounds(plan.cover.profile)
    most = MOST_SPAN * max(flip.span_mm, box.height_mm if flip.upright else box.width_mm)

    def does(span_mm: float) -> bool:
        return replace(flip, span_mm=span_mm).worst(plan.cover.profile)[0] <= limit_mm

    if not isinstance(recipe.dowels, Dowels) or not does(most):
        return []
    low, high = flip.span_mm, most
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (low, middle) if does(middle) else (middle, high)
    if recipe.dowels.place == "inside" or len(plan.blank.dowel_holes) != 2:
        return [f"put the outermost dowels at least {no_less(high)} apart with dowels.at"]
    centres = [bounds(Region((c,))).centre for c in plan.blank.dowel_holes]
    low_end, high_end = sorted(p.y if flip.upright else p.x for p in centres)
    for reach in (lambda more: (low_end - more / 2.0, high_end + more / 2.0), lambda more: (low_end, high_end + more),
                  lambda more: (low_end - more, high_end)):  # fmt: skip
        if ends := _clear_ends(recipe, plan, flip, limit_mm, most, reach):
            return [f"set dowels.at to `[{ends[0]:.6g} mm, {ends[1]:.6g} mm]`"]
    return []


def _clear_ends(
    recipe: Recipe, plan: Plan, flip: Flip, limit_mm: float, most_mm: float, reach: Callable[[float], Ends]
) -> Ends | None:
    """Return the least far ends, in hundredths, whose dowels lie clear of the part and let the faces meet."""

    def does(more: float) -> bool:
        a, b = reach(more)
        middle = (a + b) / 2.0
        at = Point(flip.middle.x, middle) if flip.upright else Point(middle, flip.middle.y)
        return replace(flip, span_mm=b - a, middle=at).worst(plan.cover.profile)[0] <= limit_mm

    low, high = 0.0, most_mm - flip.span_mm
    if high <= 0.0 or not does(high):
        return None
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (low, middle) if does(middle) else (middle, high)
    ends = reach(2.0 * ceil(high / 2.0 * 100.0) / 100.0)
    return ends if all(_is_clear(recipe, plan, flip, end) for end in ends) else None


def _is_clear(recipe: Recipe, plan: Plan, flip: Flip, end_mm: float) -> bool:
    """Return True if a dowel there lies outside the part and the cutter goes round between them."""
    at = (flip.middle.x, end_mm) if flip.upright else (end_mm, flip.middle.y)
    around = outline_of(recipe, plan)
    mills = (around.reaching or around.mills) if around else ()
    walls = recipe.limits.walls
    room = mills[0][1].diameter + walls.thinnest.value if mills else walls.sound.value
    web, _, over = web_mm(plan.cover.profile, Region((circle(at, plan.blank.dowel_mm / 2.0),)))
    return not over and web >= room


def _as_set(recipe: Recipe, plan: Plan, limit_mm: float) -> list[str]:
    """Return the edit that leaves the dowels where they stand by themselves, if that is enough: tried on a plan."""
    if not isinstance(recipe.dowels, Dowels) or not recipe.dowels.at or recipe.dowels.place == "inside":
        return []
    try:
        plan = make_plan(other := replace(recipe, dowels=replace(recipe.dowels, at=())), files=NoFiles())
    except (GeometryError, RecipeError):
        return []
    flip = flip_of(other, plan)
    return ["leave dowels.at out"] if flip and flip.worst(plan.cover.profile)[0] <= limit_mm else []


# ------------------------------------------------------------------ walls between the faces
@frozen_record
class _Wall:
    """A wall between the bottom pocket and what is cut from the top."""

    width_mm: float
    at: Point
    to: str
    path: str


def _thinnest(plan: Plan) -> _Wall | None:
    """Return the thinnest wall beside the bottom pocket whose other side is cut from the top face; None if none."""
    pocket = next((f for f in plan.cover.features if f.layer == "bottom-pocket"), None)
    if pocket is None or not pocket.region:
        return None
    found = []
    try:
        width, at, over = wall_mm(plan.cover.profile, pocket.region)
    except GeometryError:
        return None
    if not over:
        found.append(_Wall(width, at, "the outline", "cover.outer"))
    for f in plan.cover.features:
        low = f.face is Face.TOP and f.z_from_mm < pocket.z_to_mm
        if low and f.region and not meets(pocket.region, f.region):
            width, at, _ = web_mm(pocket.region, f.region)
            found.append(_Wall(width, at, f.name, f.path))
    return min(found, key=lambda w: w.width_mm, default=None)


def _eaten(recipe: Recipe, flip: Flip, wall: _Wall) -> Finding:
    """Return the finding of a wall that a crooked flip makes too thin."""
    off, least = flip.offset_at(wall.at), recipe.limits.walls.thinnest
    left = wall.width_mm - off
    return Finding(
        check=ID,
        code="eats-wall",
        severity=Severity.WARNS,
        message=f"the wall of {wall.width_mm:.3f} mm between bottom pocket and {wall.to} is cut from two faces that "
        f"may be off against each other by {off:.3f} mm there: {left:.3f} mm may be left",
        feature="bottom-pocket",
        point_mm=wall.at,
        face="bottom",
        figure=left,
        limit=least.value,
        unit="mm",
        source=least.told_source,
        remedy=_wider(recipe, wall, least.value - left) + _closer(flip, off, wall.width_mm - least.value),
        path=wall.path,
    )


def _closer(flip: Flip, off_mm: float, may_mm: float) -> str:
    """Return the edit that takes so much off that the wall bears the rest; empty where nobody works so closely."""
    each = flip.each_mm * may_mm / off_mm
    enough = each >= max(flip.play_mm / 2.0, CLOSEST_MM)
    return f", or set tolerances.flip to at most {no_more(each)}" if enough else ""


def _wider(recipe: Recipe, wall: _Wall, by_mm: float) -> str:
    """Return the edit that makes the wall wider."""
    if wall.path != "cover.outer":
        return f"move {wall.path} at least {no_less(by_mm)} away from the bottom pocket"
    margin = getattr(recipe.cover.outer.params, "margin", None)
    if isinstance(margin, int | float):
        return f"set cover.outer.{recipe.cover.outer.kind}.margin to at least {no_less(margin + by_mm)}"
    return f"set cover.outer.grow to at least {no_less(recipe.cover.outer.grow_mm + by_mm)}"


CHECK = Check(
    ID,
    "faces that meet",
    "Whatever is cut from the second face lies as exactly over the first as the dowels lay the blank. Close dowels "
    "turn it, and what is far from them is off most.",
    f"{GEOMETRY}; play of the dowels by ISO 286-1 and -2 (two public copies agree)",
    run,
    formula="each dowel is off by e: tolerances.flip, or half the greatest play of pin and hole if that is more (H7/m6 "
    "of 6 mm: 8 µm); at a point s along from their middle and r beside their line the faces are off by the larger of "
    "root 2 e and hypot(2 e s / L, e + 2 e r / L)",
    limits=("flip.offset", "walls.thinnest"),
)
