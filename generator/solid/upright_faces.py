"""The faces of a body whose walls all stand upright, as plain values: what a STEP file tells of it, before any text.

Edges are numbered; every edge has one direction (lines from the smaller corner number up, upright ones from below,
arcs counter-clockwise), and rings of a face run counter-clockwise seen from outside the body, as in ``brep``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, hypot, sin
from typing import NamedTuple

from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL, Tolerance
from generator.part.part import Slab
from generator.part.runs import Plane, Run
from generator.solid.level import FlatFace, Level, Ring
from generator.solid.sides import Side, levels_of, sides_of, upright_sides

__all__ = ["Edge", "Face", "UprightBody", "upright_body"]

NEAR_MM = 5e-8
"""An edge whose end lies off its curve by more needs a tolerance of its own, which only the kernel keeps."""


class Edge(NamedTuple):
    """An edge from one corner to another, at heights in mm; ``arc`` is its run, None for a line."""

    start: int
    start_z: float
    end: int
    end_z: float
    arc: Run | None = None


class Face(NamedTuple):
    """A face.

    Attributes:
        rings: the outer ring first; of every edge its number and whether it is travelled in its own direction.
        z_mm: height if it is level, else that of its lower edge.
        turn: of a level face +1 if it looks up, -1 if down; 0 of a wall.
        run: the wall's run, material to its left; None of a level face.
    """

    rings: tuple[tuple[tuple[int, bool], ...], ...]
    z_mm: float
    turn: int
    run: Run | None


@frozen_record
class UprightBody:
    """Bodies with upright walls: the plane of their corners, their edges, and the faces of each that hang together."""

    plane: Plane
    edges: tuple[Edge, ...]
    bodies: tuple[tuple[Face, ...], ...]


def upright_body(slabs: Sequence[Slab], tol: Tolerance = MODEL) -> UprightBody | None:
    """Return the faces of a stack of slabs; None where it is for the kernel to say.

    That is so where walls taper or go on beside others, where outlines touch or share a line, where corners were taken
    for one, where a body is hollow, and where nothing is left.
    """
    if not all(wall.is_straight for slab in slabs for wall in slab.walls):
        return None
    plane = Plane.empty(tol)
    sides = sides_of(slabs, plane)
    levels = levels_of(slabs, sides, plane)
    if plane.reach or any(off > NEAR_MM for off in plane.off.values()) or any(level.has_seams for level in levels):
        return None
    made = _Faces(plane)
    faces = [made.level(face, level.z_mm) for level in levels for face in level.faces]
    faces += [face for side in upright_sides(sides) for face in made.walls(side, levels)]
    of_edge = _faces_of_edges(faces, len(made.edges))
    if not faces or made.is_loose or any(len(found) != 2 for found in of_edge):
        return None
    bodies = tuple(_connected(faces, of_edge))
    if any(map(_is_hollow, bodies)):
        return None
    return UprightBody(plane, tuple(made.edges), bodies)


def _is_hollow(faces: Sequence[Face]) -> bool:
    """Return True for the surface of a hollow: its lowest level face looks up."""
    return min((face for face in faces if face.turn), key=lambda face: face.z_mm).turn > 0


class _Faces:
    """Makes faces and numbers their edges.

    Attributes:
        edges: by number.
        is_loose: whether the ends of an arc lie off its circle.
    """

    def __init__(self, plane: Plane) -> None:
        self._plane = plane
        self._flat: dict[tuple[object, int, float], int] = {}
        self.edges: list[Edge] = []
        self.is_loose = False

    def level(self, face: FlatFace, z_mm: float) -> Face:
        """Return a horizontal face."""
        rings = []
        for ring in face.rings:
            uses = self._along(ring, z_mm)
            rings.append(tuple(uses) if face.is_top else tuple(_back(uses)))
        return Face(tuple(rings), z_mm, 1 if face.is_top else -1, None)

    def walls(self, side: Side, levels: Sequence[Level]) -> Iterator[Face]:
        """Yield the upright faces of a wall."""
        at = {level.z_mm: level for level in levels}
        low, high = side.z_from_mm, side.z_to_mm
        bottom, top = at[low].above, at[high].below
        loop, first = side.lower, len(self.edges)
        self.edges += [Edge(run.start, low, run.start, high) for run in loop]
        for i, run in enumerate(loop):
            post, next_post = first + i, first + (i + 1) % len(loop)
            below = self._along(bottom[loop.key, i], low)
            above = _back(self._along(top[loop.key, i], high))
            yield Face(((*below, (next_post, True), *above, (post, False)),), low, 0, run)

    def _along(self, ring: Ring, z_mm: float) -> list[tuple[int, bool]]:
        uses = []
        for piece in ring:
            run = piece.run
            forward = run.sweep > 0.0 if run.circle is not None else run.start < run.end
            key = (run.edge_key, piece.twin, z_mm)
            number = self._flat.get(key)
            if number is None:
                number = self._flat[key] = len(self.edges)
                self.edges.append(self._edge(run if forward else run.reversed(), z_mm))
            uses.append((number, forward))
        return uses

    def _edge(self, run: Run, z_mm: float) -> Edge:
        if run.circle is not None:
            (cx, cy), r = run.circle
            for corner, angle in ((run.start, run.angle), (run.end, run.angle + run.sweep)):
                p = self._plane.corners[corner]
                if hypot(p.x - cx - r * cos(angle), p.y - cy - r * sin(angle)) > NEAR_MM:
                    self.is_loose = True
        return Edge(run.start, z_mm, run.end, z_mm, run if run.circle is not None else None)


def _back(uses: Sequence[tuple[int, bool]]) -> list[tuple[int, bool]]:
    return [(number, not forward) for number, forward in reversed(uses)]


def _faces_of_edges(faces: Sequence[Face], edges: int) -> list[list[int]]:
    """Return of every edge the faces that it bounds, by place among them."""
    of_edge: list[list[int]] = [[] for _ in range(edges)]
    for i, face in enumerate(faces):
        for ring in face.rings:
            for number, _ in ring:
                of_edge[number].append(i)
    return of_edge


def _connected(faces: Sequence[Face], of_edge: Sequence[Sequence[int]]) -> Iterator[tuple[Face, ...]]:
    """Yield the faces in groups that share edges, in order of their first face."""
    left = set(range(len(faces)))
    for i in range(len(faces)):
        if i not in left:
            continue
        left.remove(i)
        group, todo = [i], [i]
        while todo:
            near = {j for ring in faces[todo.pop()].rings for number, _ in ring for j in of_edge[number]} & left
            left -= near
            group += near
            todo += near
        yield tuple(faces[j] for j in sorted(group))
