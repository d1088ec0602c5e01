"""The entities of bodies with upright walls, read from STEP text into tables of numbers; any other text is not read.

What is accepted is narrow: only the kinds that such bodies need (ISO 10303-42), each in the one form that is written,
every reference to an entity of the right kind, nothing that nobody refers to.
"""

from __future__ import annotations

import re
from itertools import chain
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from generator.solid.blocks import without_blanks

__all__ = ["Bools", "Entities", "Floats", "Ints", "UnlikeError", "entities_of"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

_REAL = r"(-?\d+\.\d*(?:E[+-]\d+)?)"
_REF = r"#(\d+)"
_LIST = r"\((#\d+(?:,#\d+)*)\)"
_FORMS: Final = {
    kind: re.compile(rf"^{form}\)$".encode(), re.MULTILINE)
    for kind, form in {
        "MANIFOLD_SOLID_BREP": rf"'(?:[^'\n]|'')*',{_REF}",
        "CLOSED_SHELL": f"'',{_LIST}",
        "ADVANCED_FACE": rf"'',{_LIST},{_REF},\.([TF])\.",
        "FACE_BOUND": rf"'',{_REF},\.T\.",
        "EDGE_LOOP": f"'',{_LIST}",
        "ORIENTED_EDGE": rf"'',\*,\*,{_REF},\.([TF])\.",
        "EDGE_CURVE": rf"'',{_REF},{_REF},{_REF},\.T\.",
        "VERTEX_POINT": f"'',{_REF}",
        "LINE": f"'',{_REF},{_REF}",
        "VECTOR": f"'',{_REF},{_REAL}",
        "CIRCLE": f"'',{_REF},{_REAL}",
        "PLANE": f"'',{_REF}",
        "CYLINDRICAL_SURFACE": f"'',{_REF},{_REAL}",
        "AXIS2_PLACEMENT_3D": f"'',{_REF},{_REF},{_REF}",
        "CARTESIAN_POINT": rf"'',\({_REAL},{_REAL},{_REAL}\)",
        "DIRECTION": rf"'',\({_REAL},{_REAL},{_REAL}\)",
    }.items()
}
_CODES: Final = {kind.encode(): code for code, kind in enumerate(_FORMS)}
_ENTITY: Final = re.compile(rb"#(\d+)=([A-Z0-9_]+)\(([^;]*);")


class UnlikeError(Exception):
    """The text is not that of sound bodies with upright walls; the message says where that was seen."""


class Owned(NamedTuple):
    """Members of lists, one after the other: each one's number among its kind, and the list that it stands in."""

    member: Ints
    owner: Ints


class Entities(NamedTuple):
    """The tables; whatever refers to something has the row of that in its table.

    Attributes:
        solid_shell: of every solid its shell.
        shell_faces: faces of shells.
        face_bounds: bounds of faces, the outer one first or not.
        face_surface: of every face its surface: planes first, then cylinders.
        face_same: whether the surface's normal leaves the body.
        bound_loop: of every bound its loop.
        loop_uses: uses of edges in the order of the loops.
        use_edge, use_forward: of every use the edge and whether it is travelled in its own direction.
        edge_ends: of every edge its two vertices.
        edge_curve: of every edge its curve: lines first, then circles.
        vertex: places of vertices, shape (n, 3), mm.
        line_at, line_way: a point of every line and its direction times the vector's length.
        circle_frame, circle_radius: of every circle the row of its placement, and its radius, mm.
        plane_frame: of every plane the row of its placement.
        cylinder_frame, cylinder_radius: of every cylinder.
        frame_at, frame_main, frame_across: of every placement its place, mm, its main and its first direction.
    """

    solid_shell: Ints
    shell_faces: Owned
    face_bounds: Owned
    face_surface: Ints
    face_same: Bools
    bound_loop: Ints
    loop_uses: Owned
    use_edge: Ints
    use_forward: Bools
    edge_ends: Ints
    edge_curve: Ints
    vertex: Floats
    line_at: Floats
    line_way: Floats
    circle_frame: Ints
    circle_radius: Floats
    plane_frame: Ints
    cylinder_frame: Ints
    cylinder_radius: Floats
    frame_at: Floats
    frame_main: Floats
    frame_across: Floats


def entities_of(text: bytes) -> Entities:
    """Return the tables of a STEP text that begins with a solid and holds nothing but solids.

    Raises: UnlikeError: it is any other text.
    """
    read = _Reader(text)
    solid_shell = read.column("MANIFOLD_SOLID_BREP", 0, ("CLOSED_SHELL",))
    uses = read.rows("ORIENTED_EDGE")
    circles, cylinders, vectors = read.rows("CIRCLE"), read.rows("CYLINDRICAL_SURFACE"), read.rows("VECTOR")
    points, ways = read.floats("CARTESIAN_POINT"), read.floats("DIRECTION")
    length = _reals([r[1] for r in vectors])[:, None]
    vector_way = ways[read.column("VECTOR", 0, ("DIRECTION",))] * length
    line = [read.column("LINE", 0, ("CARTESIAN_POINT",)), read.column("LINE", 1, ("VECTOR",))]
    frame = [
        read.column("AXIS2_PLACEMENT_3D", i, (kind,))
        for i, kind in enumerate(("CARTESIAN_POINT", "DIRECTION", "DIRECTION"))
    ]
    ends = [read.column("EDGE_CURVE", i, ("VERTEX_POINT",)) for i in (0, 1)]
    made = Entities(
        solid_shell=solid_shell,
        shell_faces=read.members("CLOSED_SHELL", "ADVANCED_FACE"),
        face_bounds=read.members("ADVANCED_FACE", "FACE_BOUND"),
        face_surface=read.column("ADVANCED_FACE", 1, ("PLANE", "CYLINDRICAL_SURFACE")),
        face_same=np.array([r[2] == b"T" for r in read.rows("ADVANCED_FACE")], dtype=np.bool_),
        bound_loop=read.column("FACE_BOUND", 0, ("EDGE_LOOP",)),
        loop_uses=read.members("EDGE_LOOP", "ORIENTED_EDGE"),
        use_edge=read.column("ORIENTED_EDGE", 0, ("EDGE_CURVE",)),
        use_forward=np.array([r[1] == b"T" for r in uses], dtype=np.bool_),
        edge_ends=np.stack(ends, axis=1),
        edge_curve=read.column("EDGE_CURVE", 2, ("LINE", "CIRCLE")),
        vertex=points[read.column("VERTEX_POINT", 0, ("CARTESIAN_POINT",))],
        line_at=points[line[0]],
        line_way=vector_way[line[1]],
        circle_frame=read.column("CIRCLE", 0, ("AXIS2_PLACEMENT_3D",)),
        circle_radius=_reals([r[1] for r in circles]),
        plane_frame=read.column("PLANE", 0, ("AXIS2_PLACEMENT_3D",)),
        cylinder_frame=read.column("CYLINDRICAL_SURFACE", 0, ("AXIS2_PLACEMENT_3D",)),
        cylinder_radius=_reals([r[1] for r in cylinders]),
        frame_at=points[frame[0]],
        frame_main=ways[frame[1]],
        frame_across=ways[frame[2]],
    )
    read.demand_all_named()
    return made


class _Reader:
    """Takes the text apart and looks references up."""

    def __init__(self, text: bytes) -> None:
        bare = without_blanks(text)
        found = _ENTITY.findall(bare)
        if not found or sum([len(n) + len(k) + len(said) for n, k, said in found]) + 4 * len(found) != len(bare):
            raise UnlikeError("the text is not one entity after the other")
        self._first = int(found[0][0])
        if list(map(int, [n for n, _, _ in found])) != list(range(self._first, self._first + len(found))):
            raise UnlikeError("entities are not numbered in a row")
        try:
            codes = np.array([_CODES[kind] for _, kind, _ in found], dtype=np.int64)
        except KeyError as error:
            kind = error.args[0].decode("ascii", "replace")
            raise UnlikeError(f"{kind} is no kind that is expected there") from error
        own = {kind: np.flatnonzero(codes == _CODES[kind.encode()]).tolist() for kind in _FORMS}
        self._row = np.zeros(len(found), dtype=np.int64)
        for rows in own.values():
            self._row[rows] = np.arange(len(rows))
        self._codes, self._own = codes, own
        self._named = np.zeros(len(found), dtype=np.int64)
        self._rows = {kind: _rows_of(kind, [found[i][2] for i in own[kind]]) for kind in _FORMS}

    def rows(self, kind: str) -> list[tuple[bytes, ...]]:
        """Return what was said in entities of a kind, in their order."""
        return self._rows[kind]

    def floats(self, kind: str) -> Floats:
        """Return triples of numbers, shape (n, 3)."""
        return _reals(list(chain.from_iterable(self._rows[kind]))).reshape(-1, 3)

    def column(self, kind: str, place: int, wanted: tuple[str, ...]) -> Ints:
        """Return the rows that references in one place refer to; those of the second kind follow those of the first."""
        return self._found([r[place] for r in self._rows[kind]], wanted)

    def members(self, kind: str, wanted: str) -> Owned:
        """Return what the lists of a kind hold."""
        lists = [r[0].replace(b"#", b"").split(b",") for r in self._rows[kind]]
        owner = np.repeat(np.arange(len(lists)), [len(found) for found in lists])
        return Owned(self._found(list(chain.from_iterable(lists)), (wanted,)), owner)

    def _found(self, references: list[bytes], wanted: tuple[str, ...]) -> Ints:
        at = np.array(list(map(int, references)), dtype=np.int64) - self._first
        if len(at) and (at.min() < 0 or at.max() >= len(self._codes)):
            raise UnlikeError("a reference leads out of the bodies")
        self._named += np.bincount(at, minlength=len(self._named))
        codes, rows = self._codes[at], self._row[at]
        if len(wanted) == 1:
            right = codes == _CODES[wanted[0].encode()]
        else:
            second = codes == _CODES[wanted[1].encode()]
            right = second | (codes == _CODES[wanted[0].encode()])
            rows = rows + second * len(self._rows[wanted[0]])
        if not right.all():
            raise UnlikeError(f"a reference to {' or '.join(wanted)} leads to something else")
        return rows

    def demand_all_named(self) -> None:
        """Refuse a text with an entity that nobody refers to, but for the solids, or with a part that two share."""
        shared = {"EDGE_CURVE", "VERTEX_POINT"}
        for kind, rows in self._own.items():
            times = self._named[rows]
            if kind == "MANIFOLD_SOLID_BREP":
                right = (times == 0).all()
            elif kind in shared:
                right = (times >= 1).all()
            else:
                right = (times == 1).all()
            if not right:
                raise UnlikeError(f"{kind} is referred to by too few or too many")


def _rows_of(kind: str, said: list[bytes]) -> list[tuple[bytes, ...]]:
    found = _FORMS[kind].findall(b"\n".join(said)) if said else []
    if len(found) != len(said):
        raise UnlikeError(f"{kind} in a form that is not expected")
    return [f if isinstance(f, tuple) else (f,) for f in found]


def _reals(texts: list[bytes]) -> Floats:
    return np.array(list(map(float, texts)), dtype=np.float64)
