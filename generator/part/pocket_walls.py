"""What is left between the bottom pocket and whatever is cut beside it or obliquely above its edge."""

from __future__ import annotations

from collections.abc import Iterable
from math import hypot

from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.contour import Point
from generator.part.nearness import web_mm
from generator.part.part import Bolt, Feature, Plan
from generator.part.relation import box_of, covers, meets
from generator.part.section import feature_at

__all__ = ["PocketWall", "cut_key", "pocket_walls"]


@frozen_record
class PocketWall:
    """The wall between the bottom pocket and one other cut.

    Attributes:
        cut: the other cut; of a bolt's hole and seat the nearer.
        wall_mm: the least distance in space; 0 where the cut breaks in.
        at: the middle of the wall, mm.
    """

    cut: Feature
    wall_mm: float
    at: Point


def pocket_walls(plan: Plan, own: frozenset[str], below_mm: float) -> tuple[PocketWall, ...]:
    """Return the walls beside the bottom pocket that are thinner than ``below_mm``, the thinnest of each bolt.

    Openings that notch the outline count as cuts. What runs into the pocket on purpose has no wall to it: the
    original's bolts and their seats, openings over the original, and what lies wholly within the pocket.

    Args:
        plan: the plan.
        own: recipe paths of the bolts that hold the cover only; a hole of these that breaks in is no purpose.
        below_mm: thicker walls are left out.
    """
    pocket = next((f for f in plan.cover.features if f.layer == "bottom-pocket"), None)
    if pocket is None or not pocket.region:
        return ()
    found: dict[str, PocketWall] = {}
    for cut in (*plan.cover.features, *plan.notches):
        if cut is pocket or not cut.region or not _may_be_near(pocket, cut, below_mm):
            continue
        wall = _wall(plan, pocket, cut, own)
        if wall is None or wall.wall_mm >= below_mm - MODEL.same_mm:
            continue
        key = cut_key(cut, plan.bolts)
        if key not in found or wall.wall_mm < found[key].wall_mm:
            found[key] = wall
    return tuple(found.values())


def cut_key(cut: Feature, bolts: Iterable[Bolt]) -> str:
    """Return the name that a bolt's hole and seat have in common; of anything else its own."""
    names = {
        f"{kind}-{b.name}{end}": b.name for b in bolts for kind, end in (("hole", ""), ("seat", ""), ("seat", "-bore"))
    }
    return names.get(cut.name, cut.name)


def _may_be_near(pocket: Feature, cut: Feature, below_mm: float) -> bool:
    """Return False where the boxes and heights of the two alone show a thicker wall."""
    p, q = box_of(pocket.region), box_of(feature_at(cut, cut.z_to_mm))
    dx = max(p.xmin - q.xmax, q.xmin - p.xmax, 0.0)
    dy = max(p.ymin - q.ymax, q.ymin - p.ymax, 0.0)
    dz = max(cut.z_from_mm - pocket.z_to_mm, 0.0)
    return hypot(dx, dy, dz) < below_mm


def _wall(plan: Plan, pocket: Feature, cut: Feature, own: frozenset[str]) -> PocketWall | None:
    """Return the wall between pocket and cut; None where there is none to be."""
    beside = min(max(pocket.z_to_mm, cut.z_from_mm), cut.z_to_mm)  # the height, of those shared, where it is widest
    region = feature_at(cut, beside)
    if meets(pocket.region, region):
        breaks_in = (
            cut.layer == "bolt-holes"
            and cut.path in own
            and not covers(pocket.region, region)
            and not meets(plan.footprint, region)
        )
        return PocketWall(cut, 0.0, web_mm(pocket.region, region)[1]) if breaks_in else None
    gap, at, _ = web_mm(pocket.region, region)
    return PocketWall(cut, _in_space(gap, beside - pocket.z_to_mm, cut, cut.z_to_mm - beside), at)


def _in_space(gap_mm: float, above_mm: float, cut: Feature, higher_mm: float) -> float:
    """Return the distance from the pocket's upper edge to the side of a cut, mm.

    Args:
        gap_mm: how far the side is beside the edge where it begins.
        above_mm: how far it begins above the edge; not above where it stands beside the pocket.
        cut: the cut; a flared one comes nearer on its way up.
        higher_mm: how far its side goes on above that.
    """
    above = max(above_mm, 0.0)
    slope = cut.flare_mm / cut.depth_mm if cut.flare_mm else 0.0
    up = min(max((gap_mm * slope - above) / (1.0 + slope * slope), 0.0), higher_mm)
    return hypot(max(gap_mm - slope * up, 0.0), above + up)
