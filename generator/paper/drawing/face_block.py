"""The view straight onto one face, with centre lines, marks, dimensions, datum and the plane of the section."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, hypot
from typing import Final

from generator.estimate.characteristics import Datum
from generator.estimate.measured_places import spot_in
from generator.outline.distance import points_depth
from generator.paper.box import Box
from generator.paper.drawing.block import Block, block_of, ink_box
from generator.paper.drawing.dimensions import draw_dimensions
from generator.paper.drawing.face_view import FaceEdges, Placement
from generator.paper.drawing.find_place import Obstacles, Ring, find_place
from generator.paper.drawing.lettered import draw_arrow, label_box
from generator.paper.drawing.marks import Hole, Pocket
from generator.paper.drawing.section import Plane
from generator.paper.drawing.sizes import Spans, measured
from generator.paper.drawing.view_title import write_title
from generator.paper.lines import CENTRE, NARROW, VISIBLE
from generator.paper.sheet import Easel, circle, line, polyline
from generator.part.relation import box_of

__all__ = ["FaceView", "face_block"]

MARK_MM: Final = 3.5
PLANE_OUT_MM: Final = 6.0
"""The plane of a section goes so far past the outline …"""
PLANE_ARROW_MM: Final = 9.0
"""… and its arrows are so long; ISO 128-3 from memory."""
PLANE_WIDE_MM: Final = 7.0
PAST_HOLE_MM: Final = 2.0


class FaceView:
    """What a view of a face is drawn from: edges, placement, marks, datum, plane (the last two may be missing)."""

    def __init__(
        self,
        title: str,
        prefix: str,
        edges: FaceEdges,
        placed: Placement,
        holes: Sequence[Hole],
        pockets: Sequence[Pocket],
        datum: Datum | None,
        plane: Plane | None,
    ) -> None:
        self.title, self.prefix, self.edges, self.placed = title, prefix, edges, placed
        self.holes, self.pockets, self.datum, self.plane = holes, pockets, datum, plane


def face_block(view: FaceView, spans: Spans) -> Block:
    """Return the view as a block. Its named outlines are called ``PREFIX_FEATURE``."""
    easel = Easel()
    placed = view.placed
    for name, region in view.edges.named:
        easel.region(placed.region(region), kind=VISIBLE, name=f"{view.prefix}_{name}")
    if view.edges.rest:
        easel.draw(*(placed.track(t) for t in view.edges.rest), kind=VISIBLE, name=f"{view.prefix}_edges")
    outline = ink_box(easel.items)
    for hole in view.holes:
        _centre_lines(easel, placed, hole)
    if view.datum is not None:
        o = placed.point(view.datum.at)
        easel.draw(circle((o.x, o.y), 1.5), kind=NARROW, name="datum")
    edge = ink_box(easel.items)
    # a pocket may reach out over the outline: then its dimensions do, too
    left = min([edge.left, *(s.start for s in spans.x)])
    below = min([edge.bottom, *(s.start for s in spans.y)])
    if view.plane is not None:
        _plane(easel, placed, view.plane, outline)
        if view.plane.along == "x":
            left = min(left, outline.left - PLANE_OUT_MM - 1.0)
        below = min(below, ink_box(easel.items).bottom)
    draw_dimensions(easel, spans.x, "below", below, text_from=outline.left)
    draw_dimensions(easel, spans.y, "left", left, text_from=outline.bottom)
    _letters(easel, view, outline)
    write_title(easel, view.title, outline)
    return block_of(view.prefix, easel, margin=1.0)


def _centre_lines(easel: Easel, placed: Placement, hole: Hole) -> None:
    p, r = placed.point(hole.at), hole.outer_mm * placed.scale + PAST_HOLE_MM
    easel.draw(line((p.x - r, p.y), (p.x + r, p.y)), line((p.x, p.y - r), (p.x, p.y + r)), kind=CENTRE)


def _plane(easel: Easel, placed: Placement, plane: Plane, outline: Box) -> None:
    """Draw where the section is taken: a chain line, wide at its ends and bends, with arrows to where one looks."""
    across = 1 if plane.along == "x" else 0
    low, high = (outline.left, outline.right) if across else (outline.bottom, outline.top)
    points: list[tuple[float, float]] = []
    for k, run in enumerate(plane.runs):
        level = placed.point(plane.point(0.0, run.level))[across]
        a = low - PLANE_OUT_MM if k == 0 else placed.point(plane.point(run.start, run.level))[1 - across]
        last = k == len(plane.runs) - 1
        end = high + PLANE_OUT_MM if last else placed.point(plane.point(run.end, run.level))[1 - across]
        points += [(a, level), (end, level)] if across else [(level, a), (level, end)]
    easel.draw(polyline(*points), kind=CENTRE, name="cutting-plane")
    for tip, sign in ((points[0], 1.0), (points[-1], -1.0)):
        x, y = tip
        wide = (x + sign * PLANE_WIDE_MM, y) if across else (x, y + sign * PLANE_WIDE_MM)
        easel.draw(line(tip, wide), kind=VISIBLE)
        easel.draw(line((x, y - PLANE_ARROW_MM) if across else (x + PLANE_ARROW_MM, y), tip), kind=VISIBLE)
        draw_arrow(easel, tip, 90.0 if across else 180.0, 4.5)
    for b, c in zip(points[1:-1:2], points[2:-1:2], strict=True):
        easel.draw(line(b, c), kind=VISIBLE)


def _letters(easel: Easel, view: FaceView, outline: Box) -> None:
    """Write the letters of the section, the marks of holes and pockets, and O at the datum, each at a free place."""
    obstacles = Obstacles(easel.items)
    placed = view.placed
    if view.plane is not None:
        for end in _plane_tails(placed, view.plane, outline):
            _write(easel, obstacles, "A", end, 5.0, 0.0, None, with_leader=False)
    middle = outline.centre
    if view.datum is not None:
        o = placed.point(view.datum.at)
        at_hole = max((h.outer_mm for h in view.holes if h.feature.name == view.datum.feature), default=0.0)
        _write(easel, obstacles, "O", (o.x, o.y), MARK_MM, max(1.5, at_hole * placed.scale + PAST_HOLE_MM), -2.4)
    rings = [(*placed.point(h.at), h.outer_mm * placed.scale) for h in view.holes]
    for k, (hole, (x, y, r)) in enumerate(zip(view.holes, rings, strict=True)):
        toward = atan2(y - middle[1], x - middle[0]) if (x, y) != middle else None
        rivals = (*rings[:k], *rings[k + 1 :])
        _write(easel, obstacles, hole.mark, (x, y), MARK_MM, r, toward, rivals=rivals)
    for pocket in view.pockets:
        _write(easel, obstacles, pocket.mark, _spot(view, pocket), MARK_MM, 0.0, None)


def _plane_tails(placed: Placement, plane: Plane, outline: Box) -> list[tuple[float, float]]:
    """Return where the arrows of the section's plane begin."""
    first = placed.point(plane.point(0.0, plane.runs[0].level))
    last = placed.point(plane.point(0.0, plane.runs[-1].level))
    if plane.along == "x":
        return [
            (outline.left - PLANE_OUT_MM, first.y - PLANE_ARROW_MM),
            (outline.right + PLANE_OUT_MM, last.y - PLANE_ARROW_MM),
        ]
    return [
        (first.x + PLANE_ARROW_MM, outline.bottom - PLANE_OUT_MM),
        (last.x + PLANE_ARROW_MM, outline.top + PLANE_OUT_MM),
    ]


def _spot(view: FaceView, pocket: Pocket) -> tuple[float, float]:
    """Return the place on the sheet that a pocket's mark points at: its middle, in it and in no hole, else its edge."""
    region = measured(pocket.feature)
    at = box_of(region).centre
    if any(hypot(h.at.x - at.x, h.at.y - at.y) <= h.outer_mm for h in view.holes):
        at = spot_in(region, tuple(h.feature.region for h in view.holes)) or at
    if float(points_depth(region, [at])[0]) <= 0.0:
        v = region.contours[0].vertices[0]
        at = type(at)(v.x, v.y)
    p = view.placed.point(at)
    return p.x, p.y


def _write(
    easel: Easel,
    obstacles: Obstacles,
    text: str,
    anchor: tuple[float, float],
    height: float,
    start: float,
    toward: float | None,
    *,
    with_leader: bool = True,
    rivals: Sequence[Ring] = (),
) -> None:
    box = label_box(text, (), height)
    found = find_place(obstacles, anchor, (box.width, box.height), start_mm=start, toward=toward, rivals=rivals)
    if found is None:
        return
    place, leader = found
    count = len(easel.items)
    if leader is not None and with_leader:
        easel.draw(line(*leader), kind=NARROW, name="leader")
    easel.write(text, (place.left, place.bottom - box.bottom), height)
    obstacles.add(easel.items[count:])
