"""Is there a floor under every bolt head, and does the head sit as wanted?"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from generator.base.finding import Finding, Severity
from generator.base.practice import GEOMETRY
from generator.base.standards import HEADS
from generator.checks.check import Check, no_less, no_more, thicker
from generator.estimate.bolt_edits import deeper, through
from generator.estimate.bolt_floors import metal_needed
from generator.estimate.bolt_length import length_of_lifted, with_length
from generator.estimate.joint import joints
from generator.estimate.tight_enough import bears_load
from generator.part.describe import floor_left_mm, head_on_original
from generator.part.part import Bolt, Feature, Plan
from generator.recipe.model import Recipe
from generator.recipe.model_bolts import Seat

ID = "seat-depth"
LEAST_MM = 0.1
"""A seat shallower than this is no remedy (our own choice)."""


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``no-floor``, ``goes-through``, ``thin-floor`` and ``head-proud``, each once for a group of bolts."""
    told: set[tuple[str, str]] = set()
    seats = {f.name: f for f in plan.cover.features if f.layer == "seats"}
    for bolt in plan.bolts:
        seat = seats.get(f"seat-{bolt.name}")
        if seat is None:
            continue
        for finding in (_floor(recipe, plan, seat, bolt), _head(recipe, plan, seat, bolt)):
            if finding is not None and (finding.code, bolt.path) not in told:
                told.add((finding.code, bolt.path))
                yield finding


def _floor(recipe: Recipe, plan: Plan, seat: Feature, bolt: Bolt) -> Finding | None:
    """Return a finding about the floor under a head.

    A seat that goes through because the recipe gives its depth is taken as meant: the head then bears on the original,
    which is as it should be where that bears load.
    """
    cover = plan.cover
    left = min(floor_left_mm(cover, seat), seat.z_from_mm)
    if left >= recipe.limits.walls.sound.value:
        return None
    meant = _given(recipe, seat).depth is not None
    if meant and plan.load_bearing and head_on_original(plan, bolt):
        return _through(seat, left)
    code, severity, message = (
        ("thin-floor", Severity.WARNS, f"only {left:.3f} mm of floor are left under the head in {seat.name}")
        if left > 0.0
        else ("goes-through", Severity.WARNS, f"{seat.name} goes right through: the head does not hold the cover")
        if meant
        else ("no-floor", Severity.FORBIDS, f"{seat.name} goes {-left:.3f} mm through the floor under the head")
    )
    return Finding(
        check=ID,
        code=code,
        severity=severity,
        message=message,
        feature=seat.name,
        point_mm=_centre(seat),
        face="top",
        figure=left,
        limit=recipe.limits.walls.sound.value if left > 0.0 else 0.0,
        unit="mm",
        source=recipe.limits.walls.sound.told_source if left > 0.0 else GEOMETRY,
        remedy=_more(recipe, plan, seat, bolt, left),
        path=seat.path,
    )


def _more(recipe: Recipe, plan: Plan, seat: Feature, bolt: Bolt, left: float) -> str:
    """Return the edits that leave as much metal under a head as it needs: a thicker plate, or a shallower seat."""
    joint = next((j for j in joints(recipe, plan) if j.bolt.name == bolt.name), None)
    if joint is not None and left <= 0.0 and bears_load(plan, joint):
        same = [b for b in plan.bolts if b.path == bolt.path]
        return f"{through(recipe, plan, same)} so that the heads bear on the original"
    grown = flat = recipe.limits.walls.sound.value
    if joint is not None:
        grown = metal_needed(recipe, plan, joint, left_mm=left, plate_grows=True) or grown
        flat = metal_needed(recipe, plan, joint, left_mm=left, plate_grows=False) or inf
    depth = plan.cover.thickness_mm - seat.z_from_mm - (flat - left)
    edit = f"set {seat.path}.depth to at most {no_more(depth)}" if depth > LEAST_MM else ""
    if joint is not None and not joint.on_original:
        fits = length_of_lifted(recipe, joint, flat - left) is not None
        edit = with_length(recipe, joint, edit, flat - left) if fits else ""
    lower = f", or {edit}" if edit else ""
    return f"{thicker(recipe, plan, plan.cover.thickness_mm + grown - left)}{lower}"


def _through(seat: Feature, left: float) -> Finding:
    """Return the note about a seat that leaves the head to a load-bearing original."""
    return Finding(
        check=ID,
        code="goes-through",
        severity=Severity.NOTES,
        message=f"{seat.name} goes right through: the head bears on the original and does not hold the cover",
        feature=seat.name,
        point_mm=_centre(seat),
        face="top",
        figure=left,
        limit=0.0,
        unit="mm",
        source=GEOMETRY,
        remedy="keep it so: hold the cover by screws or adhesive of its own",
        path=seat.path,
    )


def _head(recipe: Recipe, plan: Plan, seat: Feature, bolt: Bolt) -> Finding | None:
    """Return a note about a head that stands proud of the top face, or None."""
    height = next((h.k_max_mm for h in HEADS if (h.standard, h.thread) == (bolt.screw, bolt.thread)), 0.0)
    flush, depth = recipe.limits.bolts.head_flush, plan.cover.thickness_mm - seat.z_from_mm
    if seat.flare_mm:  # a cone: how deep the head sinks depends on where the cone is as wide as the head
        wide = next((h.dk_max_mm for h in HEADS if (h.standard, h.thread) == (bolt.screw, bolt.thread)), 0.0)
        height = (wide - bolt.hole_mm) / 2.0
    proud = height - depth
    if proud <= flush.value:
        return None
    return Finding(
        check=ID,
        code="head-proud",
        severity=Severity.NOTES,
        message=f"the head in {seat.name} stands {proud:.2f} mm proud of the top face",
        feature=seat.name,
        point_mm=bolt.at,
        face="top",
        figure=proud,
        limit=flush.value,
        unit="mm",
        source=f"{flush.told_source}; head height of {bolt.screw}",
        remedy=f"{_sunk(recipe, plan, seat, bolt, height)}, if it is to lie flush",
        path=seat.path,
    )


def _sunk(recipe: Recipe, plan: Plan, seat: Feature, bolt: Bolt, height: float) -> str:
    """Return the edits that sink a head of this height, with as much metal under it as it needs."""
    edit = f"set {seat.path}.depth to at least {no_less(height)}"
    joint = next((j for j in joints(recipe, plan) if j.bolt.name == bolt.name), None)
    if joint is None or joint.on_original:
        return edit
    by = height - (plan.cover.thickness_mm - seat.z_from_mm)
    left = min(floor_left_mm(plan.cover, seat), seat.z_from_mm)
    more = deeper(recipe, plan, joint, left, by)
    if more > 0.0:
        return f"{edit} and {thicker(recipe, plan, plan.cover.thickness_mm + more)}"
    return with_length(recipe, joint, edit, -by)


def _given(recipe: Recipe, seat: Feature) -> Seat:
    """Return the seat as the recipe has it."""
    groups = [b.seat for i, b in enumerate(recipe.original.bolts) if seat.path == f"original.bolts[{i}].seat"]
    given = groups[0] if groups else recipe.cover.seats
    assert isinstance(given, Seat)  # a feature was made of it
    return given


def _centre(seat: Feature) -> tuple[float, float]:
    """Return the middle of a round seat: halfway between the starts of its two half arcs."""
    a, b = seat.region.contours[0].vertices
    return (a.x + b.x) / 2.0, (a.y + b.y) / 2.0


CHECK = Check(
    ID,
    "floor under the bolt heads",
    "The head bears on the floor of its seat. Without a floor it falls through into the bottom pocket and the cover is "
    "held by nothing; a thin one shears when the bolt is tightened.",
    GEOMETRY,
    run,
    limits=("walls.sound", "bolts.head_flush"),
)
