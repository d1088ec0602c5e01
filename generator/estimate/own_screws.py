"""A joint that is left alone: openings that clear the heads of its bolts, and screws of its own for the cover."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from generator.base.practice import BUTTON_HEAD_PLAY
from generator.base.screws import HEXAGON, SOCKETS_MM
from generator.base.standards import clearance_hole, head
from generator.estimate.bolt_edits import counterbore_of
from generator.outline.combine import intersection
from generator.outline.contour import Point
from generator.outline.create import circle
from generator.outline.distance import points_depth
from generator.outline.measure import bounds, centroid, signed_area
from generator.outline.predicates import Side, contains_point
from generator.outline.region import Region
from generator.outline.remembered import remembered
from generator.part.equivalent_plate import deepest
from generator.part.nearness import wall_mm, web_mm, widest
from generator.part.part import Bolt, Plan
from generator.recipe.model import Recipe

__all__ = ["lets_heads_bear", "own_screws", "room_needed"]

THREAD: Final = "M4"
SCREW: Final = "ISO 7380-1"
"""What holds a cover by itself (our own choice)."""
SMALLEST: Final = "M3"
"""No bolt of a joint that bears load is taken to be smaller than this, nor than the cover's own screws."""
NODES: Final = 50
"""Places tried along each side of the cover's box."""
FARTHEST: Final = 200
"""Of these so many, those farthest from the cover's middle, are looked at in pairs."""
TENTHS: Final = 10.0


def own_screws(recipe: Recipe, plan: Plan, bolts: Sequence[Bolt]) -> str:
    """Return the edits that leave the joint of these bolts alone; empty where the plan has no room for them.

    Openings take the place of the bolts' holes, and two screws beside the original hold the cover.
    """
    paths = {b.path for b in bolts}
    taken = [_opening_mm(recipe, b) for b in bolts]
    regions = [Region((circle(b.at, 0.5 * d),)) for b, d in zip(bolts, taken, strict=True)]
    if len(paths) != 1 or not all(_is_free(recipe, plan, b, r) for b, r in zip(bolts, regions, strict=True)):
        return ""
    places = _places(recipe, plan)
    if not places:
        return ""
    edits = [
        f"set original.openings.{name} to `{{outline: {{disc: {{diameter: {d:g} mm}}, at: {_at(b.at)}}}}}`"
        for name, b, d in zip(_names(recipe, len(bolts)), bolts, taken, strict=True)
    ]
    ends = ", ".join(_at(p) for p in places)
    screws = f"{{thread: {THREAD}, at: [{ends}], holds: cover only, seat: {{screw: {SCREW}}}}}"
    return " and ".join([*edits, f"set {paths.pop()} to `{screws}`"])


def room_needed(recipe: Recipe, plan: Plan) -> float:
    """Return how wide the plate beside the original must be for a screw of the cover's own, mm."""
    return _to_edge(recipe, plan) + 0.5 * _seat_mm() + recipe.limits.walls.sound.value


def lets_heads_bear(recipe: Recipe, plan: Plan) -> bool:
    """Return True if an opening over the original has room for the head of a bolt that holds it.

    Which bolts these are is not known: heads of ISO 4762 of the cover's own screws' size count, at least of M3.
    """
    needed = max((counterbore_of(b)[0] for b in (*plan.bolts, _smallest())), default=0.0)
    openings = [f.region for f in plan.cover.features if f.layer == "openings" and f.region]
    over = [c for r in openings for c in intersection(r, plan.footprint) if signed_area(c) > 0.0]
    return any(2.0 * deepest(c)[0] >= needed - 1e-3 for c in over)


def _smallest() -> Bolt:
    return Bolt("", Point(0.0, 0.0), 3.4, SMALLEST, "", "", "")


def _opening_mm(recipe: Recipe, bolt: Bolt) -> float:
    """Return the opening that a bolt's head and what turns it need, mm: a hexagon head's socket has play all round."""
    group = recipe.original.bolts[int(bolt.path[len("original.bolts[") : -1])]
    socket = SOCKETS_MM.get(bolt.thread, 0.0) + 2.0 * recipe.limits.bolts.spanner_play.value
    turned = socket if group.screw == HEXAGON and not bolt.screw else 0.0
    return max(counterbore_of(bolt)[0], turned)


def _names(recipe: Recipe, count: int) -> Iterator[str]:
    free = (f"head-{k}" for k in range(1, 1000) if f"head-{k}" not in recipe.original.openings)
    return (name for name, _ in zip(free, range(count), strict=False))


def _at(p: Point) -> str:
    return f"[{p.x:zg} mm, {p.y:zg} mm]"


def _is_free(recipe: Recipe, plan: Plan, bolt: Bolt, opening: Region) -> bool:
    """Return True if an opening at a bolt leaves sound walls to the edge and to everything but the bolt's own hole."""
    sound = recipe.limits.walls.sound.value + plan.cover.rim_break_mm
    if contains_point(plan.footprint, bolt.at) is not Side.INSIDE or wall_mm(plan.cover.profile, opening)[0] < sound:
        return False
    others = [f for f in plan.cover.features if f.is_top_recess or f.layer == "openings"]
    return all(web_mm(opening, widest(f))[0] >= sound for f in others)


def _places(recipe: Recipe, plan: Plan) -> tuple[Point, Point] | None:
    """Return two places beside the original where a screw's seat has sound walls all round.

    They lie far apart, and the cover's middle between them.
    """
    room = 0.5 * _seat_mm() + recipe.limits.walls.sound.value
    pockets_first = sorted(
        plan.cover.features, key=lambda f: f.layer != "bottom-pocket"
    )  # they leave the fewest places
    taken = [widest(f) for f in pockets_first if f.region and f.layer not in ("bolt-holes", "seats", "seats-bore")]
    apart = _seat_mm() + recipe.limits.walls.sound.value
    return _far_apart(plan.cover.profile, tuple(taken), _to_edge(recipe, plan), room, apart)


@remembered
def _far_apart(
    profile: Region, taken: tuple[Region, ...], to_edge_mm: float, room_mm: float, apart_mm: float
) -> tuple[Point, Point] | None:
    """Return two places as far apart as there are, none of them near the edge or what is taken; None without two."""
    box = bounds(profile)
    x, y = np.linspace(box.xmin, box.xmax, NODES), np.linspace(box.ymin, box.ymax, NODES)
    grid = np.round(np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2) * TENTHS) / TENTHS
    found: NDArray[np.float64] = grid[points_depth(profile, grid) >= to_edge_mm]
    for region in taken:
        if len(found):
            found = found[points_depth(region, found) <= -room_mm]
    if not len(found):
        return None
    middle = centroid(profile)
    far = np.hypot(found[:, 0] - middle.x, found[:, 1] - middle.y)
    found = found[np.argsort(-far, kind="stable")[:FARTHEST]]
    apart = np.hypot(found[:, None, 0] - found[None, :, 0], found[:, None, 1] - found[None, :, 1])
    off = found - np.array([middle.x, middle.y])
    beside = np.hypot(off[:, None, 0] + off[None, :, 0], off[:, None, 1] + off[None, :, 1])
    i, j = np.unravel_index(int((apart - beside).argmax()), apart.shape)
    a, b = (Point(float(found[k, 0]), float(found[k, 1])) for k in sorted((int(i), int(j))))
    return (a, b) if apart[i, j] > apart_mm else None


def _seat_mm() -> float:
    """Return the diameter of the seat of a screw of the cover's own, mm."""
    return head(SCREW, THREAD).dk_max_mm + BUTTON_HEAD_PLAY.value


def _to_edge(recipe: Recipe, plan: Plan) -> float:
    """Return how far a screw's middle lies from the cover's edge at least, mm."""
    walls, hole = recipe.limits.walls, clearance_hole(THREAD, "medium")
    wall = max(walls.sound.value, plan.cover.rim_break_mm + walls.rim_land.value)
    return max(walls.hole_to_edge.value * hole, 0.5 * _seat_mm() + wall)
