"""Do the washers fit their seats?"""

from __future__ import annotations

from collections.abc import Iterator

from generator.base.finding import Finding, Severity
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.estimate.joint import Joint, groups, told
from generator.part.nearness import widest
from generator.part.part import Plan
from generator.part.relation import box_of
from generator.recipe.model import Recipe

ID = "washer-in-seat"
SOURCE = "ISO 7089:2000"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``too-wide``, ``tight``, ``lifts-head``, ``under-cone`` or ``no-size`` for washers that need it."""
    for group in groups(recipe, plan):
        joint = group[0]
        if not joint.group.washer:
            continue
        if joint.is_cone:
            yield _finding(
                "under-cone",
                group,
                "countersunk heads bear on their cone: a washer holds them off it",
                f"set {joint.path}.washer to false",
            )
        elif joint.washer is None:
            yield _finding(
                "no-size",
                group,
                f"no washer of ISO 7089 for {joint.thread.name} is known here: length and pressure leave it out",
                "leave it out of the recipe, or keep it and add 1 to 3 mm to the length by hand",
            )
        elif joint.seat is not None:
            yield from _in_seat(recipe, plan, group, joint)


def _in_seat(recipe: Recipe, plan: Plan, group: tuple[Joint, ...], joint: Joint) -> Iterator[Finding]:
    """Yield what is to be said of a washer in a counterbore."""
    assert joint.seat is not None
    assert joint.washer is not None
    seat, play = box_of(widest(joint.seat)).width_mm, recipe.limits.bolts.washer_play
    needed = joint.washer.d2_mm + play.value
    if seat < needed - MODEL.same_mm:
        wide = seat < joint.washer.d2_mm
        yield _finding(
            "too-wide" if wide else "tight",
            group,
            f"washers of {joint.washer.d2_mm:g} mm {'do not go' if wide else 'go only just'} into seats of {seat:g} mm",
            f"set {joint.seat_path}.diameter to at least {no_less(needed)}, or set {joint.path}.washer to false",
            (seat, joint.washer.d2_mm if wide else needed),
            SOURCE if wide else play.told_source,
        )
    height = joint.face.high_mm if joint.face else 0.0
    proud = joint.head_z_mm + height - plan.cover.thickness_mm
    if height and not joint.on_original and proud > MODEL.model_mm and proud < joint.washer.h_mm + MODEL.model_mm:
        depth = plan.cover.thickness_mm - joint.bears_z_mm + proud
        yield _finding(
            "lifts-head",
            group,
            f"the washers lift the heads of {told(group)} {proud:.2f} mm over the top face",
            f"set {joint.seat_path}.depth to at least {no_less(depth)}, or keep them so",
            (proud, 0.0),
            SOURCE,
        )


def _finding(
    code: str,
    group: tuple[Joint, ...],
    message: str,
    remedy: str,
    measured: tuple[float, float] | None = None,
    source: str = SOURCE,
) -> Finding:
    joint = group[0]
    severities = {"too-wide": Severity.FORBIDS, "lifts-head": Severity.NOTES, "no-size": Severity.NOTES}
    return Finding(
        check=ID,
        code=code,
        severity=severities.get(code, Severity.WARNS),
        message=message,
        feature=joint.seat.name if joint.seat else f"hole-{joint.bolt.name}",
        point_mm=joint.bolt.at,
        face="top",
        figure=measured[0] if measured else None,
        limit=measured[1] if measured else None,
        unit="mm" if measured else "",
        source=source,
        remedy=remedy,
        path=joint.path,
    )


CHECK = Check(
    ID,
    "washers in their seats",
    "Counterbores of DIN 974 are made for the head alone: a plain washer does not go in, or lifts the head out of it.",
    SOURCE,
    run,
    limits=("bolts.washer_play",),
)
