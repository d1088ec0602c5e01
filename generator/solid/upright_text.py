"""The STEP text of bodies with upright walls, entity for entity what the kernel writes of them.

Such a body is nothing but planes, cylinders, lines and circles that are known from its regions; writing them down takes
a twentieth of the time that the kernel needs to sew and write them. Entities follow each other as the kernel has them,
each where it is first named (ISO 10303-21 leaves the order open), in the form of ISO 10303-42.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point
from generator.solid.step_entities import real
from generator.solid.upright_faces import Edge, Face, UprightBody

__all__ = ["UprightText", "upright_text"]

_real = partial(real, decimals=12)
_UP = "DIRECTION('',(0.,0.,1.))"
_DOWN = "DIRECTION('',(0.,0.,-1.))"
_EAST = "DIRECTION('',(1.,0.,0.))"


@frozen_record
class UprightText:
    """Lines of a text, and where in it things stand.

    Attributes:
        lines: entities without their numbers, which run on from ``first``.
        first: number of the first entity.
        solids: number of every body's solid.
        faces: number of every face, body by body.
    """

    lines: tuple[str, ...]
    first: int
    solids: tuple[int, ...]
    faces: tuple[tuple[int, ...], ...]

    def text(self) -> str:
        """Return the entities with their numbers, one a line."""
        return "".join([f"#{i} = {line};\n" for i, line in enumerate(self.lines, self.first)])


def upright_text(made: UprightBody, first: int) -> UprightText:
    """Return the entities of bodies, from their solids on, numbered from ``first``."""
    pen = _Pen(made, first)
    written = [pen.solid(faces) for faces in made.bodies]
    return UprightText(tuple(pen.lines), first, tuple(n for n, _ in written), tuple(f for _, f in written))


class _Pen:
    """Writes entities in order; what is named again is not written again.

    Attributes:
        lines: of entities, without numbers.
    """

    def __init__(self, made: UprightBody, first: int) -> None:
        self._plane, self._edges, self._first = made.plane, made.edges, first
        self._points = [f"{_real(p.x)},{_real(p.y)}" for p in made.plane.corners.points]
        self._heights: dict[float, str] = {}
        self._vertices: dict[tuple[int, float], int] = {}
        self._numbers: dict[int, int] = {}
        self.lines: list[str] = []

    def solid(self, faces: Sequence[Face]) -> tuple[int, tuple[int, ...]]:
        """Write a body; return the numbers of its solid and of its faces."""
        lines = self.lines
        at = len(lines)
        number = at + self._first
        lines += (f"MANIFOLD_SOLID_BREP('',#{number + 1})", "")
        numbers = tuple([self._face(face) for face in faces])
        lines[at + 1] = f"CLOSED_SHELL('',({','.join([f'#{n}' for n in numbers])}))"
        return number, numbers

    def _face(self, face: Face) -> int:
        lines, first = self.lines, self._first
        at = len(lines)
        lines.append("")
        bounds = []
        for ring in face.rings:
            here = len(lines)
            bounds.append(f"#{here + first}")
            lines += (f"FACE_BOUND('',#{here + first + 1},.T.)", "")
            lines[here + 1] = f"EDGE_LOOP('',({','.join([self._use(edge, forward) for edge, forward in ring])}))"
        run = face.run
        same = ".F." if run is not None and run.circle is not None and run.sweep < 0.0 else ".T."
        lines[at] = f"ADVANCED_FACE('',({','.join(bounds)}),#{len(lines) + first},{same})"
        self._surface(face)
        return at + first

    def _use(self, edge: int, forward: bool) -> str:
        """Write an edge as a ring uses it; return its reference."""
        lines = self.lines
        at = len(lines) + self._first
        number = self._numbers.get(edge)
        lines.append(f"ORIENTED_EDGE('',*,*,#{at + 1 if number is None else number},{'.T.' if forward else '.F.'})")
        if number is None:
            self._numbers[edge] = at + 1
            self._edge(self._edges[edge])
        return f"#{at}"

    def _edge(self, edge: Edge) -> None:
        lines, first = self.lines, self._first
        at = len(lines)
        lines.append("")
        start, end = self._vertex(edge.start, edge.start_z), self._vertex(edge.end, edge.end_z)
        n = len(lines) + first
        lines[at] = f"EDGE_CURVE('',#{start},#{end},#{n},.T.)"
        if edge.arc is not None and edge.arc.circle is not None:
            centre, r = edge.arc.circle
            lines.append(f"CIRCLE('',#{n + 1},{_real(r)})")
            self._placement(self._point(centre, edge.start_z), _UP, _EAST)
            return
        if edge.start == edge.end:
            way = _UP
        else:
            a, b = self._plane.corners[edge.start], self._plane.corners[edge.end]
            dx, dy = b.x - a.x, b.y - a.y
            length = (dx * dx + dy * dy) ** 0.5
            way = _direction(dx / length, dy / length)
        start_at = f"CARTESIAN_POINT('',({self._points[edge.start]},{self._height(edge.start_z)}))"
        lines += (f"LINE('',#{n + 1},#{n + 2})", start_at, f"VECTOR('',#{n + 3},1.)", way)

    def _vertex(self, corner: int, z_mm: float) -> int:
        number = self._vertices.get((corner, z_mm))
        if number is None:
            number = self._vertices[corner, z_mm] = len(self.lines) + self._first
            at = f"CARTESIAN_POINT('',({self._points[corner]},{self._height(z_mm)}))"
            self.lines += (f"VERTEX_POINT('',#{number + 1})", at)
        return number

    def _surface(self, face: Face) -> None:
        """Write the surface of a face: its normal leaves the body, but of a hole's wall."""
        n, run, z = len(self.lines) + self._first, face.run, face.z_mm
        if run is None:
            self.lines.append(f"PLANE('',#{n + 1})")
            self._placement(f"0.,0.,{self._height(z)}", _UP if face.turn > 0 else _DOWN, _EAST)
        elif run.circle is not None:
            centre, r = run.circle
            self.lines.append(f"CYLINDRICAL_SURFACE('',#{n + 1},{_real(r)})")
            self._placement(self._point(centre, z), _UP, _EAST)
        else:
            u = self._plane.heading(run, 0.0)
            self.lines.append(f"PLANE('',#{n + 1})")
            at = f"{self._points[run.start]},{self._height(z)}"
            self._placement(at, _direction(u.y, -u.x), _direction(u.x, u.y))

    def _placement(self, at: str, main: str, across: str) -> None:
        n = len(self.lines) + self._first
        placed = f"AXIS2_PLACEMENT_3D('',#{n + 1},#{n + 2},#{n + 3})"
        self.lines += (placed, f"CARTESIAN_POINT('',({at}))", main, across)

    def _point(self, at: Point, z_mm: float) -> str:
        return f"{_real(at.x)},{_real(at.y)},{self._height(z_mm)}"

    def _height(self, z_mm: float) -> str:
        text = self._heights.get(z_mm)
        if text is None:
            text = self._heights[z_mm] = _real(z_mm)
        return text


def _direction(x: float, y: float) -> str:
    return f"DIRECTION('',({_real(x)},{_real(y)},0.))"
