"""What the fit is reckoned from: outline, bolts, rooms and errors, taken out of recipe and plan."""

from __future__ import annotations

from generator.base.frozen_record import frozen_record
from generator.base.standards import CLEARANCE_HOLES, HEADS
from generator.base.units import MODEL
from generator.outline.contour import Point
from generator.outline.measure import bounds
from generator.outline.region import Region
from generator.part.drawn import filled
from generator.part.part import Bolt, Face, Feature, Plan
from generator.recipe.model import Recipe

__all__ = ["Errors", "FitCase", "Pin", "case_of", "thickness_of"]


@frozen_record
class Errors:
    """How far off things may be, mm; named as in the recipe's tolerances."""

    footprint: float = 0.0
    bolts: float = 0.0
    position: float = 0.0
    size: float = 0.0
    flip: float = 0.0


@frozen_record
class Pin:
    """A bolt in its hole.

    Attributes:
        name, path: of the bolt.
        at: nominal place, mm.
        room_mm: how far the bolt may stand from the hole's middle: half of hole less bolt (or of seat less head, if
            that is less), and what it can move in the original.
        turned_over: whether hole and bottom pocket are cut from different faces.
        countersunk: whether its head centres itself in a countersink.
    """

    name: str
    path: str
    at: Point
    room_mm: float
    turned_over: bool
    countersunk: bool = False


@frozen_record
class FitCase:
    """Everything that decides whether a cover goes over its original.

    Attributes:
        footprint: its holes filled.
        clearance_mm: gap all round.
        pins: the bolts.
        errors: how far off things may be.
        flip_ends: the two places that register the blank when it is turned over.
    """

    footprint: Region
    clearance_mm: float
    pins: tuple[Pin, ...]
    errors: Errors
    flip_ends: tuple[Point, Point]


def case_of(recipe: Recipe, plan: Plan) -> FitCase:
    """Return what the fit of a plan is reckoned from."""
    t = recipe.tolerances
    features = {f.name: f for f in plan.cover.features}
    pocket = features["bottom-pocket"].face
    return FitCase(
        footprint=filled(plan.footprint),
        clearance_mm=recipe.clearance.around,
        pins=tuple(_pin(b, features, pocket, t.bolt_play) for b in plan.bolts),
        errors=Errors(t.footprint, t.bolts, t.position, t.size, t.flip),
        flip_ends=_flip_ends(plan),
    )


def thickness_of(bolt: Bolt) -> float:
    """Return the nominal diameter of a bolt, mm.

    Where the recipe gives only the hole, it is the thickest bolt that the finest series of ISO 273 would put through
    it; for holes wider than the table goes, a bolt in the same proportion as its last row.
    """
    if bolt.thread:
        return next(r.nominal_mm for r in CLEARANCE_HOLES if r.thread == bolt.thread)
    through = [r.nominal_mm for r in CLEARANCE_HOLES if r.fine_mm <= bolt.hole_mm]
    last = CLEARANCE_HOLES[-1]
    if not through or bolt.hole_mm > last.coarse_mm:
        return bolt.hole_mm * last.nominal_mm / last.fine_mm
    return max(through)


def _pin(bolt: Bolt, features: dict[str, Feature], pocket: Face, play_mm: float) -> Pin:
    room = (bolt.hole_mm - thickness_of(bolt)) / 2.0
    seat = features.get(f"seat-{bolt.name}")
    sunk = seat is not None and seat.flare_mm > 0.0
    if seat is not None and not sunk:  # a counterbore takes the head; a countersink centres it by force
        heads = [h.dk_max_mm for h in HEADS if (h.standard, h.thread) == (bolt.screw, bolt.thread)]
        in_seat = [(bounds(seat.region).width_mm - dk) / 2.0 for dk in heads]
        through = seat.z_from_mm <= 0.0 and in_seat  # nothing is left of the hole
        room = min(in_seat if through else [room, *in_seat])
    turned_over = features[f"hole-{bolt.name}"].face is not pocket
    return Pin(bolt.name, bolt.path, bolt.at, max(room, 0.0) + play_mm, turned_over, sunk)


def _flip_ends(plan: Plan) -> tuple[Point, Point]:
    """Return the outermost dowels, or where the flip axis leaves the blank if there are none."""
    upright = plan.flip.direction == "y"
    box = bounds(plan.blank.region)
    ends = [box.ymin, box.ymax] if upright else [box.xmin, box.xmax]
    if len(plan.blank.dowel_holes) > 1:
        holes = [bounds(h).centre for h in plan.blank.dowel_holes]
        along = [p.y if upright else p.x for p in holes]
        ends = along if max(along) - min(along) > MODEL.same_mm else ends  # in one place they register nothing
    at = plan.flip.at_mm
    low, high = min(ends), max(ends)
    return (Point(at, low), Point(at, high)) if upright else (Point(low, at), Point(high, at))
