"""Is there room for a socket spanner round hexagon heads?"""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from generator.base.finding import Finding, Severity
from generator.base.screws import SOCKETS_MM
from generator.base.units import MODEL
from generator.checks.check import Check, no_less
from generator.estimate.joint import Joint, joints
from generator.outline.distance import point_distance
from generator.outline.predicates import Side, contains_point
from generator.part.part import Part, Plan
from generator.recipe.model import Recipe

ID = "spanner-room"
SOURCE = "common practice, from memory: outside of sockets"


def run(recipe: Recipe, plan: Plan) -> Iterator[Finding]:
    """Yield ``meets-head`` or ``meets-insert`` where a socket does not go over a hexagon head."""
    every = list(joints(recipe, plan))
    proud = [p for p in plan.inserts if p.profile and p.seat_z_mm + p.thickness_mm > plan.cover.thickness_mm]
    for i, joint in enumerate(every):
        socket = SOCKETS_MM.get(joint.thread.name)
        if not joint.is_hexagon or socket is None:
            continue
        needed = socket / 2.0 + recipe.limits.bolts.spanner_play.value
        for other in every[i + 1 :]:
            yield from _to_head(joint, other, needed)
        for insert in proud:
            yield from _to_insert(plan, joint, insert, needed)


def _to_head(joint: Joint, other: Joint, needed: float) -> Iterator[Finding]:
    """Yield the warning of two heads so close that no socket goes between them."""
    if other.face is None or other.seat is not None:
        return
    (ax, ay), (bx, by) = joint.bolt.at, other.bolt.at
    room = hypot(bx - ax, by - ay) - other.face.wide_mm / 2.0
    if room < needed - MODEL.same_mm:
        yield _finding(
            "meets-head",
            joint,
            f"no socket goes over the head of {joint.bolt.name}: {other.bolt.name} is in its way",
            f"move them {no_less(needed - room)} apart, or use a ring spanner",
            ((ax + bx) / 2.0, (ay + by) / 2.0),
            room,
            needed,
        )


def _to_insert(plan: Plan, joint: Joint, insert: Part, needed: float) -> Iterator[Finding]:
    """Yield the warning of a head so close to an insert that stands proud that a socket rubs on it."""
    near = point_distance(insert.profile, joint.bolt.at)
    room = 0.0 if contains_point(insert.profile, joint.bolt.at) is Side.INSIDE else near.distance_mm
    if room < needed - MODEL.same_mm:
        name = insert.name.removeprefix("insert-")
        high = insert.seat_z_mm + insert.thickness_mm - plan.cover.thickness_mm
        yield _finding(
            "meets-insert",
            joint,
            f"a socket on {joint.bolt.name} rubs on {insert.name}, which stands {high:.2f} mm proud",
            f"set inlays.{name}.sits to flush and leave inlays.{name}.by out, or move it by at least "
            f"{no_less(needed - room)}",
            near.point,
            room,
            needed,
        )


def _finding(
    code: str, joint: Joint, message: str, remedy: str, at: tuple[float, float], figure: float, limit: float
) -> Finding:
    return Finding(
        check=ID,
        code=code,
        severity=Severity.WARNS,
        message=message,
        feature=f"hole-{joint.bolt.name}",
        point_mm=at,
        face="top",
        figure=figure,
        limit=limit,
        unit="mm",
        source=SOURCE,
        remedy=remedy,
        path=joint.path,
    )


CHECK = Check(
    ID,
    "room for the spanner",
    "A hexagon head is turned from outside: a socket needs its own thickness all round. What stands in its way gets "
    "scratched, or the bolt cannot be tightened at all.",
    SOURCE,
    run,
    formula="room = distance to the next head or proud insert; needed = half the socket's outside + play",
    limits=("bolts.spanner_play",),
)
