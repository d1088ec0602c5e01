"""The shape that tables of entities tell, and whether it is sound: edges, loops, level faces and walls, all at once."""

from __future__ import annotations

from math import pi
from typing import Final, NamedTuple

import numpy as np

from generator.solid.upright_entities import Bools, Entities, Floats, Ints, UnlikeError

__all__ = ["Shape", "demand", "shape_of"]

NEAR_MM: Final = 1e-7
"""Accuracy that the files state, and within which the kernel takes places for one."""
NEAR_REL: Final = 1e-9
LEAN: Final = 1e-12
"""How far an upright or level direction may lean; directions are written with so many digits."""
TURN: Final = 2.0 * pi
WIDEST_MM: Final = 1e6
"""Of larger arcs the digits of a file do not tell enough: the kernel calls its own solids faulty."""


class Shape(NamedTuple):
    """What is known of edges, uses of edges, loops and faces, one a row.

    Attributes:
        sweep: of every edge the angle of its arc, radians, counter-clockwise; 0 of a line.
        start: of every use the vertex where it begins.
        next_use: of every use the one that follows in its loop.
        loop_face: of every loop its face.
        loop_first: of every loop its first use.
        level_loops: loops of level faces.
        face_body: of every face its shell.
        face_turn: +1 of a level face that looks up, -1 of one that looks down, 0 of a wall.
        face_z: height of a level face, lower height of a wall, mm.
        face_top: upper height of a wall, mm.
        wall_up, wall_down: of every face that is a wall the upright edges that it travels up and down, else -1.
        wall_sweep: signed angle of a wall, radians, as it is travelled at its lower edge; 0 of a flat one.
    """

    sweep: Floats
    start: Ints
    next_use: Ints
    loop_face: Ints
    loop_first: Ints
    level_loops: list[int]
    face_body: Ints
    face_turn: Ints
    face_z: Floats
    face_top: Floats
    wall_up: Ints
    wall_down: Ints
    wall_sweep: Floats


def demand(holds: bool, otherwise: str) -> None:
    """Raise UnlikeError, saying ``otherwise``, where something does not hold."""
    if not holds:
        raise UnlikeError(otherwise)


def shape_of(e: Entities) -> Shape:
    """Return the shape of entities.

    Raises: UnlikeError: it is no set of sound bodies with upright walls.
    """
    demand(min(len(e.edge_curve), len(e.face_surface), len(e.plane_frame)) > 0, "there are no faces")
    _demand_frames(e)
    is_arc, is_post, sweep = _edges(e)
    start, next_use, loop_first = _loops(e)
    face_of_bound = np.zeros(len(e.bound_loop), dtype=np.int64)
    face_of_bound[e.face_bounds.member] = e.face_bounds.owner
    loop_face = np.zeros(len(e.bound_loop), dtype=np.int64)
    loop_face[e.bound_loop] = face_of_bound
    use_face = np.zeros(len(e.use_edge), dtype=np.int64)
    use_face[e.loop_uses.member] = loop_face[e.loop_uses.owner]
    face_body = np.zeros(len(e.face_surface), dtype=np.int64)
    face_body[e.shell_faces.member] = e.shell_faces.owner
    _demand_whole(e, use_face, face_body)
    turn = _turns(e)
    level = np.bincount(e.use_edge, weights=turn[use_face] != 0, minlength=len(e.edge_curve))
    demand(bool((level <= 1).all()), "an edge joins two level faces")
    walls = _Walls(e, is_arc, is_post, sweep, use_face, turn)
    demand(bool((np.bincount(loop_face, minlength=len(turn))[turn == 0] == 1).all()), "a wall has a hole")
    return Shape(
        sweep=sweep,
        start=start,
        next_use=next_use,
        loop_face=loop_face,
        loop_first=loop_first,
        level_loops=np.flatnonzero(turn[loop_face] != 0).tolist(),
        face_body=face_body,
        face_turn=turn,
        face_z=walls.low,
        face_top=walls.high,
        wall_up=walls.up,
        wall_down=walls.down,
        wall_sweep=walls.sweep,
    )


def _demand_frames(e: Entities) -> None:
    """Demand that the directions of every placement have length 1 and are square to each other."""
    for ways in (e.frame_main, e.frame_across, e.line_way):
        demand(bool((np.abs((ways * ways).sum(axis=1) - 1.0) <= NEAR_REL).all()), "a direction is not of length 1")
    demand(bool((np.abs((e.frame_main * e.frame_across).sum(axis=1)) <= NEAR_REL).all()), "a placement is not square")
    upright = np.concatenate([e.circle_frame, e.cylinder_frame])
    demand(_all_up(e.frame_main[upright]), "an axis is not upright")
    for radius in (e.circle_radius, e.cylinder_radius):
        demand(bool((radius > 0.0).all()), "a radius is not positive")
        demand(bool((radius <= WIDEST_MM).all()), "an arc is all but straight")


def _all_up(ways: Floats) -> bool:
    return bool((np.abs(ways[:, :2]) <= LEAN).all() and (ways[:, 2] > 0.0).all())


def _edges(e: Entities) -> tuple[Bools, Bools, Floats]:
    """Return which edges are arcs and which upright, and the angles of arcs; every edge lies on its curve."""
    ends = e.vertex[e.edge_ends]
    lines = len(e.line_at)
    is_arc = e.edge_curve >= lines
    rows = np.flatnonzero(~is_arc)
    at, way = e.line_at[e.edge_curve[rows]], e.line_way[e.edge_curve[rows]]
    for k in (0, 1):
        away = ends[rows, k] - at
        off = away - (away * way).sum(axis=1)[:, None] * way
        demand(bool((np.abs(off) <= NEAR_MM).all()), "a line misses the end of its edge")
    along = ((ends[rows, 1] - ends[rows, 0]) * way).sum(axis=1)
    demand(bool((along > NEAR_MM).all()), "a line runs against its edge")
    is_post = np.zeros(len(is_arc), dtype=np.bool_)
    is_post[rows] = (np.abs(way[:, :2]) <= LEAN).all(axis=1)
    demand(bool((is_post[rows] | (np.abs(way[:, 2]) <= LEAN)).all()), "a line is neither upright nor level")
    demand(bool((way[is_post[rows], 2] > 0.0).all()), "an upright edge runs down")
    return is_arc, is_post, _sweeps(e, is_arc, ends)


def _sweeps(e: Entities, is_arc: Bools, ends: Floats) -> Floats:
    sweep = np.zeros(len(is_arc))
    rows = np.flatnonzero(is_arc)
    circle = e.edge_curve[rows] - len(e.line_at)
    centre, radius = e.frame_at[e.circle_frame[circle]], e.circle_radius[circle]
    away = ends[rows] - centre[:, None, :]
    off = np.hypot(away[..., 0], away[..., 1]) - radius[:, None]
    demand(bool((np.abs(off) <= NEAR_MM).all() and (np.abs(away[..., 2]) <= NEAR_MM).all()), "a circle misses an end")
    angle = np.arctan2(away[..., 1], away[..., 0])
    swept = np.mod(angle[:, 1] - angle[:, 0], TURN)
    whole = e.edge_ends[rows, 0] == e.edge_ends[rows, 1]
    short = np.minimum(swept, TURN - swept) * radius <= NEAR_MM
    demand(bool((~short | whole).all()), "an arc has no length")
    sweep[rows] = np.where(whole, TURN, swept)
    return sweep


def _loops(e: Entities) -> tuple[Ints, Ints, Ints]:
    """Return where uses of edges begin, which follows which, and the first use of every loop."""
    uses, owner = e.loop_uses
    start = np.where(e.use_forward, e.edge_ends[e.use_edge, 0], e.edge_ends[e.use_edge, 1])
    end = np.where(e.use_forward, e.edge_ends[e.use_edge, 1], e.edge_ends[e.use_edge, 0])
    count = np.bincount(owner, minlength=len(e.bound_loop))
    first = np.cumsum(count) - count
    following = np.arange(len(uses)) + 1
    following[first + count - 1] = first
    next_use = np.zeros(len(uses), dtype=np.int64)
    next_use[uses] = uses[following]
    demand(bool((end == start[next_use]).all()), "the edges of a loop do not follow each other")
    return start, next_use, uses[first]


def _demand_whole(e: Entities, use_face: Ints, face_body: Ints) -> None:
    """Demand that every edge joins two faces of one shell, once each way, and that all faces of a shell are joined."""
    edges, shells = len(e.edge_curve), len(e.solid_shell)
    twice = np.bincount(e.use_edge, minlength=edges) == 2
    once = np.bincount(e.use_edge, weights=e.use_forward, minlength=edges) == 1
    demand(bool((twice & once).all()), "an edge does not join two faces that look the same way")
    demand(len(np.unique(e.solid_shell)) == shells, "two solids have one shell")
    order = np.argsort(e.use_edge, kind="stable")
    a, b = use_face[order[0::2]], use_face[order[1::2]]
    demand(bool((face_body[a] == face_body[b]).all()), "an edge joins two shells")
    label = np.arange(len(face_body))
    while True:
        least = np.minimum(label[a], label[b])
        before = label.copy()
        np.minimum.at(label, a, least)
        np.minimum.at(label, b, least)
        if (label == before).all():
            break
    demand(len(np.unique(label)) == shells, "the faces of a shell do not hang together")


def _turns(e: Entities) -> Ints:
    """Return +1 for level faces that look up, -1 for those that look down, 0 for walls."""
    planes = len(e.plane_frame)
    turn = np.zeros(len(e.face_surface), dtype=np.int64)
    flat = np.flatnonzero(e.face_surface < planes)
    main = e.frame_main[e.plane_frame[e.face_surface[flat]]]
    is_level = (np.abs(main[:, :2]) <= LEAN).all(axis=1)
    demand(bool((is_level | (np.abs(main[:, 2]) <= LEAN)).all()), "a plane is neither upright nor level")
    demand(bool(e.face_same[flat].all()), "a plane looks into the body")
    turn[flat[is_level]] = np.sign(main[is_level, 2]).astype(np.int64)
    return turn


class _Walls:
    """Demands that edges lie on the surfaces of their faces, and that walls are rectangles there.

    Attributes:
        low, high: heights of walls; both are that of a level face, mm.
        up, down: upright edge that a wall's loop travels up, and down; -1 of level faces.
        sweep: signed angle of walls at their lower edge, radians.
    """

    def __init__(self, e: Entities, is_arc: Bools, is_post: Bools, sweep: Floats, use_face: Ints, turn: Ints) -> None:
        faces = len(turn)
        edge, forward = e.use_edge, e.use_forward
        here, post, arc = turn[use_face], is_post[edge], is_arc[edge]
        low_end = e.vertex[e.edge_ends[edge, 0]]
        level = ~post
        self.low, self.high = np.full(faces, np.inf), np.full(faces, -np.inf)
        np.minimum.at(self.low, use_face[level], low_end[level, 2])
        np.maximum.at(self.high, use_face[level], low_end[level, 2])
        self._demand_level(e, post, here, use_face, turn)
        on_wall = here == 0
        demand(bool((self.high - self.low)[turn == 0].min(initial=np.inf) > NEAR_MM), "a wall has no height")
        self.up, self.down = np.full(faces, -1), np.full(faces, -1)
        for found, way in ((self.up, forward), (self.down, ~forward)):
            rows = np.flatnonzero(on_wall & post & way)
            found[use_face[rows]] = edge[rows]
            once = np.bincount(use_face[rows], minlength=faces)[turn == 0] == 1
            demand(bool(once.all()), "a wall has not one edge up and one down")
        rows = np.flatnonzero(on_wall & level)
        z = low_end[rows, 2]
        below = np.abs(z - self.low[use_face[rows]]) <= NEAR_MM
        above = np.abs(z - self.high[use_face[rows]]) <= NEAR_MM
        demand(bool((below ^ above).all()), "an edge crosses a wall")
        self._demand_flat(e, rows, below, arc, use_face)
        self.sweep = self._demand_round(e, rows, below, sweep, use_face)
        self._demand_posts(e, np.flatnonzero(on_wall & post), use_face)

    def _demand_level(self, e: Entities, post: Bools, here: Ints, use_face: Ints, turn: Ints) -> None:
        demand(not bool((post & (here != 0)).any()), "an upright edge bounds a level face")
        flat = np.flatnonzero(turn)
        z = e.frame_at[e.plane_frame[e.face_surface[flat]], 2]
        near = (np.abs(self.low[flat] - z) <= NEAR_MM) & (np.abs(self.high[flat] - z) <= NEAR_MM)
        demand(bool(near.all()), "a level face does not lie in its plane")
        self.low[flat] = self.high[flat] = z

    def _demand_flat(self, e: Entities, rows: Ints, below: Bools, arc: Bools, use_face: Ints) -> None:
        """Demand that level edges of flat walls lie in them, and that the body is to the left of the lower ones."""
        flat = e.face_surface[use_face[rows]] < len(e.plane_frame)
        rows, below = rows[flat], below[flat]
        demand(not bool(arc[rows].any()), "an arc bounds a flat wall")
        frame = e.plane_frame[e.face_surface[use_face[rows]]]
        normal, at = e.frame_main[frame], e.frame_at[frame]
        ends = e.vertex[e.edge_ends[e.use_edge[rows]]]
        off = ((ends - at[:, None, :]) * normal[:, None, :]).sum(axis=2)
        demand(bool((np.abs(off) <= NEAR_MM).all()), "a wall's edge does not lie in it")
        way = ends[:, 1] - ends[:, 0]
        along = (way[:, 1] * normal[:, 0] - way[:, 0] * normal[:, 1]) * np.where(e.use_forward[rows], 1.0, -1.0)
        demand(bool((np.where(below, along, -along) > 0.0).all()), "a flat wall looks into the body or doubles back")

    def _demand_round(self, e: Entities, rows: Ints, below: Bools, sweep: Floats, use_face: Ints) -> Floats:
        """Demand the same of round walls; return their signed angles."""
        planes, faces = len(e.plane_frame), len(self.low)
        round_ = e.face_surface[use_face[rows]] >= planes
        rows, below = rows[round_], below[round_]
        curve = e.edge_curve[e.use_edge[rows]] - len(e.line_at)
        demand(bool((curve >= 0).all()), "a level line bounds a round wall")
        cylinder = e.face_surface[use_face[rows]] - planes
        aside = e.frame_at[e.circle_frame[curve], :2] - e.frame_at[e.cylinder_frame[cylinder], :2]
        other = e.circle_radius[curve] - e.cylinder_radius[cylinder]
        demand(bool((np.abs(aside) <= NEAR_MM).all() and (np.abs(other) <= NEAR_MM).all()), "an arc misses its wall")
        out = e.face_same[use_face[rows]]
        demand(bool((e.use_forward[rows] == (out == below)).all()), "a round wall looks into the body or doubles back")
        angles = [np.bincount(use_face[rows[b]], sweep[e.use_edge[rows[b]]], faces) for b in (below, ~below)]
        demand(bool((np.abs(angles[0] - angles[1]) <= NEAR_REL).all()), "a round wall is not as long above as below")
        demand(bool((angles[0] <= TURN + NEAR_REL).all()), "a round wall goes round more than once")
        closed = np.flatnonzero(angles[0] > TURN - NEAR_REL)
        demand(bool((self.up[closed] == self.down[closed]).all()), "a round wall that closes has no seam")
        signed: Floats = np.where(e.face_same, angles[0], -angles[0])
        return signed

    def _demand_posts(self, e: Entities, rows: Ints, use_face: Ints) -> None:
        """Demand that upright edges lie on their walls; heights follow from the edges that they join."""
        planes = len(e.plane_frame)
        at = e.vertex[e.edge_ends[e.use_edge[rows], 0]]
        surface = e.face_surface[use_face[rows]]
        flat = surface < planes
        frame = e.plane_frame[surface[flat]]
        off = ((at[flat] - e.frame_at[frame]) * e.frame_main[frame]).sum(axis=1)
        axis = e.frame_at[e.cylinder_frame[surface[~flat] - planes], :2]
        away = at[~flat, :2] - axis
        out = np.hypot(away[:, 0], away[:, 1]) - e.cylinder_radius[surface[~flat] - planes]
        demand(bool((np.abs(off) <= NEAR_MM).all() and (np.abs(out) <= NEAR_MM).all()), "an upright edge misses a wall")
